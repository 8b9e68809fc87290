from decimal import Decimal

import pytest
from django import forms

from programs.choices import Measure
from programs.forms import RowForm, initial_of
from programs.forms.fields import LoadField
from programs.models import MovementRevision

PRESS = MovementRevision(pk=1, name="Press", measure=Measure.REPETITIONS)
TYPED = {"movement": "Press", "section": "strength", "sets": "3", "amount": "5", "rest_s": "90", "kind": "work"}


def row_form(**typed):
    return RowForm(TYPED | typed, movements={"press": PRESS}, unit="kg")


def test_percentage_in_the_row_is_kept_without_a_load_and_shown_as_typed():
    form = row_form(load="80%")
    assert form.is_valid(), form.errors

    row = form.row()

    assert (row.percent_of_max, row.load_entered, row.load_kg) == (Decimal("80.0"), None, None)
    assert initial_of(row)["load"] == "80 %"


def test_percentage_and_help_are_not_both():
    assert "help" in row_form(load="80 %", help="10 kg").errors


@pytest.mark.parametrize(("text", "percent"), [("80 %", "80.0"), ("82,5%", "82.5"), ("100 %", "100.0")])
def test_load_may_be_a_percentage_of_the_reference_max(text, percent):
    field = LoadField(takes_percent=True)

    entered, unit = field.clean(text)

    assert (entered, unit) == (Decimal(percent), "%")


@pytest.mark.parametrize("text", ["0 %", "101 %", "80 percent"])
def test_percentage_outside_its_range_is_refused(text):
    with pytest.raises(forms.ValidationError):
        LoadField(takes_percent=True).clean(text)


def test_help_is_no_percentage():
    with pytest.raises(forms.ValidationError):
        LoadField().clean("80 %")
