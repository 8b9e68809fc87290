import pytest

from methods import mobility
from tests.methods.registry import Checks, Tag

CHECKS = Checks("mobility")
HARVARD = "university health page on the ACSM dose: 15 s and three more, 20 s and two more"
CHECKS.add(Tag.READ, HARVARD, "stretch_repetitions_acsm", "15 s", 4, lambda: mobility.stretch_repetitions_acsm(15))
CHECKS.add(Tag.READ, HARVARD, "stretch_repetitions_acsm", "20 s", 3, lambda: mobility.stretch_repetitions_acsm(20))
BEHM = "Behm et al. 2016, Appl Physiol Nutr Metab 41(1):1 (60 s a muscle)"
CHECKS.add(
    Tag.READ, BEHM, "long_stretch_before_strength", "60 s", True, lambda: mobility.long_stretch_before_strength(60)
)
CHECKS.add(
    Tag.READ, BEHM, "long_stretch_before_strength", "59 s", False, lambda: mobility.long_stretch_before_strength(59)
)
KAY = "Kay & Blazevich 2012, Med Sci Sports Exerc 44(1):154 (harm likely from 60 s)"
CHECKS.add(
    Tag.READ, KAY, "long_stretch_before_strength", "45 s", False, lambda: mobility.long_stretch_before_strength(45)
)
for seconds, expected in [(59, -1.1), (60, -4.6)]:
    CHECKS.add(Tag.READ, BEHM, "strength_change_percent_behm", f"{seconds} s", expected,
               lambda s=seconds: mobility.strength_change_percent_behm(s))  # fmt: skip
for hold, expected in [(30, 2), (10, 6)]:
    CHECKS.add(Tag.ARITHMETIC, "60 s in all", "stretch_repetitions_acsm", f"{hold} s", expected,
               lambda h=hold: mobility.stretch_repetitions_acsm(h))  # fmt: skip


def test_mobility_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize("hold_s", [9, 61])
def test_stretch_refuses_holds_nobody_advises(hold_s):
    with pytest.raises(ValueError, match="10 to 60"):
        mobility.stretch_repetitions_acsm(hold_s)


def test_stretch_refuses_negative_time():
    with pytest.raises(ValueError, match="negative"):
        mobility.long_stretch_before_strength(-1)


def test_ramp_rises_to_a_single_at_ninety_per_cent():
    assert mobility.ramp_sets(80)[-1] == (72.0, 1)


def test_ramp_refuses_no_load():
    with pytest.raises(ValueError, match="positive"):
        mobility.ramp_sets(0)
