"""A session as one form of compact rows."""

from decimal import Decimal
from itertools import zip_longest
from typing import TYPE_CHECKING, Any, cast

from django import forms
from django.utils.translation import gettext_lazy as _

from methods.units import kg_from
from programs.choices import Grip, RepScheme, SectionKind, SetKind
from programs.domain.building import Row
from programs.domain.dosing import plain
from programs.forms.fields import PERCENT, AmountField, EffortField, LoadField, TempoField
from programs.models import MovementRevision

MAX_ROWS = 40


class RowForm(forms.Form):
    """One prescription in one line. What is rarely needed stands behind "More"."""

    lineage = forms.UUIDField(required=False, widget=forms.HiddenInput)
    movement = forms.CharField(label=_("Movement"), max_length=120)
    section = forms.ChoiceField(label=_("Section"), choices=SectionKind.choices, initial=SectionKind.STRENGTH)
    sets = forms.IntegerField(label=_("Sets"), min_value=1, max_value=20, initial=3)
    amount = AmountField(label=_("Amount"), max_length=11, initial="8-12")
    load = LoadField(label=_("Load"), takes_percent=True)
    rir = EffortField(label=_("RIR"))
    rpe = EffortField(label=_("RPE"))
    rest_s = forms.IntegerField(label=_("Rest, s"), min_value=0, max_value=1200, initial=90)
    paired = forms.BooleanField(label=_("Pair with the next"), required=False)
    kind = forms.ChoiceField(label=_("Kind of set"), choices=SetKind.choices, initial=SetKind.WORK)
    tempo = TempoField(label=_("Tempo"), max_length=12, required=False)
    help = LoadField(label=_("Help from a band or foot"))
    grip = forms.ChoiceField(label=_("Grip"), choices=Grip.choices, required=False)
    same = forms.BooleanField(label=_("The same reps every set"), required=False)
    per_side = forms.BooleanField(label=_("Each side"), required=False)
    cue = forms.CharField(label=_("Cue for this client"), max_length=300, required=False)
    change_reason = forms.CharField(label=_("Why it changes (the client reads it)"), max_length=500, required=False)

    main_fields = ("section", "sets", "amount", "load", "rir", "rpe", "rest_s")
    more_fields = ("kind", "tempo", "help", "grip", "same", "per_side", "cue", "change_reason")
    _numeric = ("sets", "rest_s")

    def __init__(self, *args: Any, movements: dict[str, MovementRevision], unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.movements = movements
        self.fields["movement"].widget.attrs |= {"list": "movement-names", "autocomplete": "off"}
        for name in ("load", "help"):
            self.fields[name].default_unit = unit  # type: ignore[attr-defined]
        for name in self._numeric:
            self.fields[name].widget.attrs["inputmode"] = "numeric"

    @property
    def main(self) -> list[forms.BoundField]:
        return [self[name] for name in self.main_fields]

    @property
    def more(self) -> list[forms.BoundField]:
        return [self[name] for name in self.more_fields]

    @property
    def has_more(self) -> bool:
        """Whether something behind "More" is filled in or wrong."""
        defaults = {None, "", False, SetKind.WORK.value}
        return any(field.value() not in defaults or field.errors for field in self.more)

    @property
    def wrong_fields(self) -> list[forms.BoundField]:
        return [field for field in self if field.errors]

    def has_changed(self) -> bool:
        """A row that only has a place, and no content, is a blank one."""
        return bool(set(self.changed_data) - {"section", "ORDER"})

    def clean_movement(self) -> MovementRevision:
        name = self.cleaned_data["movement"].strip().lower()
        if name not in self.movements:
            raise forms.ValidationError(_("There is no movement of this name. Choose one from the list."))
        return self.movements[name]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("rir") is not None and data.get("rpe") is not None:
            self.add_error("rpe", _("Either RIR or RPE, not both."))
        if data.get("load") and data.get("help"):
            self.add_error("help", _("Either load or help, not both."))
        return data

    def row(self) -> Row:
        data = self.cleaned_data
        movement: MovementRevision = data["movement"]
        entered, unit = data["load"] or (None, "")
        percent: Decimal | None = None
        if entered is not None and unit == PERCENT:
            percent, entered, unit = Decimal(entered).quantize(Decimal("0.1")), None, ""
        return Row(
            movement=movement,
            section=data["section"],
            paired=data["paired"],
            lineage=data["lineage"],
            kind=data["kind"],
            sets=data["sets"],
            amount_low=data["amount"][0],
            amount_high=data["amount"][1],
            scheme=RepScheme.SAME_EVERY_SET if data["same"] else RepScheme.RANGE,
            per_side=data["per_side"] or movement.one_sided,
            rest_s=data["rest_s"],
            tempo=data["tempo"],
            target_rir=data["rir"],
            target_rpe=data["rpe"],
            load_entered=entered,
            load_unit=unit,
            load_kg=None if entered is None else kg_from(entered, unit),
            percent_of_max=percent,
            assistance_kg=None if data["help"] is None else kg_from(*data["help"]),
            grip=data["grip"],
            cue=data["cue"],
            change_reason=data["change_reason"],
        )


def initial_of(row: Row) -> dict[str, Any]:
    """What the row's form shows."""
    span = f"{row.amount_low}" if row.amount_low == row.amount_high else f"{row.amount_low}-{row.amount_high}"
    return {
        "lineage": row.lineage,
        "movement": row.movement.name,
        "section": row.section,
        "sets": row.sets,
        "amount": span,
        "load": _load_as_typed(row),
        "rir": plain(row.target_rir),
        "rpe": plain(row.target_rpe),
        "rest_s": row.rest_s,
        "paired": row.paired,
        "kind": row.kind,
        "tempo": row.tempo,
        "help": "" if row.assistance_kg is None else f"{plain(row.assistance_kg)} kg",
        "grip": row.grip,
        "same": row.scheme == RepScheme.SAME_EVERY_SET,
        "per_side": row.per_side,
        "cue": row.cue,
        "change_reason": row.change_reason,
    }


def _load_as_typed(row: Row) -> str:
    """A percentage as it was written, also where a former publishing worked out its load."""
    if row.percent_of_max is not None:
        return f"{plain(row.percent_of_max)} {PERCENT}"
    return "" if row.load_entered is None else f"{plain(row.load_entered)} {row.load_unit}"


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
        for form, following in zip_longest(kept, kept[1:]):
            if form.cleaned_data["paired"] and (problem := _pairing_problem(form, following)):
                form.add_error("paired", problem)

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


def _pairing_problem(form: RowForm, following: RowForm | None) -> Any:
    if following is None or following.cleaned_data["section"] != form.cleaned_data["section"]:
        return _("A pair needs a next row in the same section.")
    if following.cleaned_data["paired"]:
        return _("A pair is two movements: the next row is paired already.")
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
    initial = [initial_of(row) for row in rows]
    kwargs = {"movements": movements, "unit": unit}
    return cast("BaseRowFormSet", RowFormSet(data, initial=initial, prefix="rows", form_kwargs=kwargs))
