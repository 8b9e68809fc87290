import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import steps
from methods.dose import Dose
from methods.undefined import Undefined
from tests.methods.registry import Checks, Tag

CHECKS = Checks("steps")
A, HAND = Tag.ARITHMETIC, "worked by hand"
ACSM = "Ratamess et al. 2009 (ACSM), Med Sci Sports Exerc 41(3):687"
CHECKS.add(Tag.READ, ACSM, "acsm_step_kg", "at least 2 % of 100 kg", 2.0, lambda: steps.acsm_step_kg(100)[0], 1e-9)
CHECKS.add(Tag.READ, ACSM, "acsm_step_kg", "at most 10 % of 100 kg", 10.0, lambda: steps.acsm_step_kg(100)[1], 1e-9)
for level, days in [("novice", (2, 3)), ("intermediate", (3, 4)), ("advanced", (4, 5))]:
    CHECKS.add(Tag.READ, ACSM, "acsm_days_a_week", level, days, lambda level=level: steps.acsm_days_a_week(level))
CHECKS.add(
    Tag.SECONDARY,
    "pages on the 2-for-2 rule",
    "two_for_two",
    "two over, twice",
    True,
    lambda: steps.two_for_two(10, [12, 12]),
)
CHECKS.add(
    Tag.SECONDARY,
    "pages on the 2-for-2 rule",
    "two_for_two",
    "only once",
    False,
    lambda: steps.two_for_two(10, [11, 12]),
)
CHECKS.add(Tag.MEMORY, "handbook's increments", "handbook_increment_kg", "less trained, lower", (2.0, 4.0),
           lambda: steps.handbook_increment_kg("lower", "less"))  # fmt: skip
for jump, expected in [(5, 9), (2.5, 10)]:
    CHECKS.add(A, HAND, "repetitions_after_jump", f"80 kg x 12, +{jump}", expected,
               lambda j=jump: steps.repetitions_after_jump(80, 12, j))  # fmt: skip
for least, most, kg in [(61.2, 66.0, 60), (81.6, 88.0, 80), (20.4, 22.0, 20)]:
    CHECKS.add(A, ACSM, "acsm_step_kg", f"{kg} kg", (least, most),
               lambda kg=kg: tuple(kg + step for step in steps.acsm_step_kg(kg)), 1e-9)  # fmt: skip
CHECKS.add(A, ACSM, "acsm_step_kg", "body 80 + 10 kg: on the system", (1.8, 9.0), lambda: steps.acsm_step_kg(90), 1e-9)
for level, expected in [("novice", (8, 12)), ("advanced", (1, 12))]:
    CHECKS.add(Tag.READ, ACSM, "acsm_repetition_range", level, expected,
               lambda level=level: steps.acsm_repetition_range(level))  # fmt: skip
for (area, level), expected in {
    ("upper", "less"): (1.0, 2.0), ("upper", "more"): (2.0, 4.0), ("lower", "more"): (4.0, 7.0),
}.items():  # fmt: skip
    CHECKS.add(Tag.MEMORY, "handbook's increments", "handbook_increment_kg", f"{level} trained, {area}", expected,
               lambda a=area, v=level: steps.handbook_increment_kg(a, v))  # fmt: skip


def test_steps_agree_with_the_outside():
    assert CHECKS.wrong() == []


@given(
    st.floats(1, 300),
    st.sampled_from([0.5, 1, 1.25, 2.5, 5, 10]),
    st.sampled_from(["upper", "lower"]),
    st.sampled_from(["less", "more"]),
)
def test_a_jump_is_a_multiple_inside_ten_per_cent(system, increment, area, level):
    jump = steps.load_jump_kg(system, increment, area, level)

    if isinstance(jump, Undefined):
        assert increment > 0.1 * system
    else:
        assert jump <= 0.1 * system + 1e-6
        assert jump / increment == pytest.approx(round(jump / increment))


def test_lowering_more_slowly_ends_at_four_seconds():
    assert isinstance(steps.slower_tempo(Dose(repetitions=8, tempo="4-0-1-0")), Undefined)


def test_even_sets_grow_by_sets_then_by_repetitions():
    assert steps.even_sets_step(Dose(repetitions=4, sets=6), 7, 5).sets == 7
    assert steps.even_sets_step(Dose(repetitions=4, sets=7), 7, 5).repetitions == 5
    assert isinstance(steps.even_sets_step(Dose(repetitions=5, sets=7), 7, 5), Undefined)


@pytest.mark.parametrize("undefined", [steps.repetitions_after_jump(80, 16, 5), steps.repetitions_after_jump(80, 1, 5)])
def test_unpredictable_repetitions_say_so(undefined):
    assert isinstance(undefined, Undefined)


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: steps.acsm_step_kg(0), "positive"),
        (lambda: steps.acsm_days_a_week("god"), "novice"),
        (lambda: steps.acsm_repetition_range("god"), "novice"),
        (lambda: steps.two_for_two(0, [1, 1]), "at least 1"),
        (lambda: steps.handbook_increment_kg("middle", "less"), "area"),
        (lambda: steps.load_jump_kg(50, 0, "upper", "less"), "positive"),
        (lambda: steps.even_sets_step(Dose(seconds=20), 5, 5), "repetitions"),
    ],
)
def test_steps_refuse_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
