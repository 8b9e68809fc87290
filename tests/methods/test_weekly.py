import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import weekly
from methods.undefined import Undefined
from methods.weekly import WEEKLY_SETS, Place
from tests.methods.registry import Checks, Tag

CHECKS = Checks("weekly")
BELOW, WITHIN, ABOVE = Place
PELLAND = "Pelland et al. 2025, Sports Med"
ACSM_2026 = "ACSM position stand 2026, as reported by profession pages"
for tag, source, name, sets, expected in [
    (Tag.READ, "Iversen et al. 2021, Sports Med 51:2079", "little_time", (3, 4), (BELOW, WITHIN)),
    (Tag.READ, "Baz-Valle et al. 2022, J Hum Kinet", "size_trained", (11, 12, 20, 21), (BELOW, WITHIN, WITHIN, ABOVE)),
    (Tag.READ, "Schoenfeld, Ogborn, Krieger 2017, J Sports Sci 35(11):1073", "size_class", (9, 10), (BELOW, WITHIN)),
    (Tag.SECONDARY, PELLAND, "size_efficient", (4, 5, 10, 11), (BELOW, WITHIN, WITHIN, ABOVE)),
    (Tag.SECONDARY, PELLAND, "strength", (1, 2, 4, 5), (BELOW, WITHIN, WITHIN, ABOVE)),
    (Tag.SECONDARY, ACSM_2026, "size_acsm", (9, 10, 40), (BELOW, WITHIN, WITHIN)),
]:
    CHECKS.add(tag, source, "weekly_sets_place", f"{name}: {sets}", expected,
               lambda n=name, s=sets: tuple(weekly.weekly_sets_place(each, n).place for each in s))  # fmt: skip
CHECKS.add(Tag.MEMORY, "Bull et al. 2020 (WHO)", "strength_days_place", "1, 2, 5 days", (BELOW, WITHIN, WITHIN),
           lambda: tuple(weekly.strength_days_place(days).place for days in (1, 2, 5)))  # fmt: skip
CHECKS.add(Tag.SECONDARY, ACSM_2026, "strength_days_place", "two days or more", 2,
           lambda: weekly.STRENGTH_DAYS_WHO.least)  # fmt: skip
# 2 % of 60 kg is 1.2 kg, 10 % is 6 kg; light dumbbells from 4 to 5 kg rise by 25 %.
ACSM = "Ratamess et al. 2009 (ACSM), Med Sci Sports Exerc 41(3):687"
STEPS_KG = [(60, 61.1), (60, 61.2), (60, 66), (60, 66.1), (20, 22), (4, 5)]
CHECKS.add(Tag.READ, ACSM, "load_step_place", "both ends at 60 kg; 20 to 22; 4 to 5 kg",
           (BELOW, WITHIN, WITHIN, ABOVE, WITHIN, ABOVE),
           lambda: tuple(weekly.load_step_place(*step).place for step in STEPS_KG))  # fmt: skip
CHECKS.add(Tag.PRACTICE, "1 to 2 repetitions over target (ACSM 2009), taken as a week's step", "count_step_place",
           "0, 1, 2, 3 repetitions", (BELOW, WITHIN, WITHIN, ABOVE),
           lambda: tuple(weekly.count_step_place("repetitions", step).place for step in range(4)))  # fmt: skip
CHECKS.add(Tag.PRACTICE, "one set at a time", "count_step_place", "0, 1, 2 sets", (BELOW, WITHIN, ABOVE),
           lambda: tuple(weekly.count_step_place("sets", step).place for step in range(3)))  # fmt: skip
# The "+" of the handbook's rows for more trained people means "or more".
for area, level, steps, expected in [
    ("upper", "less", (0.5, 1, 2, 2.5), (BELOW, WITHIN, WITHIN, ABOVE)),
    ("lower", "less", (1, 2, 4, 5), (BELOW, WITHIN, WITHIN, ABOVE)),
    ("upper", "more", (1, 2, 9), (BELOW, WITHIN, WITHIN)),
    ("lower", "more", (2, 4, 12), (BELOW, WITHIN, WITHIN)),
]:
    CHECKS.add(Tag.MEMORY, "handbook's increments", "handbook_step_place", f"{area}, {level}: {steps} kg", expected,
               lambda a=(area, level), s=steps: tuple(weekly.handbook_step_place(x, *a).place for x in s))  # fmt: skip


def test_weekly_figures_agree_with_the_outside():
    assert CHECKS.wrong() == []


def test_a_place_tells_its_range_and_source():
    placed = weekly.weekly_sets_place(15, "size_trained")

    assert (placed.range.least, placed.range.most, placed.range.source[:9]) == (12, 20, "Baz-Valle")


def test_every_range_names_source_and_evidence():
    ranges = [*WEEKLY_SETS.values(), weekly.STRENGTH_DAYS_WHO, weekly.LOAD_STEP_PERCENT, weekly.REPETITIONS_STEP]

    assert all(each.source and each.about and each.evidence in list(Tag) for each in ranges)


def test_a_step_of_seconds_has_no_published_size():
    assert isinstance(weekly.count_step_place("seconds", 5), Undefined)


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: weekly.weekly_sets_place(-1, "strength"), "negative"),
        (lambda: weekly.weekly_sets_place(5, "luck"), "little_time"),
        (lambda: weekly.strength_days_place(-1), "negative"),
        (lambda: weekly.load_step_place(0, 5), "positive"),
        (lambda: weekly.load_step_place(5, -1), "negative"),
        (lambda: weekly.handbook_step_place(1, "middle", "less"), "area"),
        (lambda: weekly.count_step_place("luck", 1), "quantity"),
        (lambda: weekly.count_step_place("seconds", float("nan")), "finite"),
    ],
)
def test_weekly_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


ORDER = {BELOW: 0, WITHIN: 1, ABOVE: 2}


@given(st.sampled_from(sorted(WEEKLY_SETS)), st.floats(0, 60), st.floats(0, 60))
def test_more_sets_never_lie_lower(name, one, other):
    fewer, more = sorted((one, other))

    assert ORDER[weekly.weekly_sets_place(fewer, name).place] <= ORDER[weekly.weekly_sets_place(more, name).place]


@given(st.floats(1, 300), st.floats(0, 300), st.floats(0, 300))
def test_more_load_never_lies_lower(before, one, other):
    less, more = sorted((one, other))

    assert ORDER[weekly.load_step_place(before, less).place] <= ORDER[weekly.load_step_place(before, more).place]


@given(st.floats(1, 300))
def test_the_steps_that_the_stand_advises_lie_within_it(system_kg):
    from_2_to_10_percent = (1.02 * system_kg, 1.06 * system_kg, 1.1 * system_kg)

    assert {weekly.load_step_place(system_kg, after).place for after in from_2_to_10_percent} == {WITHIN}
