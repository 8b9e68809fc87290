import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import steps
from methods.dose import Dose, harder
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
ROGERSON = "Rogerson et al. 2024, Sports Med Open 10:26 (5.6 +- 2.3 weeks)"
CHECKS.add(
    Tag.READ, ROGERSON, "deload_window_weeks", "mean less one SD", 3.3, lambda: steps.deload_window_weeks()[0], 1e-9
)
CHECKS.add(
    Tag.READ, ROGERSON, "deload_window_weeks", "mean plus one SD", 7.9, lambda: steps.deload_window_weeks()[1], 1e-9
)
for before, expected in [(5, 3), (4, 2), (3, 2), (1, 1)]:
    CHECKS.add(
        Tag.PRACTICE, "half the sets", "deload_sets", str(before), expected, lambda b=before: steps.deload_sets(b)
    )
CHECKS.add(Tag.MEMORY, "handbook's increments", "handbook_increment_kg", "less trained, lower", (2.0, 4.0),
           lambda: steps.handbook_increment_kg("lower", "less"))  # fmt: skip
CHECKS.add(Tag.MEMORY, "Caterisano et al. 2019", "return_plan_percent", "2000 AU", (1000, 1400, 1600, 1800),
           lambda: tuple(2000 * p // 100 for p in steps.return_plan_percent(4)))  # fmt: skip
for jump, expected in [(5, 9), (2.5, 10)]:
    CHECKS.add(A, HAND, "repetitions_after_jump", f"80 kg x 12, +{jump}", expected,
               lambda j=jump: steps.repetitions_after_jump(80, 12, j))  # fmt: skip


def test_steps_agree_with_the_outside():
    assert CHECKS.wrong() == []


DOSE = Dose(load_kg=40, repetitions=8, sets=4, step=3, rir=2, rest_s=90)
doses = st.builds(
    Dose,
    load_kg=st.none() | st.floats(-20, 100),
    repetitions=st.integers(1, 20),
    sets=st.integers(1, 10),
    step=st.none() | st.integers(0, 9),
    rir=st.none() | st.integers(0, 5),
)
increments = st.none() | st.sampled_from([0.5, 1.0, 2.5, 5.0])


@given(doses, increments, st.floats(0, 400), st.integers(1, 5))
def test_a_return_is_never_harder(dose, increment, days, week):
    assert not harder(steps.return_after_break(dose, days, week=week, increment_kg=increment), dose)


@given(doses, increments, st.floats(0, 200), st.floats(0, 200), st.integers(1, 3))
def test_a_longer_break_is_never_harder(dose, increment, days, more, week):
    shorter = steps.return_after_break(dose, days, week=week, increment_kg=increment)

    assert not harder(steps.return_after_break(dose, days + more, week=week, increment_kg=increment), shorter)


@given(doses, increments)
@pytest.mark.parametrize(
    "ease",
    [
        steps.deload,
        steps.less_after_failing,
        steps.easier_version,
        lambda d, _: steps.reduced_dose(d),
        lambda d, _: steps.reduced_dose(d, eccentric=True),
        lambda d, _: steps.shorter_sets(d, 0.5),
    ],
)
def test_what_eases_is_never_harder(ease, dose, increment):
    assert not harder(ease(dose, increment), dose)


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


@pytest.mark.parametrize(("days", "load", "sets"), [(6, 40, 4), (13, 40, 4), (14, 36, 2), (28, 32, 2), (57, 24, 2)])
def test_a_break_costs_by_its_length(days, load, sets):
    back = steps.return_after_break(DOSE, days)

    assert (back.load_kg, back.sets) == (pytest.approx(load), sets)


def test_after_eight_weeks_a_step_is_given_back_too():
    assert steps.return_after_break(DOSE, 60).step == 2


def test_the_second_week_back_does_more_sets():
    assert steps.return_after_break(DOSE, 21, week=2).sets == 2
    assert steps.return_after_break(DOSE, 21, week=3).sets == 4


def test_first_exposure_is_small():
    assert steps.reduced_dose(DOSE) == Dose(load_kg=40, repetitions=8, sets=2, step=3, rir=4, rest_s=90)


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
        (lambda: steps.two_for_two(0, [1, 1]), "at least 1"),
        (lambda: steps.handbook_increment_kg("middle", "less"), "area"),
        (lambda: steps.load_jump_kg(50, 0, "upper", "less"), "positive"),
        (lambda: steps.even_sets_step(Dose(seconds=20), 5, 5), "repetitions"),
        (lambda: steps.deload_sets(0), "at least 1"),
        (lambda: steps.lighter_load(DOSE, 0, None), "between"),
        (lambda: steps.return_after_break(DOSE, -1), "negative"),
        (lambda: steps.return_after_break(DOSE, 5, week=0), "at least 1"),
        (lambda: steps.return_plan_percent(5), "four weeks"),
    ],
)
def test_steps_refuse_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
