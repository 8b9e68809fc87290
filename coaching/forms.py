"""Deciding on a suggestion: accept, change, or decline."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import MassUnit
from coaching.choices import Decided
from coaching.domain.deciding import dose_from
from coaching.models import Suggestion
from methods.dose import Dose
from methods.units import in_unit, kg_from


class DecisionForm(forms.Form):
    """The dose fields that this suggestion has; other parts stay as suggested."""

    decided = forms.ChoiceField(choices=Decided.choices, widget=forms.HiddenInput)
    sets = forms.IntegerField(label=_("Sets"), min_value=1, max_value=20, required=False)
    amount = forms.IntegerField(min_value=1, max_value=3600, required=False)
    load = forms.DecimalField(label=_("Load"), max_digits=6, decimal_places=2, required=False)
    reason = forms.CharField(
        label=_("Why (the client reads this)"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args: Any, suggestion: Suggestion, unit: str, **kwargs: Any) -> None:
        self.suggestion, self.unit = suggestion, MassUnit(unit)
        self.dose = dose_from(suggestion.to_dose)
        kwargs.setdefault("initial", self._initial())
        kwargs["prefix"] = str(suggestion.uuid)
        super().__init__(*args, **kwargs)
        self.fields["amount"].label = _("Seconds") if self.dose.seconds is not None else _("Reps (most)")
        self.fields["load"].widget.attrs["data-unit"] = unit
        if self.dose.load_kg is None:
            del self.fields["load"]

    def _initial(self) -> dict[str, Any]:
        amount = self.dose.seconds if self.dose.seconds is not None else self.dose.repetitions
        initial: dict[str, Any] = {"sets": self.dose.sets, "amount": None if amount is None else round(amount)}
        if self.dose.load_kg is not None:
            initial["load"] = in_unit(Decimal(str(self.dose.load_kg)), self.unit).normalize()
        return initial

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("decided") == Decided.EDITED:
            for name in ("sets", "amount"):
                if data.get(name) is None and name not in self.errors and self._initial()[name] is not None:
                    self.add_error(name, _("Please fill this in."))
        return data

    def edited_dose(self) -> Dose:
        data = self.cleaned_data
        dose = replace(self.dose, sets=data["sets"])
        if dose.seconds is not None:
            dose = replace(dose, seconds=float(data["amount"]))
        elif dose.repetitions is not None:
            dose = replace(dose, repetitions=data["amount"])
        if data.get("load") is not None:
            dose = replace(dose, load_kg=float(kg_from(data["load"], self.unit)))
        return dose
