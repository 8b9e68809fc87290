"""All rows of a session as one formset: their order, and what is done together."""

from typing import TYPE_CHECKING, Any, cast

from django import forms
from django.utils.translation import gettext_lazy as _

from programs.choices import IN_ROUNDS, GroupKind
from programs.domain.rows import Row, chained, group_columns
from programs.forms.rows import RowForm, initial_of
from programs.models import MovementRevision

MAX_ROWS = 40

if TYPE_CHECKING:
    _Base = forms.BaseFormSet[RowForm]
else:  # not subscriptable at run time
    _Base = forms.BaseFormSet


class BaseRowFormSet(_Base):
    def clean(self) -> None:
        if any(self.errors) or not self.management_form.is_valid():
            return
        if self.total_form_count() < self.initial_form_count():
            raise forms.ValidationError(_("Some rows did not arrive. Nothing was changed; send it again."))
        kept = self.ordered_forms
        for bracket in chained(kept, joins_next=lambda form: form.cleaned_data["joined"]):
            if problem := _bracket_problem(bracket):
                bracket[0].add_error(*problem)

    def add_fields(self, form: RowForm, index: int | None) -> None:
        super().add_fields(form, index)
        form.fields["ORDER"].label = _("Place")
        form.fields["DELETE"].label = _("Remove")

    @property
    def in_order(self) -> list[RowForm]:
        """The forms as they were arranged on the page, also when something in them is wrong."""
        return sorted(self.forms, key=lambda form: _place(form["ORDER"].value()))

    def rows(self) -> list[Row]:
        return [form.row() for form in self.ordered_forms]

    def problems(self) -> list[str]:
        """What keeps it from being saved, in the order of the rows, each with the row's place."""
        found = [str(error) for error in self.non_form_errors()]
        for place, form in enumerate(self.in_order, start=1):
            for field in form.wrong_fields:
                told = {"place": place, "field": field.label, "why": " ".join(map(str, field.errors))}
                found.append(_("Row %(place)d, %(field)s: %(why)s") % told)
        return found

    def finished_rows(self) -> list[Row]:
        """Rows that are complete so far, while someone is still typing."""
        self.is_valid()
        typed = [form for form in self.in_order if form.has_changed() and form.is_valid()]
        return [form.row() for form in typed if not form.cleaned_data.get("DELETE")]


def _place(value: Any) -> float:
    try:
        return float(value)
    except (TypeError, ValueError):
        return float("inf")


def _bracket_problem(bracket: list[RowForm]) -> tuple[str, Any] | None:
    """What is wrong with rows done together, and at which field of the first."""
    told = [form.cleaned_data for form in bracket]
    if told[-1]["joined"] or len({one["section"] for one in told}) > 1:
        return "joined", _("What is done together needs a next row in the same section.")
    kind = group_columns([form.row() for form in bracket])["kind"]
    if (kind == GroupKind.PAIR and len(bracket) != 2) or (kind == GroupKind.CIRCUIT and len(bracket) < 2):
        return "together", _("A pair is two movements, a circuit two or more.")
    if kind == GroupKind.ROUNDS and told[0]["minutes"] is None:
        return "minutes", _("How many minutes do the rounds go on?")
    if kind in IN_ROUNDS and len({(one["sets"], one["step"].sets) for one in told}) > 1:
        return "together", _("Here a set is a round: every movement needs the same number.")
    return None


RowFormSet = forms.formset_factory(
    RowForm,
    formset=BaseRowFormSet,
    extra=1,
    can_order=True,
    can_delete=True,
    max_num=MAX_ROWS,
    validate_max=True,
    absolute_max=MAX_ROWS + 10,
)


def row_formset(data: Any, rows: list[Row], *, movements: dict[str, MovementRevision], unit: str) -> BaseRowFormSet:
    # What was typed speaks for itself: beside the saved rows an unchanged new one would look like a blank one.
    initial = [initial_of(row) for row in rows] if data is None else []
    kwargs = {"movements": movements, "unit": unit}
    return cast("BaseRowFormSet", RowFormSet(data, initial=initial, prefix="rows", form_kwargs=kwargs))
