"""Telling pain."""

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.choices import (
    Area,
    Side,
)


class PainForm(forms.Form):
    area = forms.ChoiceField(label=_("Where?"), choices=[("", _("— choose —")), *Area.choices])
    side = forms.ChoiceField(label=_("Which side of yours?"), choices=Side.choices, widget=forms.RadioSelect)
    during = forms.TypedChoiceField(
        label=_("How much, from 0 (none) to 10 (the worst you can imagine)?"),
        choices=[(n, str(n)) for n in range(11)],
        coerce=int,
        widget=forms.RadioSelect,
    )
    note = forms.CharField(
        label=_("Anything to add?"),
        help_text=_("This is not read continuously. In an emergency call your local emergency number."),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class MorningForm(forms.Form):
    next_morning = forms.ChoiceField(
        label=_("How is it this morning?"),
        choices=[("usual", _("Back to my usual")), ("raised", _("More than my usual"))],
        widget=forms.RadioSelect,
    )
    after = forms.TypedChoiceField(
        label=_("And right after the session, 0 to 10?"),
        choices=[(n, str(n)) for n in range(11)],
        coerce=int,
    )
