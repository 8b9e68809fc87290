"""The token in a link to a new password."""

from django.contrib.auth.tokens import PasswordResetTokenGenerator

from clients.models import User


class ResetTokens(PasswordResetTokenGenerator):
    """Ends with the password, with the address, and when all of the person's sessions are ended."""

    def _make_hash_value(self, user: User, timestamp: int) -> str:
        ended = user.sessions_ended_at.timestamp() if user.sessions_ended_at else ""
        return f"{super()._make_hash_value(user, timestamp)}{ended}"
