"""Whether chairs may carry at a place, with the reason."""

from django import forms
from django.utils.translation import gettext_lazy as _


class ChairsForm(forms.Form):
    # The version that was on the page, so that two coaches do not answer past each other.
    seen = forms.UUIDField(required=False, widget=forms.HiddenInput)
    allowed = forms.TypedChoiceField(
        label=_("Dips and rows on sturdy chairs here"),
        choices=[("yes", _("Allowed")), ("no", _("Not allowed"))],
        coerce=lambda said: said == "yes",
        widget=forms.RadioSelect,
    )
    why = forms.CharField(
        label=_("Why"),
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_("What you saw of these chairs and of this client on them. The client can read it."),
    )

    def clean_why(self) -> str:
        why: str = self.cleaned_data["why"].strip()
        if not why:
            raise forms.ValidationError(_("Write the reason."))
        return why
