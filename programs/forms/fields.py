"""Fields for what a prescription says in a few signs: a range, a mass, a tempo, an effort."""

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import MassUnit
from methods.volume import parse_tempo

MAX_LOAD = Decimal(1000)
MAX_AMOUNT = 3600
AMOUNT = re.compile(r"(\d{1,4})\s*(?:[-–]\s*(\d{1,4}))?")
PERCENT = "%"
_LOAD = re.compile(r"(\d{1,4}(?:[.,]\d{1,2})?)\s*(kg|lb|%)?", re.IGNORECASE)


class AmountField(forms.CharField):
    """Reps, seconds or metres as one number or as a range: "5", "8-12"."""

    def clean(self, value: Any) -> tuple[int, int]:
        text = super().clean(value).strip()
        match = AMOUNT.fullmatch(text)
        if match is None:
            raise forms.ValidationError(_("A number, or a range such as 8-12."))
        low = int(match[1])
        high = int(match[2] or low)
        if low > high:
            raise forms.ValidationError(_("The lower number comes first."))
        if not 1 <= low <= high <= MAX_AMOUNT:
            raise forms.ValidationError(_("Between 1 and %(most)d.") % {"most": MAX_AMOUNT})
        return low, high


class LoadField(forms.CharField):
    """A mass as typed, with its unit or in the client's: "20", "22,5 kg", "45 lb".

    Where `takes_percent`, also a percentage of the client's reference max: "80 %".
    """

    def __init__(self, *, takes_percent: bool = False, **kwargs: Any) -> None:
        super().__init__(required=False, max_length=20, **kwargs)
        self.takes_percent = takes_percent
        self.default_unit = MassUnit.KG.value

    def clean(self, value: Any) -> tuple[Decimal, str] | None:
        text = super().clean(value).strip()
        if not text:
            return None
        match = _LOAD.fullmatch(text)
        if match is None or (match[2] == PERCENT and not self.takes_percent):
            raise forms.ValidationError(_("A number with kg or lb, such as 20 kg."))
        entered = Decimal(match[1].replace(",", "."))
        if match[2] == PERCENT and not 0 < entered <= 100:
            raise forms.ValidationError(_("A percentage is above 0, and 100 at most."))
        if entered > MAX_LOAD:
            raise forms.ValidationError(_("At most %(most)d.") % {"most": MAX_LOAD})
        return entered, (match[2] or self.default_unit).lower()


class TempoField(forms.CharField):
    def clean(self, value: Any) -> str:
        text = super().clean(value).strip().upper().replace("/", "-")
        if not text:
            return ""
        try:
            parse_tempo(text)
        except ValueError:
            raise forms.ValidationError(
                _("Four numbers of seconds: lowering, bottom, lifting, top. X lifts fast: 3-1-X-0.")
            ) from None
        return text


class EffortField(forms.DecimalField):
    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, min_value=0, max_value=10, max_digits=3, decimal_places=1, **kwargs)
