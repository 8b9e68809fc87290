"""A practice's own progression line: its name, and one form for each step."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from programs.forms.fields import AMOUNT
from programs.models import MovementRevision


class LineForm(forms.Form):
    version = forms.IntegerField(min_value=0, initial=0, widget=forms.HiddenInput)
    name = forms.CharField(label=_("Name of the line"), max_length=120)


class EdgeForm(forms.Form):
    """One step: from an easier movement to a harder one, by name. A row without names is left out."""

    easier = forms.CharField(
        label=_("Easier"), required=False, widget=forms.TextInput(attrs={"list": "movement-names"})
    )
    harder = forms.CharField(
        label=_("Harder"), required=False, widget=forms.TextInput(attrs={"list": "movement-names"})
    )
    sets = forms.IntegerField(label=_("Sets"), min_value=1, max_value=10, required=False)
    amount = forms.CharField(label=_("Reps or seconds"), max_length=9, required=False)
    target_rir = forms.IntegerField(label=_("In reserve"), min_value=2, max_value=6, required=False)
    reason = forms.CharField(label=_("Why it is harder"), max_length=300, required=False)

    def __init__(self, *args: Any, known: dict[str, MovementRevision], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.known = known

    def _movement(self, name: str) -> str:
        text = str(self.cleaned_data[name]).strip()
        if text and text.lower() not in self.known:
            raise forms.ValidationError(_("There is no movement of this name."))
        return text

    def clean_easier(self) -> str:
        return self._movement("easier")

    def clean_harder(self) -> str:
        return self._movement("harder")

    def clean_amount(self) -> tuple[int, int] | None:
        text = str(self.cleaned_data["amount"]).strip()
        match = AMOUNT.fullmatch(text)
        if text and match is None:
            raise forms.ValidationError(_("Write a number or a range, such as 3-5."))
        return (int(match[1]), int(match[2] or match[1])) if match else None

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.errors and bool(data["easier"]) != bool(data["harder"]):
            self.add_error("harder" if data["easier"] else "easier", _("A step has two movements."))
        told = [data.get(name) is not None for name in ("sets", "amount", "target_rir")]
        if not self.errors and any(told) and not all(told):
            self.add_error("sets", _("An entry dose has sets, reps or seconds, and reps in reserve."))
        return data

    def dose(self) -> dict[str, int]:
        data = self.cleaned_data
        if data["amount"] is None:
            return {}
        low, high = data["amount"]
        return {"sets": data["sets"], "amount_low": low, "amount_high": high, "target_rir": data["target_rir"]}


EdgeFormSet = forms.formset_factory(EdgeForm, extra=4, max_num=60, validate_max=True)
