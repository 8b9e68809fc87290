"""Where a client is for some days."""

import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.forms.fields import COUNTRIES


class WhereIAmForm(forms.Form):
    """Where the client is for some days: the emergency number follows."""

    country = forms.ChoiceField(
        label=_("Which country are you in now?"),
        choices=[(code, code or _("Another country")) for code in COUNTRIES],
        required=False,
    )
    until = forms.DateField(
        label=_("Until"),
        help_text=_("The last day there. After it, the country of your answers counts again."),
        widget=forms.DateInput(attrs={"type": "date"}),
    )

    def __init__(self, *args: Any, today: datetime.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["until"].widget.attrs["min"] = today.isoformat()

    def clean_until(self) -> datetime.date:
        until: datetime.date = self.cleaned_data["until"]
        if until < self.today:
            raise forms.ValidationError(_("This day is over already."))
        return until
