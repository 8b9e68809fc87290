from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import easing
from methods.dose import Dose, harder
from methods.easing import DeloadTrigger
from tests.methods.registry import Checks, Tag

CHECKS = Checks("easing")
ROGERSON = "Rogerson et al. 2024, Sports Med Open 10:26"
CHECKS.add(
    Tag.READ, ROGERSON, "deload_window_weeks", "mean less one SD", 3.3, lambda: easing.deload_window_weeks()[0], 1e-9
)
CHECKS.add(
    Tag.READ, ROGERSON, "deload_window_weeks", "mean plus one SD", 7.9, lambda: easing.deload_window_weeks()[1], 1e-9
)
for before, expected in [(5, 3), (4, 2), (3, 2), (1, 1)]:
    CHECKS.add(
        Tag.PRACTICE, "half the sets", "deload_sets", str(before), expected, lambda b=before: easing.deload_sets(b)
    )
CHECKS.add(Tag.MEMORY, "Caterisano et al. 2019", "return_plan_percent", "2000 AU", (1000, 1400, 1600, 1800),
           lambda: tuple(2000 * p // 100 for p in easing.return_plan_percent(4)))  # fmt: skip
# 5.6 +- 2.3 weeks above; a deload itself lasts 6.4 +- 1.7 days.
CHECKS.add(Tag.READ, ROGERSON, "deload_window_days", "a week lies within one SD", True,
           lambda: easing.deload_window_days()[0] <= 7 <= easing.deload_window_days()[1])  # fmt: skip
CHECKS.add(Tag.READ, ROGERSON, "deload_window_days", "mean, from the window", 6.4,
           lambda: sum(easing.deload_window_days()) / 2, 1e-9)  # fmt: skip
# The survey's words: fewer sets, less load, more in reserve; exercises and days stay.
CHECKS.add(Tag.READ, ROGERSON, "deload", "sets, load, reserve",
           ("fewer", "less", "more"),
           lambda: _directions(Dose(load_kg=40, repetitions=8, sets=4, rir=2)))  # fmt: skip
# Coaches in the interviews of Bell et al. 2022 cut amount and effort most.
BELL = "Bell et al. 2022, Front Sports Act Living 4:1073223"
CHECKS.add(Tag.READ, BELL, "deload", "sets and reserve without a load", ("fewer", "more"),
           lambda: _directions(Dose(repetitions=8, sets=4, rir=2))[::2])  # fmt: skip
CHECKS.add(Tag.PRACTICE, "the same load to 10 % less", "deload_load_range_kg", "80 kg", (72.0, 80),
           lambda: easing.deload_load_range_kg(80))  # fmt: skip
# 4 sets of 8 at 40 kg with 2 left: half is 2 sets with 4 left, and 36 kg, which plates of 2.5 make 35.
CHECKS.add(Tag.PRACTICE, "half the sets, two more in reserve, to 10 % less", "deload", "4 x 8 x 40 kg, 2 left",
           Dose(load_kg=35.0, repetitions=8, sets=2, rir=4.0),
           lambda: easing.deload(Dose(load_kg=40, repetitions=8, sets=4, rir=2), 2.5))  # fmt: skip
USUAL = Dose(load_kg=40, repetitions=8, sets=4, rir=2)
for case, planned, expected in [
    ("2 of 4 sets", replace(USUAL, sets=2), True),
    ("3 of 4 sets", replace(USUAL, sets=3), False),
    ("2 of 4 sets, heavier", replace(USUAL, sets=2, load_kg=42.5), False),
    ("as many sets, 36 kg", replace(USUAL, load_kg=36), False),
]:
    CHECKS.add(Tag.PRACTICE, "half the sets, nothing harder", "is_deload_dose", case, expected,
               lambda planned=planned: easing.is_deload_dose(USUAL, planned))  # fmt: skip


def _directions(usual):
    lighter = easing.deload(usual)
    return (
        "fewer" if lighter.sets < usual.sets else "as many",
        "less" if (lighter.load_kg or 0) < (usual.load_kg or 0) else "as much",
        "more" if lighter.rir > usual.rir else "as much",
    )


def test_easing_agrees_with_the_outside():
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
    assert not harder(easing.return_after_break(dose, days, week=week, increment_kg=increment), dose)


@given(doses, increments, st.floats(0, 200), st.floats(0, 200), st.integers(1, 3))
def test_a_longer_break_is_never_harder(dose, increment, days, more, week):
    shorter = easing.return_after_break(dose, days, week=week, increment_kg=increment)

    assert not harder(easing.return_after_break(dose, days + more, week=week, increment_kg=increment), shorter)


@given(doses, increments)
@pytest.mark.parametrize(
    "ease",
    [
        easing.deload,
        easing.less_after_failing,
        easing.easier_version,
        lambda d, _: easing.reduced_dose(d),
        lambda d, _: easing.reduced_dose(d, eccentric=True),
        lambda d, _: easing.shorter_sets(d, 0.5),
    ],
)
def test_what_eases_is_never_harder(ease, dose, increment):
    assert not harder(ease(dose, increment), dose)


@pytest.mark.parametrize(("days", "load", "sets"), [(6, 40, 4), (13, 40, 4), (14, 36, 2), (28, 32, 2), (57, 24, 2)])
def test_a_break_costs_by_its_length(days, load, sets):
    back = easing.return_after_break(DOSE, days)

    assert (back.load_kg, back.sets) == (pytest.approx(load), sets)


def test_after_eight_weeks_a_step_is_given_back_too():
    assert easing.return_after_break(DOSE, 60).step == 2


def test_the_second_week_back_does_more_sets():
    assert easing.return_after_break(DOSE, 21, week=2).sets == 2
    assert easing.return_after_break(DOSE, 21, week=3).sets == 4


def test_first_exposure_is_small():
    assert easing.reduced_dose(DOSE) == Dose(load_kg=40, repetitions=8, sets=2, step=3, rir=4, rest_s=90)


@pytest.mark.parametrize(
    ("weeks", "triggers", "offered"),
    [
        (7.9, [], False), (8, [], True), (3.9, ["stalled"], False), (4, ["stalled"], True),
        (0, ["stalled", "soreness"], True), (0, ["stalled", "stalled"], False),
    ],
)  # fmt: skip
def test_a_lighter_week_is_offered_by_weeks_and_reasons(weeks, triggers, offered):
    assert easing.deload_offered(weeks, [DeloadTrigger(name) for name in triggers]) == offered


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: easing.deload_sets(0), "at least 1"),
        (lambda: easing.lighter_load(DOSE, 0, None), "between"),
        (lambda: easing.return_after_break(DOSE, -1), "negative"),
        (lambda: easing.return_after_break(DOSE, 5, week=0), "at least 1"),
        (lambda: easing.return_plan_percent(5), "four weeks"),
        (lambda: easing.deload_offered(-1), "negative"),
    ],
)
def test_easing_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


@given(doses, increments)
def test_the_deload_of_a_dose_is_one(dose, increment_kg):
    assert easing.is_deload_dose(dose, easing.deload(dose, increment_kg))


@given(doses)
def test_the_same_dose_or_a_harder_one_is_no_deload(dose):
    assert not easing.is_deload_dose(dose, dose)
    assert not easing.is_deload_dose(dose, replace(easing.deload(dose), repetitions=dose.repetitions + 1))


def test_the_load_of_a_deload_refuses_no_load():
    with pytest.raises(ValueError, match="positive"):
        easing.deload_load_range_kg(0)
