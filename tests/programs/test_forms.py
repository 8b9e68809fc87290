from decimal import Decimal

import pytest

from programs.choices import Measure
from programs.domain.rows import Row
from programs.forms import RowForm, initial_of, row_formset
from programs.models import MovementRevision

PUSH_UP = MovementRevision(pk=1, name="Push-up", measure=Measure.REPETITIONS)
LUNGE = MovementRevision(pk=2, name="Lunge", measure=Measure.REPETITIONS, one_sided=True)
HOLD = MovementRevision(pk=3, name="Hold", measure=Measure.SECONDS)
MOVEMENTS = {"push-up": PUSH_UP, "lunge": LUNGE, "hold": HOLD}
TYPED = {
    "movement": "Push-up",
    "section": "strength",
    "sets": "3",
    "amount": "8-12",
    "rest_s": "90",
    "kind": "work",
}


def _form(unit="kg", **typed):
    return RowForm(TYPED | typed, movements=MOVEMENTS, unit=unit)


def _row(**typed):
    form = _form(**typed)
    assert form.is_valid(), form.errors
    return form.row()


def _formset(*rows, initial=(), **management):
    data = {"rows-TOTAL_FORMS": len(rows), "rows-INITIAL_FORMS": 0} | {f"rows-{k}": v for k, v in management.items()}
    for n, row in enumerate(rows):
        data |= {f"rows-{n}-{name}": value for name, value in row.items()}
    return row_formset(data, list(initial), movements=MOVEMENTS, unit="kg")


@pytest.mark.parametrize(("typed", "amount"), [("5", (5, 5)), ("8-12", (8, 12)), (" 8 – 12 ", (8, 12))])
def test_amount_is_a_number_or_a_range(typed, amount):
    row = _row(amount=typed)

    assert (row.amount_low, row.amount_high) == amount


@pytest.mark.parametrize("typed", ["", "a few", "12-8", "0", "5-4000", "-3", "8-", "1.5"])
def test_amount_that_is_none_is_told_at_the_field(typed):
    assert list(_form(amount=typed).errors) == ["amount"]


@pytest.mark.parametrize(
    ("typed", "unit", "load"),
    [
        ("20", "kg", (Decimal(20), "kg", Decimal("20.000"))),
        ("20", "lb", (Decimal(20), "lb", Decimal("9.072"))),
        ("45 LB", "kg", (Decimal(45), "lb", Decimal("20.412"))),
        ("22,5kg", "lb", (Decimal("22.5"), "kg", Decimal("22.500"))),
    ],
)
def test_load_is_kept_as_entered_and_in_kg(typed, unit, load):
    row = _row(load=typed, unit=unit)

    assert (row.load_entered, row.load_unit, row.load_kg) == load


@pytest.mark.parametrize("typed", ["heavy", "-5", "20 stone", "2000"])
def test_load_that_is_none_is_told_at_the_field(typed):
    assert list(_form(load=typed).errors) == ["load"]


@pytest.mark.parametrize(("typed", "tempo"), [("3-1-x-0", "3-1-X-0"), ("2/0/2/0", "2-0-2-0"), ("", "")])
def test_tempo_is_written_one_way(typed, tempo):
    assert _row(tempo=typed).tempo == tempo


@pytest.mark.parametrize("typed", ["3-1", "fast", "0-0-0-0", "X-1-1-1"])
def test_tempo_that_is_none_is_told_at_the_field(typed):
    assert list(_form(tempo=typed).errors) == ["tempo"]


@pytest.mark.parametrize(
    ("field", "typed"),
    [("sets", "0"), ("sets", "21"), ("rest_s", "-1"), ("rest_s", "1201"), ("rir", "11"), ("rpe", "2.25")],
)
def test_numbers_outside_their_range_are_told_at_the_field(field, typed):
    assert list(_form(**{field: typed}).errors) == [field]


def test_effort_by_rir_and_rpe_at_once_is_told():
    assert list(_form(rir="2", rpe="8").errors) == ["rpe"]


def test_load_and_help_at_once_is_told():
    assert list(_form(load="5", help="10").errors) == ["help"]


def test_unknown_movement_is_told():
    assert list(_form(movement="Cartwheel").errors) == ["movement"]


def test_one_sided_movement_is_done_on_each_side():
    assert _row(movement="Lunge").per_side


def test_row_survives_being_shown_and_typed_again():
    row = Row(
        movement=LUNGE,
        per_side=True,
        target_rir=Decimal("2.5"),
        load_entered=Decimal("22.50"),
        load_unit="kg",
        load_kg=Decimal("22.500"),
        tempo="3-1-X-0",
        cue="Slow",
    )

    again = _row(**initial_of(row) | {"lineage": ""})

    assert again == row


def test_blank_rows_are_ignored():
    formset = _formset(TYPED, {"section": "core", "sets": "3", "amount": "8-12", "rest_s": "90", "kind": "work"})

    assert formset.is_valid(), formset.errors
    assert len(formset.rows()) == 1


def test_row_with_content_but_no_movement_is_told():
    formset = _formset(TYPED | {"movement": "", "load": "20"})

    assert not formset.is_valid()
    assert list(formset.errors[0]) == ["movement"]


def test_rows_follow_their_places_and_removed_ones_go():
    formset = _formset(
        TYPED | {"ORDER": "3"},
        TYPED | {"ORDER": "1", "movement": "Lunge"},
        TYPED | {"ORDER": "2", "DELETE": "on"},
    )

    assert formset.is_valid(), formset.errors
    assert [row.movement for row in formset.rows()] == [LUNGE, PUSH_UP]


@pytest.mark.parametrize(
    "rows",
    [
        [TYPED | {"joined": "on"}],
        [TYPED | {"joined": "on"}, TYPED | {"section": "core"}],
        [TYPED | {"joined": "on"}, TYPED | {"joined": "on"}],
    ],
)
def test_pair_without_a_partner_is_told(rows):
    formset = _formset(*rows)

    assert not formset.is_valid()
    assert list(formset.forms[0].errors) == ["joined"]


def test_too_many_rows_are_refused():
    assert not _formset(*[TYPED] * 41).is_valid()


def test_unfinished_rows_do_not_hide_the_finished_ones():
    formset = _formset(TYPED, TYPED | {"amount": "8-"})

    assert [row.movement for row in formset.finished_rows()] == [PUSH_UP]


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("p", "pronated"), ("Pronated, n", "pronated,neutral"), ("s/p/s", "supinated,pronated,supinated"), ("", "")],
)
def test_a_grip_is_typed_by_its_beginning_and_several_take_turns(typed, kept):
    assert _row(grip=typed).grip == kept


@pytest.mark.parametrize("typed", ["hook", "p n s p n s", "x"])
def test_a_grip_that_is_none_is_told_at_the_field(typed):
    assert list(_form(grip=typed).errors) == ["grip"]


def test_weekly_steps_are_typed_with_sign_and_unit():
    row = _row(load="20 kg", rir="3", step="+1 rep, -0.5 RIR +2,5 kg +1 set")

    assert (row.step_amount, row.step_rir, row.step_load, row.step_sets) == (1, Decimal("-0.5"), Decimal("2.5"), 1)


@pytest.mark.parametrize(
    ("typed", "load"),
    [
        ("1 rep", ""),
        ("+1 rep +2 reps", ""),
        ("+0.5 set", ""),
        ("+99 kg", "20 kg"),
        ("+2 kg", ""),
        ("+5 lb", "20 kg"),
        ("-1 RIR", ""),
    ],
)
def test_a_step_without_sense_is_told_at_the_field(typed, load):
    assert list(_form(step=typed, load=load).errors) == ["step"]


def test_a_reserve_that_changes_begins_with_one():
    (problem,) = _form(step="-1 RIR").errors["step"]

    assert problem == "A reserve that changes each week needs an RIR or RPE to begin with."


@pytest.mark.parametrize("effort", [{"rir": "3"}, {"rpe": "7"}])
def test_a_reserve_may_change_from_an_rir_or_rpe(effort):
    assert _row(step="-1 RIR", **effort).step_rir == -1


@pytest.mark.parametrize("name", ["rir", "rpe"])
def test_wrong_effort_is_told_once_and_not_at_the_step_too(name):
    assert list(_form(step="-1 RIR", **{name: "11"}).errors) == [name]


def test_a_cluster_has_parts_smaller_than_the_set():
    assert list(_form(kind="cluster", amount="6").errors) == ["cluster_reps"]
    assert list(_form(kind="cluster", amount="6", cluster_reps="6").errors) == ["cluster_reps"]

    row = _row(kind="cluster", amount="6", cluster_reps="2", rest_within_s="15")

    assert (row.cluster_reps, row.rest_within_s) == (2, 15)


def test_only_repetitions_have_parts():
    form = _form(movement="Hold", kind="cluster", amount="30", cluster_reps="5")

    assert form.errors == {"kind": ["Only repetitions have parts."]}


def test_parts_of_a_set_that_is_no_cluster_are_not_kept():
    assert _row(cluster_reps="2", rest_within_s="15").cluster_reps is None


def test_an_option_needs_its_limit_and_a_limit_its_option():
    assert list(_form(easier="Lunge").errors) == ["easier_below"]
    assert list(_form(harder_from="12").errors) == ["harder"]
    assert _row(easier="lunge", easier_below="5").easier == LUNGE


@pytest.mark.parametrize(("option", "limit"), [("easier", "easier_below"), ("harder", "harder_from")])
def test_an_option_is_measured_as_its_movement_is(option, limit):
    assert list(_form(**{option: "Hold", limit: "5"}).errors) == [option]


def test_a_movement_is_found_by_the_beginnings_of_its_words():
    assert _row(movement="pu u").movement.name == "Push-up"


def test_beginnings_that_fit_several_movements_are_told_with_their_names():
    movements = {name.lower(): MovementRevision(name=name) for name in ("Lunge walk", "Lunge wave", "Lunge")}

    form = RowForm(TYPED | {"movement": "lu wa"}, movements=movements, unit="kg")

    assert "Lunge walk" in form.errors["movement"][0]


def _joined(*rows, **first):
    """Rows that are all done together."""
    return _formset(TYPED | {"joined": "on"} | first, *[TYPED | {"joined": "on"} for _ in rows[:-1]], TYPED)


def test_three_rows_together_are_a_circuit():
    formset = _joined("second", "third")

    assert formset.is_valid(), formset.errors
    assert [row.joined for row in formset.rows()] == [True, True, False]


@pytest.mark.parametrize(
    ("first", "field"),
    [({"together": "rounds"}, "minutes"), ({"together": "circuit", "sets": "5"}, "together")],
)
def test_what_a_group_needs_is_told_at_its_first_row(first, field):
    formset = _joined("second", **first)

    assert not formset.is_valid()
    assert list(formset.forms[0].errors) == [field]


@pytest.mark.parametrize(("field", "typed"), [("rpe", "0"), ("rpe", "0.9"), ("step", "+0.25 RIR")])
def test_effort_outside_its_scale_is_told_at_the_field(field, typed):
    assert list(_form(**{field: typed}).errors) == [field]


def test_a_step_is_in_the_measure_of_its_movement():
    held = MovementRevision(pk=3, name="Plank", measure=Measure.SECONDS)
    form = RowForm(TYPED | {"movement": "plank", "step": "+1 rep"}, movements={"plank": held}, unit="kg")

    assert list(form.errors) == ["step"]
    assert list(_form(step="+5 s").errors) == ["step"]


def test_rounds_step_together():
    formset = _joined("second", together="circuit", step="+1 set")

    assert not formset.is_valid()
    assert list(formset.forms[0].errors) == ["together"]
