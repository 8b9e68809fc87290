import pytest

from methods import repeatability as r
from tests.methods.registry import Checks, Tag

CHECKS = Checks("repeatability")
A = Tag.ARITHMETIC
MCGILL, GRGIC = "McGill et al. 1999, Arch Phys Med Rehabil 80:941", "Grgic et al. 2020, Sports Med Open 6:31"

CHECKS.add(Tag.READ, MCGILL, "TRUNK_HOLD_RELIABILITY", "at least", 0.97, lambda: r.TRUNK_HOLD_RELIABILITY)
CHECKS.add(Tag.READ, GRGIC, "TESTED_MAXIMUM_CV_PERCENT", "median", 4.2, lambda: r.TESTED_MAXIMUM_CV_PERCENT)
# 1.959964 x root 2 x SD x root 0.03, by hand.
for side, sex, expected in [("right", "male", 16.324), ("left", "male", 16.804), ("right", "female", 14.883)]:
    CHECKS.add(A, MCGILL, "side_bridge_noise_mcgill", f"{side}, {sex}", expected,
               lambda side=side, sex=sex: r.side_bridge_noise_mcgill(side, sex).change, 1e-3)  # fmt: skip
CHECKS.add(A, GRGIC, "tested_maximum_noise_grgic", "4.2 %", 12.08, lambda: r.tested_maximum_noise_grgic().change, 5e-3)


def test_repeatability_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize("side", ["left", "right"])
def test_without_sex_the_larger_noise_holds(side):
    both = [r.side_bridge_noise_mcgill(side, sex).change for sex in ("male", "female")]

    assert r.side_bridge_noise_mcgill(side).change == max(both)


@pytest.mark.parametrize("wrong", [("middle", None), ("left", "other")])
def test_what_the_study_does_not_divide_by_is_refused(wrong):
    with pytest.raises(ValueError, match=r"left|male"):
        r.side_bridge_noise_mcgill(*wrong)


def test_source_and_doubt_are_said():
    for noise in (r.side_bridge_noise_mcgill("left"), r.tested_maximum_noise_grgic()):
        assert noise.source
        assert noise.doubt
