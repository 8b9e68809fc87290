"""The form for a block file."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from programs.domain.exchange.reading import MOST_BYTES
from programs.forms.fields import DayField

SUFFIXES = (".json", ".csv")


class BlockFileForm(forms.Form):
    file = forms.FileField(
        label=_("File"),
        help_text=_("A block as JSON or CSV, up to 1 MB."),
        widget=forms.FileInput(attrs={"accept": ".json,.csv,application/json,text/csv"}),
    )
    starts_on = DayField(
        label=_("First week"),
        help_text=_("Any day of it; weeks run from Monday to Sunday."),
    )

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if not file.name.lower().endswith(SUFFIXES):
            raise forms.ValidationError(_("Choose a file whose name ends in .json or .csv."))
        if file.size > MOST_BYTES:
            raise forms.ValidationError(_("The file is larger than 1 MB. A block is far smaller."))
        return file

    @property
    def is_table(self) -> bool:
        return bool(self.cleaned_data["file"].name.lower().endswith(".csv"))
