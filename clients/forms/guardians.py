"""A minor's parent or guardian."""

from django import forms
from django.utils.translation import gettext_lazy as _


class GuardianForm(forms.Form):
    name = forms.CharField(label=_("Name of your parent or guardian"), max_length=200)
    email = forms.EmailField(label=_("Their e-mail address"))
    relation = forms.CharField(
        label=_("Who they are to you"), max_length=100, help_text=_("Mother, father, foster parent.")
    )


class GuardianPhoneForm(forms.Form):
    phone = forms.CharField(
        label=_("A number where you can be reached in an emergency"),
        max_length=50,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "tel", "inputmode": "tel"}),
    )
