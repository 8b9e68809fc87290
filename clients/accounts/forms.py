"""The library's forms in our words: labels instead of placeholders, one field for a new password, ids without keys."""

import uuid
from typing import Any

from allauth.account import forms as account
from allauth.account.fields import PasswordField
from allauth.account.utils import user_pk_to_url_str
from allauth.mfa.adapter import get_adapter
from allauth.mfa.base import forms as second
from allauth.mfa.models import Authenticator
from allauth.mfa.totp import forms as totp
from allauth.mfa.webauthn import forms as webauthn
from django import forms
from django.core.cache import cache
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _
from fido2.utils import websafe_decode, websafe_encode

from clients.accounts.fields import NewPasswordField
from clients.domain.limits import may_write_to
from clients.models import User

# A code is good for its half minute and one before and after.
CODE_LIVES_SECONDS = 120


def _without_placeholders(form: forms.Form) -> None:
    for field in form.fields.values():
        field.widget.attrs.pop("placeholder", None)


class SignInForm(account.LoginForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _without_placeholders(self)
        self.fields["login"].label = _("E-mail address")
        self.fields["login"].widget.attrs["autocomplete"] = "username"
        self.fields["password"].help_text = ""


class AskForPasswordForm(account.ResetPasswordForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _without_placeholders(self)
        self.fields["email"].label = _("E-mail address")
        self.fields["email"].widget.attrs["autocomplete"] = "username"

    def save(self, request: HttpRequest, **kwargs: Any) -> str:
        """Nobody's mailbox is filled by strangers, and nobody is refused: the page says the same as ever."""
        email = self.cleaned_data["email"]
        return super().save(request, **kwargs) if may_write_to(email) else email


class ResetLinkForm(account.UserTokenForm):
    """Reads the address of the link: the person's random id, where the library would have the primary key."""

    def _get_user(self, uidb36: str) -> User | None:
        try:
            return User.objects.filter(uuid=uuid.UUID(hex=uidb36)).first()
        except ValueError:
            return None


class NewPasswordForm(account.ResetPasswordKeyForm):
    password1 = NewPasswordField()
    password2 = None

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _without_placeholders(self)


class ChangePasswordForm(account.ChangePasswordForm):
    oldpassword = PasswordField(label=_("Present password"), autocomplete="current-password")
    password1 = NewPasswordField()
    password2 = None

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _without_placeholders(self)


class FirstPasswordForm(account.SetPasswordForm):
    password1 = NewPasswordField()
    password2 = None

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _without_placeholders(self)


class NewAddressForm(account.AddEmailForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _without_placeholders(self)
        self.fields["email"].label = _("New e-mail address")


class ConfirmPasswordForm(account.ReauthenticateForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _without_placeholders(self)
        self.fields["password"].help_text = ""


class CodeFields(second.BaseAuthenticateForm):
    """One field for a code of the app or a recovery code, each of which is good once."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _without_placeholders(self)
        self.fields["code"].label = _("Code from your app, or a recovery code")
        self.fields["code"].widget.attrs |= {"inputmode": "numeric", "spellcheck": "false"}

    def clean_code(self) -> str:
        code = super().clean_code()
        # The library forgets a used code after half a minute, while ours are good for longer.
        if self.authenticator.type == Authenticator.Type.TOTP and not _first_time(self.user, code):
            raise get_adapter().validation_error("incorrect_code")
        return code


def _first_time(user: User, code: str) -> bool:
    return cache.add(f"code-used:{user.uuid}:{code.replace(' ', '')}", True, CODE_LIVES_SECONDS)


class SignInCodeForm(CodeFields, second.AuthenticateForm):
    pass


class ConfirmCodeForm(CodeFields, second.ReauthenticateForm):
    pass


class TurnOnAppForm(totp.ActivateTOTPForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _without_placeholders(self)
        self.fields["code"].label = _("The six digits that the app shows now")
        self.fields["code"].widget.attrs |= {"inputmode": "numeric", "spellcheck": "false"}


class AddPasskeyForm(webauthn.AddWebAuthnForm):
    """Every key here signs in by itself, so every key has to check who uses it."""

    passwordless = None
    name = forms.CharField(label=_("What to call it"), required=False, max_length=60)

    def clean(self) -> dict:
        cleaned = super().clean()
        if cleaned.get("credential") and self._is_known(cleaned["credential"]):
            raise get_adapter().validation_error("incorrect_code")
        return cleaned

    def _is_known(self, credential: dict) -> bool:
        # Of anybody: one key that two accounts hold could sign in to the wrong one.
        return Authenticator.objects.filter(
            type=Authenticator.Type.WEBAUTHN, data__credential__id=credential.get("id")
        ).exists()


class SignInByPasskeyForm(webauthn.LoginWebAuthnForm):
    def clean_credential(self) -> Authenticator:
        """A key holds the person's random id; the library looks for the primary key."""
        credential = self.cleaned_data["credential"]
        try:
            handle = websafe_decode(credential["response"]["userHandle"])
            user = User.objects.get(uuid=uuid.UUID(bytes=handle), is_active=True)
        except (KeyError, TypeError, ValueError, User.DoesNotExist):
            raise get_adapter().validation_error("incorrect_code") from None
        credential["response"]["userHandle"] = websafe_encode(user_pk_to_url_str(user).encode())
        return super().clean_credential()
