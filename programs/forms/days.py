"""Forms of a client's list of days."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from programs.choices import EXCUSES, SkipReason

REASONS = [(reason.value, reason.label) for reason in SkipReason if reason in EXCUSES]


def _date() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class ExcuseForm(forms.Form):
    first_on = forms.DateField(label=_("From"), widget=_date())
    last_on = forms.DateField(
        label=_("Until"), widget=_date(), required=False, help_text=_("Left empty: just that day.")
    )
    reason = forms.ChoiceField(label=_("Why?"), choices=REASONS, widget=forms.RadioSelect)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        cleaned["last_on"] = cleaned.get("last_on") or cleaned.get("first_on")
        return cleaned


class CalendarForm(forms.Form):
    starts_at = forms.TimeField(
        label=_("When do you usually train?"),
        help_text=_("Left empty, a session is a whole day in your calendar."),
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )
