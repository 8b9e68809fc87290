"""What a coach says before a session is published for anyone."""

from django import forms
from django.utils.translation import gettext_lazy as _


class PublicSessionForm(forms.Form):
    title = forms.CharField(label=_("Title"), max_length=120)
    about = forms.CharField(
        label=_("What it is for"),
        help_text=_("A sentence or two. It also stands in the preview of a link."),
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    with_cues = forms.BooleanField(label=_("Show the cues as well"), required=False, initial=True)
    # What was read, and which press this is: written into the page by hand, since both are of the page and not typed.
    seen = forms.CharField(max_length=64, widget=forms.HiddenInput)
    key = forms.UUIDField(widget=forms.HiddenInput)
    is_free_of_the_client = forms.BooleanField(
        label=_("I have read what will be visible: it names no client and says nothing about anybody's health.")
    )
