"""Second factors: how they are kept, what they are called, and ids that may leave the house."""

import base64
import hashlib
import secrets

import qrcode
from allauth.mfa.adapter import DefaultMFAAdapter
from allauth.mfa.models import Authenticator
from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from django.conf import settings
from django.utils.encoding import force_bytes
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from qrcode.image.svg import SvgPathFillImage

from clients.models import User


class SecondFactorAdapter(DefaultMFAAdapter):
    error_messages = DefaultMFAAdapter.error_messages | {
        "incorrect_code": _("This code is not right, or was used already."),
    }

    def get_totp_issuer(self) -> str:
        return "Purlin"

    def build_totp_svg(self, url: str) -> str:
        """On white: at night a reader would find dark on dark."""
        return qrcode.make(url, image_factory=SvgPathFillImage).to_string().decode()

    def encrypt(self, text: str) -> str:
        """So that a copy of the database alone makes no codes."""
        return _box().encrypt(text.encode()).decode()

    def decrypt(self, encrypted_text: str) -> str:
        try:
            return _box().decrypt(encrypted_text.encode()).decode()
        except InvalidToken:
            # Another PURLIN_SECRET_KEY than the one it was kept with: no code may be right.
            return base64.b32encode(secrets.token_bytes(20)).decode()

    def generate_authenticator_name(self, user: User, type: Authenticator.Type) -> str:
        number = Authenticator.objects.filter(user=user, type=type).count() + 1
        return gettext("Passkey %(number)d") % {"number": number}

    def get_public_key_credential_rp_entity(self) -> dict[str, str]:
        return super().get_public_key_credential_rp_entity() | {"name": "Purlin"}

    def get_public_key_credential_user_entity(self, user: User) -> dict:
        return {"id": user.uuid.bytes, "name": user.email, "display_name": user.display_name}


def _box() -> MultiFernet:
    return MultiFernet([Fernet(_key(secret)) for secret in [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]])


def _key(secret: str | bytes) -> bytes:
    return base64.urlsafe_b64encode(hashlib.sha256(b"clients.second_factors" + force_bytes(secret)).digest())
