"""Looking for a movement."""

from django import forms


class SearchForm(forms.Form):
    q = forms.CharField(required=False)
    client = forms.UUIDField(required=False)
