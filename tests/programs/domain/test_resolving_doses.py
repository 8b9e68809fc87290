"""What becomes of a dose on its way to another movement: told examples, one for each rule."""

from dataclasses import replace
from decimal import Decimal

import pytest

from programs.choices import LoadKind
from programs.domain import resolving
from programs.domain.graph import Entered, Known, Link, Option, graph_from
from programs.domain.resolving import Asked, Day, Want, resolve

HERE = frozenset({"floor"})
SHARE, PLUS, ASSISTED = LoadKind.BODY_SHARE.value, LoadKind.BODY_PLUS.value, LoadKind.ASSISTED.value


def known(slug, load_kind=SHARE, measure="reps", **facts):
    return Known(
        **{"slug": slug, "name": slug.title(), "pattern": "hpush", "load_kind": load_kind, "measure": measure, **facts}
    )


MISSING = (frozenset({"bar"}),)


def day(*kinds, since=3, **facts):
    usable = HERE | set(kinds)
    done = dict.fromkeys(("top", "low", "other"), since) if since is not None else None
    return Day(**{"present": usable, "usable": usable, "days_since": done, **facts})


def ask(movement, **dose):
    return Asked(movement, **{"sets": 4, "amount_low": 8, "amount_high": 12, "target_rir": Decimal(2), **dose})


def downwards(low, *, today=None, top=None, **dose):
    """The dose of the step below, when the one above cannot be set up."""
    top = replace(top or known("top"), ways=MISSING)
    result = resolve(ask(top, **dose), today or day(), graph_from([top, low], [Link("low", "top")]))
    assert result.movement == low
    return result.dose


def amounts(dose):
    return dose.sets, dose.amount_low, dose.amount_high


def test_what_is_possible_keeps_everything_that_was_prescribed():
    asked = ask(
        known("top"), per_side=True, load_kg=Decimal(5), load_entered=Decimal(5), load_unit="kg", tempo="3-0-1-0"
    )

    assert resolve(asked, day(), graph_from([asked.movement], [])).dose == asked


# Into another movement


def test_reps_become_seconds_on_both_ends_of_the_range_without_their_tempo():
    dose = downwards(known("low", measure="seconds"), amount_low=2, amount_high=3, tempo="5-1-1-0")

    assert (dose.amount_low, dose.amount_high, dose.tempo) == (14, 21, "")


def test_tempo_stays_with_repetitions():
    assert downwards(known("low"), tempo="3-1-1-0").tempo == "3-1-1-0"


def test_sides_are_those_of_the_other_movement():
    assert downwards(known("low", one_sided=True)).per_side is True
    assert downwards(known("low"), per_side=True).per_side is False


@pytest.mark.parametrize(
    ("above", "below", "kept"),
    [(PLUS, PLUS, True), (PLUS, SHARE, False), (SHARE, PLUS, False), (ASSISTED, SHARE, False)],
)
def test_load_goes_along_only_between_movements_that_take_one(above, below, kept):
    dose = downwards(
        known("low", below), top=known("top", above), load_kg=Decimal(10), load_entered=Decimal(22), load_unit="lb"
    )

    told = (Decimal(10), Decimal(22), "lb") if kept else (None, None, "")
    assert (dose.load_kg, dose.load_entered, dose.load_unit) == told


def test_percentage_is_of_its_own_movements_maximum():
    assert downwards(known("low", PLUS), top=known("top", PLUS), percent_of_max=Decimal(80)).percent_of_max is None


def test_load_does_not_go_up_to_a_harder_movement():
    top, low = known("top", PLUS), known("low", PLUS)
    asked = ask(low, load_kg=Decimal(10), load_entered=Decimal(10), load_unit="kg")

    dose = resolve(asked, day(), graph_from([top, low], [Link("low", "top", Entered(sets=2))]), Want.HARDER).dose

    assert (dose.load_kg, dose.load_entered, dose.load_unit) == (None, None, "")


@pytest.mark.parametrize(("above", "below", "help_kg"), [(ASSISTED, ASSISTED, 20), (ASSISTED, SHARE, None)])
def test_help_goes_along_only_between_movements_with_help(above, below, help_kg):
    assert downwards(known("low", below), top=known("top", above), assistance_kg=Decimal(20)).assistance_kg == help_kg


@pytest.mark.parametrize(
    ("measure", "amount", "to", "tempo", "expected"),
    [
        ("seconds", 60, "seconds", "", 60),
        ("seconds", 60, "reps", "", 15),
        ("metres", 40, "seconds", "", 30),
        ("reps", 3, "seconds", "", 12),
        ("reps", 3, "seconds", "5-1-1-0", 21),
        ("reps", 3, "reps", "2-0-1-0", 3),
        ("seconds", 2, "reps", "", 1),
    ],
)
def test_amount_in_another_measure(measure, amount, to, tempo, expected):
    asked = ask(known("top", measure=measure), tempo=tempo)

    assert resolving.turned_amount(asked, amount, to) == expected


# Entering a movement

FEW = Entered(sets=2, amount_low=3, amount_high=5, target_rir=3)
MANY = Entered(sets=9, amount_low=15, amount_high=20, target_rir=1)


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        (Entered(), (4, 8, 12, 2)),
        (Entered(sets=3), (3, 8, 12, 2)),
        (Entered(sets=6), (4, 8, 12, 2)),
        (Entered(amount_high=10), (4, 8, 10, 2)),
        (Entered(amount_high=5), (4, 5, 5, 2)),
        (FEW, (2, 3, 5, 3)),
        (MANY, (4, 15, 20, 2)),
    ],
)
def test_entry_dose_of_a_line_says_range_and_reserve_and_never_adds_sets(entry, expected):
    dose = resolving.at_entry(ask(known("top")), entry)

    assert (*amounts(dose), dose.target_rir) == expected


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        (FEW, (2, 3, 5, 3)),
        (MANY, (4, 8, 12, 2)),
        (Entered(amount_low=3, amount_high=20), (4, 3, 12, 2)),
        (Entered(amount_low=5, amount_high=10), (4, 5, 10, 2)),
    ],
)
def test_entry_dose_only_lessens_when_a_movement_comes_from_above(entry, expected):
    dose = resolving.at_entry(ask(known("top")), entry, only_less=True)

    assert (*amounts(dose), dose.target_rir) == expected


@pytest.mark.parametrize(("entry", "expected"), [(FEW, (2, 3, 5, 4)), (MANY, (2, 8, 12, 4))])
def test_new_movement_below_starts_no_higher_than_the_line_enters_it_or_the_plan_asks(entry, expected):
    dose = _below_new(entry)

    assert (*amounts(dose), dose.target_rir) == expected


def _below_new(entry):
    top, new, start = replace(known("top"), ways=MISSING), known("new"), replace(known("start"), ways=MISSING)
    graph = graph_from([top, new, start], [Link("new", "top"), Link("start", "new", entry)])
    return resolve(ask(top), day(), graph).dose


def _below_known(measure):
    top, low, start = replace(known("top"), ways=MISSING), known("low", measure=measure), known("start")
    graph = graph_from([top, low, start], [Link("low", "top"), Link("start", "low", FEW)])
    return resolving.turned(ask(top, amount_low=2, amount_high=4), Option(low), graph, day())


def test_known_movement_below_is_entered_anew_only_where_the_measure_changes():
    assert amounts(_below_known("reps")) == (4, 2, 4)
    assert amounts(_below_known("seconds")) == (2, 3, 5)


def test_client_of_whom_nothing_is_known_starts_small_everywhere():
    dose = downwards(known("low"), today=day(since=None))

    assert (dose.sets, dose.target_rir) == (2, 4)


# In reserve


@pytest.mark.parametrize(
    ("stated", "at_least", "rir", "rpe"),
    [
        ({"target_rir": Decimal(2)}, None, 2, None),
        ({"target_rir": Decimal(2)}, 4, 4, None),
        ({"target_rir": Decimal(5)}, 4, 5, None),
        ({"target_rir": None, "target_rpe": Decimal(8)}, 1, None, 8),
        ({"target_rir": None, "target_rpe": Decimal(8)}, 2, None, 8),
        ({"target_rir": None, "target_rpe": Decimal(9)}, 3, 3, None),
        ({"target_rir": None}, 3, 3, None),
    ],
)
def test_reserve_is_only_ever_raised_and_an_effort_that_says_as_much_stays(stated, at_least, rir, rpe):
    dose = resolving.with_reserve(ask(known("top"), **stated), at_least)

    assert (dose.target_rir, dose.target_rpe) == (rir, rpe)


# Less after a break, and easier


@pytest.mark.parametrize(("since", "sets"), [(13, 4), (14, 2)])
def test_break_counts_from_its_fourteenth_day(since, sets):
    result = resolve(ask(known("top")), day(since=since), graph_from([known("top")], []))

    assert result.dose.sets == sets
    assert ("after 14 days" in result.why) is (sets == 2)


def test_load_after_a_break_goes_down_to_a_half_kilogram():
    asked = ask(known("top", PLUS), load_kg=Decimal(21), load_entered=Decimal(21), load_unit="kg")

    dose = resolve(asked, day(since=20), graph_from([asked.movement], [])).dose

    assert dose.load_kg == Decimal("18.5")


def test_load_that_stays_is_said_as_it_was_entered():
    asked = ask(known("new", PLUS), load_kg=Decimal("20.412"), load_entered=Decimal(45), load_unit="lb")

    dose = resolve(asked, day(), graph_from([asked.movement], [])).dose

    assert (dose.sets, dose.load_kg, dose.load_entered, dose.load_unit) == (2, Decimal("20.412"), 45, "lb")


def easier(asked, *below):
    links = [Link(movement.slug, asked.movement.slug) for movement in below]
    return resolve(asked, day(), graph_from([asked.movement, *below], links), Want.EASIER)


def test_lighter_load_is_told_in_kilograms_and_no_longer_as_a_percentage():
    load = {"load_kg": Decimal("20.412"), "load_entered": Decimal(45), "load_unit": "lb"}

    dose = easier(ask(known("top", PLUS), percent_of_max=Decimal(80), **load)).dose

    assert (dose.load_kg, dose.load_entered, dose.load_unit) == (Decimal("18.0"), Decimal("18.0"), "kg")
    assert dose.percent_of_max is None


@pytest.mark.parametrize(
    ("measure", "amount", "expected"),
    [("reps", (10, 12), (9, 9)), ("seconds", (10, 20), (10, 16)), ("metres", (40, 40), (32, 32))],
)
def test_easier_without_an_easier_movement_is_a_fifth_less_of_each_set(measure, amount, expected):
    result = easier(ask(known("top", measure=measure), amount_low=amount[0], amount_high=amount[1]))

    assert (result.dose.amount_low, result.dose.amount_high) == expected
    assert "with less of it than planned" in result.why


def test_one_repetition_has_nothing_easier_but_another_movement():
    assert easier(ask(known("top"), amount_low=1, amount_high=1)).dose is None


@pytest.mark.parametrize(
    ("load_kind", "load_kg", "expected"), [(PLUS, 10, "top"), (PLUS, 0, "low"), (PLUS, None, "low"), (SHARE, 10, "low")]
)
def test_easier_is_less_load_only_where_there_is_one(load_kind, load_kg, expected):
    load = {} if load_kg is None else {"load_kg": Decimal(load_kg), "load_entered": Decimal(load_kg), "load_unit": "kg"}

    assert easier(ask(known("top", load_kind), **load), known("low")).movement.slug == expected


# Chairs

CHAIRS = frozenset({"chair"})


@pytest.mark.parametrize(
    ("pattern", "ways", "kinds", "possible"),
    [
        ("hpull", (CHAIRS,), {"chair"}, False),
        ("dip", (CHAIRS,), {"chair"}, False),
        ("squat", (CHAIRS,), {"chair"}, True),
        # Another way that is there and carries.
        ("hpull", (CHAIRS, frozenset({"table"})), {"chair", "table"}, True),
        ("hpull", (CHAIRS, frozenset({"table"})), {"chair"}, False),
        # Nothing under the client can tip.
        ("hpull", (frozenset({"band", "anchor"}),), {"band", "anchor"}, True),
        ("dip", (), set(), True),
        # A chair beside what carries only takes the feet.
        ("dip", (frozenset({"chair", "dip_bars"}),), {"chair", "dip_bars"}, True),
    ],
)
def test_chairs_alone_carry_no_dip_and_no_row(pattern, ways, kinds, possible):
    movement = known("top", pattern=pattern, ways=ways)

    assert (resolving.refusal(ask(movement), day(*kinds)) is None) is possible


def test_bar_that_is_too_low_is_no_way_past_the_chairs():
    movement = known("top", pattern="hpull", ways=(CHAIRS, frozenset({"bar"})), details={"bar": {"height_cm": 170}})
    things = {"bar": [{"height_cm": 80}]}

    assert resolving.refusal(ask(movement), day("chair", "bar", things=things)) == "chairs"


# Words


def test_words_for_a_lock_say_nothing_else():
    top = known("top")

    assert resolve(ask(top), day(no_start="Locked."), graph_from([top], [])).why == "Locked."


def test_words_when_no_step_up_is_possible():
    top = known("top")

    assert (
        resolve(ask(top), day(), graph_from([top], []), Want.HARDER).why == "No harder step of Top is possible today."
    )


def test_words_name_the_way_with_the_fewest_missing_things():
    top = known("top", ways=(frozenset({"anchor", "band"}), frozenset({"rings"})))

    assert "Rings" in resolve(ask(top), day(), graph_from([top], [])).why
    assert "band" not in resolve(ask(top), day(), graph_from([top], [])).why


def test_words_about_setting_up_name_what_is_missing_and_the_chairs_and_are_empty_when_nothing_is_wrong():
    row = known("top", pattern="hpull", ways=(CHAIRS,), areas=frozenset({"elbow"}))

    assert "Not at this place" in resolving.set_up_words(row, day())
    assert "Chairs do not carry" in resolving.set_up_words(row, day("chair"))
    assert resolving.set_up_words(row, day("chair", chairs_carry=True, barred=frozenset({"elbow"}))) == ""
