from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.choices import LoadKind, Measure
from programs.domain.rows import Row
from programs.domain.step_remarks import step_remarks
from programs.models import MovementRevision

ROW = MovementRevision(name="Row", measure=Measure.REPETITIONS, load_kind=LoadKind.EXTERNAL)
HANG = MovementRevision(name="Hang", measure=Measure.SECONDS, load_kind=LoadKind.BODY_FULL)


def _loaded(kg, step, **more):
    load = Decimal(kg)
    return Row(movement=ROW, load_entered=load, load_unit="kg", load_kg=load, step_load=Decimal(step), **more)


def test_a_row_without_steps_has_no_remarks():
    assert list(step_remarks(Row(movement=ROW))) == []


# The stand says 2 to 10 %: 2 kg after 20 kg is 10 %, 2.5 kg is 12.5 %.
@pytest.mark.parametrize(("step", "remarked"), [("2", False), ("2.5", True), ("-5", False)])
def test_a_step_of_load_above_a_tenth_is_remarked(step, remarked):
    told = list(step_remarks(_loaded("20", step)))

    assert [text.startswith("The weekly step of load is more than 10 % (Ratamess") for text in told] == [
        True
    ] * remarked


# 5 points on 40 % are 12.5 % more load, on 80 % they are 6.25 %.
@pytest.mark.parametrize(("percent", "remarked"), [(40, 1), (80, 0)])
def test_a_step_of_a_percentage_is_held_against_the_percentage(percent, remarked):
    row = Row(movement=ROW, percent_of_max=Decimal(percent), step_load=Decimal(5))

    assert len(list(step_remarks(row))) == remarked


@pytest.mark.parametrize(
    ("steps", "words"),
    [({"step_amount": 3}, "reps is more than 2"), ({"step_sets": 2}, "sets is more than 1"), ({"step_amount": 2}, "")],
)
def test_steps_of_reps_and_sets_are_remarked(steps, words):
    told = list(step_remarks(Row(movement=ROW, **steps)))

    assert [words in text for text in told] == ([True] if words else [])


def test_nobody_published_a_step_of_seconds():
    assert list(step_remarks(Row(movement=HANG, step_amount=30))) == []


@given(step=st.integers(0, 40), further=st.integers(0, 40))
def test_a_larger_step_never_has_fewer_remarks(step, further):
    smaller, larger = (list(step_remarks(_loaded("50", str(kg)))) for kg in (step, step + further))

    assert len(larger) >= len(smaller)
