"""Inviting a client, and accepting."""

from typing import Any

from django import forms
from django.contrib.auth import password_validation
from django.core.exceptions import ValidationError
from django.utils.functional import lazy
from django.utils.translation import gettext_lazy as _

from clients.accounts.fields import all_that_is_asked
from clients.domain.passwords import refuse_known_words
from clients.models import Invitation, User


class InviteClientForm(forms.Form):
    name = forms.CharField(label=_("Name"), max_length=200)
    email = forms.EmailField(label=_("E-mail address"))


class AcceptForm(forms.Form):
    name = forms.CharField(label=_("Your name"), max_length=200)
    password = forms.CharField(
        label=_("Choose a password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=lazy(all_that_is_asked, str)(),
        strip=False,
    )

    def __init__(self, *args: Any, invitation: Invitation, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.invitation = invitation

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        password = cleaned.get("password")
        if password:
            # Nobody has an account yet: what a stranger knows about them stands in the letter and on this page.
            person = User(email=self.invitation.email, name=cleaned.get("name", ""))
            try:
                password_validation.validate_password(password, person)
                refuse_known_words(password, [self.invitation.practice.name])
            except ValidationError as error:
                self.add_error("password", error)
        return cleaned
