"""Areas to protect, and body mass."""

import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from clients.choices import (
    Area,
    MassUnit,
    Side,
)
from clients.domain.body import AreaToProtect

AREA_ROWS = 4


class AreasForm(forms.Form):
    """Up to four areas to protect, and a body mass if the client likes."""

    mass = forms.DecimalField(
        label=_("Body mass (optional)"),
        help_text=_("With it we can say how many kilograms a push-up is. Without it everything else still works."),
        max_digits=6,
        decimal_places=2,
        required=False,
    )
    mass_unit = forms.ChoiceField(label=_("Unit"), choices=MassUnit.choices, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for n in range(AREA_ROWS):
            self.fields[f"area_{n}"] = forms.ChoiceField(
                label=_("Area"), choices=[("", _("— none —")), *Area.choices], required=False
            )
            self.fields[f"side_{n}"] = forms.ChoiceField(label=_("Side"), choices=Side.choices, required=False)
            self.fields[f"why_{n}"] = forms.CharField(label=_("Why"), max_length=500, required=False)
            self.fields[f"barred_{n}"] = forms.BooleanField(label=_("Do not load it at all"), required=False)

    def rows(self) -> list[list[forms.BoundField]]:
        return [[self[f"{name}_{n}"] for name in ("area", "side", "why", "barred")] for n in range(AREA_ROWS)]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        mass = data.get("mass")
        if mass is not None:
            low, high = (20, 400) if data.get("mass_unit") != MassUnit.LB else (44, 882)
            if not low <= mass <= high:
                self.add_error(
                    "mass", _("Between %(low)s and %(high)s, please check the unit.") % {"low": low, "high": high}
                )
        return data

    def areas(self) -> list[AreaToProtect]:
        data = self.cleaned_data
        return [
            AreaToProtect(
                data[f"area_{n}"], data[f"side_{n}"] or Side.BOTH, data[f"why_{n}"], bool(data[f"barred_{n}"])
            )
            for n in range(AREA_ROWS)
            if data[f"area_{n}"]
        ]


LEAST_KG, MOST_KG = 20, 400
LEAST_LB, MOST_LB = 45, 880


def mass_from(text: str, unit: str) -> Decimal | None:
    """A body mass as people write it, with a point or a comma. Raises ValidationError."""
    if not text.strip():
        return None
    low, high = (LEAST_LB, MOST_LB) if unit == MassUnit.LB else (LEAST_KG, MOST_KG)
    entered = forms.DecimalField(max_digits=6, decimal_places=2).clean(text.strip().replace(",", "."))
    if not low <= entered <= high:
        raise ValidationError(
            _("Between %(low)s and %(high)s; please look at the unit too.") % {"low": low, "high": high}
        )
    return Decimal(entered)


class BodyMassForm(forms.Form):
    """A dated body mass. The same day again corrects it."""

    on = forms.DateField(label=_("Day"), widget=forms.DateInput(attrs={"type": "date"}))
    mass = forms.CharField(
        label=_("Body mass"),
        max_length=10,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    mass_unit = forms.ChoiceField(label=_("Unit"), choices=MassUnit.choices)

    def __init__(self, *args: Any, today: datetime.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["on"].widget.attrs["max"] = today.isoformat()

    def clean_on(self) -> datetime.date:
        on: datetime.date = self.cleaned_data["on"]
        if on > self.today:
            raise ValidationError(_("This day is still to come."))
        return on

    def clean_mass(self) -> Decimal:
        mass = mass_from(self.cleaned_data["mass"], self.data.get("mass_unit", ""))
        if mass is None:
            raise ValidationError(_("Please type a number."))
        return mass
