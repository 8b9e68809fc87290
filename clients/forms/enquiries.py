"""Strangers who write, and the answer."""

from django import forms
from django.utils.translation import gettext_lazy as _

from clients.domain.enquiring import Asked
from clients.forms.fields import zone_choices


class EnquiryForm(forms.Form):
    """What a stranger is asked: little, and nothing about health."""

    name = forms.CharField(label=_("Your name"), max_length=200, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    email = forms.EmailField(
        label=_("Your e-mail address"),
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
        help_text=_("The answer goes there."),
    )
    reach = forms.CharField(
        label=_("Another way to reach you"),
        max_length=200,
        required=False,
        help_text=_("A number and good hours, if you like."),
    )
    goal = forms.CharField(
        label=_("What would you like to reach?"),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4, "maxlength": 2000}),
    )
    equipment = forms.CharField(
        label=_("What do you have to train with?"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3, "maxlength": 2000}),
        help_text=_("Rings, a bar, bands, two chairs, nothing yet: all of it is fine."),
    )
    time_zone = forms.ChoiceField(label=_("Your time zone"), choices=zone_choices)
    agree = forms.BooleanField(label=_("I agree to the lines above"))
    # Out of sight: people leave it empty, programs fill every box.
    website = forms.CharField(
        required=False,
        label=_("Leave this empty"),
        widget=forms.TextInput(attrs={"autocomplete": "off", "tabindex": "-1"}),
    )
    opened = forms.CharField(widget=forms.HiddenInput, required=False)

    def is_from_a_robot(self) -> bool:
        return bool(self.cleaned_data["website"])

    def asked(self) -> Asked:
        return Asked(**{name: self.cleaned_data[name] for name in Asked.__dataclass_fields__})


class EnquiryAnswerForm(forms.Form):
    text = forms.CharField(
        label=_("Your letter"), max_length=4000, widget=forms.Textarea(attrs={"rows": 6, "maxlength": 4000})
    )
