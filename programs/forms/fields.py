"""Fields for what a prescription says in a few signs: a range, a mass, a tempo, an effort."""

import datetime
import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import MassUnit
from methods.volume import parse_tempo
from programs.choices import Grip

MAX_LOAD = Decimal(1000)
MAX_AMOUNT = 3600
AMOUNT = re.compile(r"(\d{1,4})\s*(?:[-–]\s*(\d{1,4}))?")
PERCENT = "%"
_LOAD = re.compile(r"(\d{1,4}(?:[.,]\d{1,2})?)\s*(kg|lb|%)?", re.IGNORECASE)


# Nobody trained here before, and no calendar is kept so far ahead.
FIRST_DAY, LAST_DAY = datetime.date(2000, 1, 1), datetime.date(2200, 1, 1)


class DayField(forms.DateField):
    """A day of a calendar that people live by."""

    widget = forms.DateInput(attrs={"type": "date", "min": str(FIRST_DAY), "max": str(LAST_DAY)})

    def clean(self, value: Any) -> datetime.date | None:
        day: datetime.date | None = super().clean(value)
        if day is not None and not FIRST_DAY <= day <= LAST_DAY:
            raise forms.ValidationError(_("Choose a day between 2000 and 2200."))
        return day


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
    def __init__(self, *, least: int = 0, **kwargs: Any) -> None:
        super().__init__(required=False, min_value=least, max_value=10, max_digits=3, decimal_places=1, **kwargs)


class GripField(forms.CharField):
    """One grip for all sets, or several that take turns: "pronated", "pronated, neutral"; a beginning is enough."""

    def clean(self, value: Any) -> str:
        words = [word for word in re.split(r"[\s,/]+", super().clean(value).strip().lower()) if word]
        grips = [_begun(word, [grip for grip in Grip.values if grip]) for word in words]
        if None in grips or len(grips) > MAX_GRIPS:
            raise forms.ValidationError(_("Pronated, supinated or neutral; several take turns: pronated, neutral."))
        return ",".join(grip for grip in grips if grip)


MAX_GRIPS = 5


def _begun(word: str, choices: Iterable[str]) -> str | None:
    found = [choice for choice in choices if choice.startswith(word)]
    return found[0] if len(found) == 1 else None


@dataclass(frozen=True)
class Step:
    """What changes from week to week; `load_unit` is empty where the load stays."""

    sets: int = 0
    amount: int = 0
    # What the amount was typed in: "rep", "s" or "m"; empty where it stays.
    amount_unit: str = ""
    rir: Decimal = Decimal(0)
    load: Decimal = Decimal(0)
    load_unit: str = ""


_STEP = re.compile(r"([+\-\u2212]\s*\d{1,3}(?:[.,]\d{1,2})?)\s*(sets?|reps?|s|m|rir|kg|lb|%)", re.IGNORECASE)
_STEP_MOST = {"sets": 5, "amount": 60, "rir": 3, "load": 50}
_AMOUNT_STEPS = frozenset({"rep", "reps", "s", "m"})
_LOAD_STEPS = frozenset({"kg", "lb", PERCENT})


class StepField(forms.CharField):
    """What changes each week, each with its sign: "+1 rep", "+2.5 kg, -0.5 RIR", "+5 s"."""

    def clean(self, value: Any) -> Step:
        text = super().clean(value).strip()
        found = list(_STEP.finditer(text))
        if re.sub(r"[\s,;]", "", _STEP.sub("", text)):
            raise forms.ValidationError(_("With a sign and a unit: +1 rep, +2.5 kg, -0.5 RIR, +5 s, +1 set."))
        parts: dict[str, Any] = {}
        for match in found:
            part, number, unit = _step_part(match[1], match[2].lower())
            if part == "rir" and number != round(number, 1):
                raise forms.ValidationError(_("Reps in reserve go in tenths."))
            if part in parts or abs(number) > _STEP_MOST[part]:
                raise forms.ValidationError(_("Each thing once, and in steps that are smaller than that."))
            if part in ("sets", "amount") and number != int(number):
                raise forms.ValidationError(_("Sets, reps, seconds and metres go in whole steps."))
            parts[part] = int(number) if part in ("sets", "amount") else number
            if part in ("load", "amount"):
                parts[f"{part}_unit"] = unit
        return Step(**parts)


def _step_part(number: str, unit: str) -> tuple[str, Decimal, str]:
    value = Decimal(number.replace("\u2212", "-").replace(",", ".").replace(" ", ""))
    if unit in _AMOUNT_STEPS:
        return "amount", value, unit.removesuffix("s") if unit.startswith("rep") else unit
    if unit in _LOAD_STEPS:
        return "load", value, unit
    return ("rir" if unit == "rir" else "sets"), value, ""
