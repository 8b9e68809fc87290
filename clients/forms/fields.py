"""Fields that several forms of the people's room share."""

import datetime
import zoneinfo
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clients.domain.body import age_on
from clients.domain.things import metric, shown
from clients.library.emergency_numbers import EMERGENCY_NUMBERS

LONG_TEXT = 4000
# Past this a number is a slip of the hand, whatever it is of.
ABSURD = 100_000
YOUNGEST, OLDEST = 10, 110
FEWEST_DIGITS = 5
# Where the reader is it may still be yesterday.
A_DAY = datetime.timedelta(days=1)
FURTHEST = datetime.timedelta(days=3653)
NONE_OF_THESE = "none"


class YesNoField(forms.TypedChoiceField):
    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            choices=[("yes", _("Yes")), ("no", _("No"))],
            coerce=lambda value: value == "yes",
            empty_value=None,
            widget=forms.RadioSelect,
            **kwargs,
        )


class TickAllField(forms.MultipleChoiceField):
    """Ticks with an explicit "none of these": an untouched list is no answer, and never a "no"."""

    widget = forms.CheckboxSelectMultiple

    def __init__(self, *, choices: Any, **kwargs: Any) -> None:
        super().__init__(choices=[*choices, (NONE_OF_THESE, _("None of these"))], **kwargs)

    def clean(self, value: Any) -> list[str] | None:
        ticked = super().clean(value)
        if NONE_OF_THESE in ticked and len(ticked) > 1:
            raise forms.ValidationError(_("Tick either “None of these”, or what applies."))
        if not ticked:
            return None
        return [code for code in ticked if code != NONE_OF_THESE]


# Where we know an emergency number; "another country" is always offered.
COUNTRIES = ["", *sorted(EMERGENCY_NUMBERS)]


class BirthField(forms.DateField):
    """A day of birth that somebody alive and old enough to read could have."""

    def clean(self, value: Any) -> datetime.date | None:
        born = super().clean(value)
        if born is None:
            return None
        age = age_on(born, timezone.localdate())
        if age < YOUNGEST:
            raise forms.ValidationError(_("This would make you younger than %(age)d.") % {"age": YOUNGEST})
        if age > OLDEST:
            raise forms.ValidationError(_("This would make you older than %(age)d.") % {"age": OLDEST})
        return born


class ComingDateField(forms.DateField):
    def clean(self, value: Any) -> datetime.date | None:
        day = super().clean(value)
        today = timezone.localdate()
        if day is not None and not today - A_DAY <= day <= today.replace(month=1, day=1) + FURTHEST:
            raise forms.ValidationError(_("A day from today on, within ten years."))
        return day


class PhoneField(forms.CharField):
    def clean(self, value: Any) -> str:
        number = super().clean(value)
        if number and sum(character.isdecimal() for character in number) < FEWEST_DIGITS:
            raise forms.ValidationError(_("This is too short for a phone number."))
        return number


def zone_choices() -> list[tuple[str, str]]:
    zones = [(zone, zone.replace("_", " ")) for zone in sorted(zoneinfo.available_timezones()) if "/" in zone]
    return [("UTC", "UTC"), *zones]


class NumbersField(forms.CharField):
    """Numbers in one line, "8, 12, 16", in the client's unit; kept in kg or cm."""

    def __init__(self, *, minimum: float, maximum: float, unit: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.minimum, self.maximum, self.unit = minimum, maximum, unit

    def clean(self, value: Any) -> list[float]:
        text = super().clean(value)
        try:
            numbers = [Decimal(part.strip()) for part in text.replace(";", ",").split(",") if part.strip()]
        except ArithmeticError as error:
            raise forms.ValidationError(_("Numbers with commas between, such as 8, 12, 16.")) from error
        if not all(number.is_finite() and abs(number) < ABSURD for number in numbers):
            raise forms.ValidationError(_("Numbers with commas between, such as 8, 12, 16."))
        kept = sorted({metric(number, self.unit) for number in numbers})
        if any(not self.minimum <= number <= self.maximum for number in kept):
            lowest, highest = (shown(limit, self.unit) for limit in (self.minimum, self.maximum))
            raise forms.ValidationError(
                _("Each between %(lowest)s and %(highest)s.") % {"lowest": lowest, "highest": highest}
            )
        return kept


class NumberField(NumbersField):
    def clean(self, value: Any) -> list[float]:
        kept = super().clean(value)
        if len(kept) > 1:
            raise forms.ValidationError(_("One number, please."))
        return kept
