"""What somebody wants in place of a prescription."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _


class InsteadForm(forms.Form):
    """What somebody wants in place of a prescription, and what is not there today."""

    want = forms.ChoiceField(
        label=_("What are you looking for?"),
        choices=[
            ("nearest", _("The nearest that is possible")),
            ("easier", _("Easier")),
            ("harder", _("One step harder")),
        ],
        widget=forms.RadioSelect,
        required=False,
    )
    without = forms.MultipleChoiceField(label=_("Not there today"), widget=forms.CheckboxSelectMultiple, required=False)

    def __init__(self, *args: Any, things: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["want"].initial = "nearest"
        self.fields["without"].choices = things  # type: ignore[attr-defined]
        if not things:
            del self.fields["without"]

    @property
    def wanted(self) -> str:
        return (self.is_bound and self.is_valid() and self.cleaned_data["want"]) or "nearest"

    @property
    def without_things(self) -> list[str]:
        return (self.is_bound and self.is_valid() and self.cleaned_data.get("without")) or []
