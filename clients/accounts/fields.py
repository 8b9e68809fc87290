"""The field in which a new password is chosen, the same wherever that is."""

from typing import Any

from allauth.account.fields import SetPasswordField
from django.contrib.auth import password_validation
from django.utils.functional import lazy
from django.utils.translation import gettext_lazy as _


def all_that_is_asked() -> str:
    return " ".join(password_validation.password_validators_help_texts())


class NewPasswordField(SetPasswordField):
    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("label", _("New password"))
        super().__init__(help_text=lazy(all_that_is_asked, str)(), **kwargs)
        self.widget.attrs.pop("placeholder", None)
