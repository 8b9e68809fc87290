"""The letters about an account: what happened, when, on what device, and what to do if it was somebody else.

No link in them changes anything by being opened, and none says anything about training or health.
"""

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clients.domain.mail import absolute


@dataclass(frozen=True)
class Letter:
    subject: str
    body: str


def letter_about(what: str, told: dict[str, Any]) -> Letter:
    """`what` is the library's name for a letter."""
    return LETTERS[what](told)


def new_sign_in(*, at: datetime.datetime, device: str) -> Letter:
    return _notice(_("Your account was opened on a new device"), {"at": at, "device": device})


def _new_password_link(told: dict[str, Any]) -> Letter:
    return Letter(
        _("A new password"),
        _(
            "Somebody, probably you, asked for a new password.\n\n"
            "Open this page to choose it. It works once, and for an hour:\n%(link)s\n\n"
            "If it was not you, you can ignore this letter. Your password stays as it is."
        )
        % {"link": absolute(told["path"])},
    )


def _new_address(told: dict[str, Any]) -> Letter:
    return Letter(
        _("Is this your new address?"),
        _(
            "Somebody, probably you, wants to sign in with this address from now on.\n\n"
            "Open this page and say yes. Until then nothing changes:\n%(link)s\n\n"
            "If it was not you, you can ignore this letter."
        )
        % {"link": absolute(told["path"])},
    )


def _address_changed(told: dict[str, Any]) -> Letter:
    return _notice(
        _("You sign in with another address now"),
        told,
        _("The new address is %(address)s. This one does not work any more.") % {"address": told["to_email"]},
    )


def _about(subject: Callable[[], str]) -> Callable[[dict[str, Any]], Letter]:
    return lambda told: _notice(subject(), told)


def _notice(subject: str, told: dict[str, Any], more: str = "") -> Letter:
    when = date_format(told["at"].astimezone(datetime.UTC), "j F Y, H:i")
    said = _("%(subject)s.\n\nWhen: %(when)s UTC\nWith: %(device)s") % {
        "subject": subject,
        "when": when,
        "device": told["device"],
    }
    if_not_you = _(
        "If it was you, there is nothing to do.\n\n"
        "If it was not, choose a new password here, which signs everybody else out:\n%(link)s\n"
        "Then tell your coach or the practice."
    ) % {"link": absolute(reverse("account_reset_password"))}
    return Letter(subject, "\n\n".join(part for part in [said, more, if_not_you] if part))


LETTERS: dict[str, Callable[[dict[str, Any]], Letter]] = {
    "account/email/password_reset_key": _new_password_link,
    "account/email/email_confirmation": _new_address,
    "account/email/email_changed": _address_changed,
    "account/email/password_changed": _about(lambda: _("Your password was changed")),
    "account/email/password_set": _about(lambda: _("Your account has a password now")),
    "account/email/password_reset": _about(lambda: _("Your password was changed")),
    "mfa/email/totp_activated": _about(lambda: _("Codes from an app are needed to sign in now")),
    "mfa/email/totp_deactivated": _about(lambda: _("Codes from an app are not needed any more")),
    "mfa/email/recovery_codes_generated": _about(lambda: _("New recovery codes were made; the old ones are void")),
    "mfa/email/webauthn_added": _about(lambda: _("A passkey was added to your account")),
    "mfa/email/webauthn_removed": _about(lambda: _("A passkey was removed from your account")),
}
