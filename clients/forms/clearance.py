"""What a licensed professional allowed."""

import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import (
    Ceiling,
)


class ClearanceForm(forms.Form):
    """What a licensed professional allowed, in the client's or the document's own words."""

    clinician_role = forms.CharField(
        label=_("Who gave it?"), help_text=_("The role, such as general practitioner. No names."), max_length=100
    )
    given_on = forms.DateField(label=_("Given on"), widget=forms.DateInput(attrs={"type": "date"}))
    given_time = forms.TimeField(
        label=_("At what time?"),
        help_text=_(
            "On the client's clock. Needed when a warning sign was ticked that same day: only earlier ones open."
        ),
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}),
    )
    expires_on = forms.DateField(
        label=_("Good until"),
        help_text=_("At most one year. Sooner when the professional said so."),
        widget=forms.DateInput(attrs={"type": "date"}),
    )
    ceiling = forms.ChoiceField(
        label=_("Up to which effort?"),
        choices=[(c.value, c.label) for c in Ceiling if c != Ceiling.NONE],
        widget=forms.RadioSelect,
    )
    limits = forms.CharField(
        label=_("Limits, in their words"),
        help_text=_("Write “none named” if there were none."),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    document = forms.FileField(
        label=_("A photo of the letter"),
        help_text=_("If you have one. Cover what training does not need."),
        required=False,
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
    )

    def __init__(self, *args: Any, today: datetime.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        given, expires = data.get("given_on"), data.get("expires_on")
        if given and given > self.today:
            self.add_error("given_on", _("This day is still to come."))
        if given and expires and not given < expires <= given + datetime.timedelta(days=366):
            self.add_error("expires_on", _("After the day it was given, and within one year of it."))
        if expires and expires < self.today:
            self.add_error("expires_on", _("This clearance has run out already."))
        return data
