"""A coach's notes."""

import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import (
    NoteKind,
)
from clients.domain.notes import PLACES


class NoteForm(forms.Form):
    kind = forms.ChoiceField(label=_("What it is"), choices=NoteKind.choices, initial=NoteKind.NOTE)
    on = forms.DateField(label=_("Day"), widget=forms.DateInput(attrs={"type": "date"}))
    text = forms.CharField(
        label=_("What to remember"), max_length=5000, widget=forms.Textarea(attrs={"rows": 4, "maxlength": 5000})
    )

    def __init__(self, *args: Any, today: datetime.date | None = None, only_text: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        if only_text:
            del self.fields["kind"], self.fields["on"]

    def clean_on(self) -> datetime.date:
        on = self.cleaned_data["on"]
        if self.today is not None and on > self.today:
            raise forms.ValidationError(_("This day is still to come."))
        return on


class PinnedLinesForm(forms.Form):
    """Three short lines, and what the writer saw: two coaches may write at once."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for place in PLACES:
            self.fields[f"line_{place}"] = forms.CharField(
                label=_("Line %(number)s") % {"number": place},
                max_length=120,
                required=False,
                widget=forms.TextInput(attrs={"maxlength": 120}),
            )
            self.fields[f"seen_{place}"] = forms.CharField(required=False, widget=forms.HiddenInput, strip=False)

    def lines(self) -> dict[int, str]:
        return {place: self.cleaned_data[f"line_{place}"] for place in PLACES}

    def seen(self) -> dict[int, str]:
        return {place: self.cleaned_data[f"seen_{place}"] for place in PLACES}
