"""A person's sessions: the list, ending them, and what else lets somebody in."""

import datetime
import hashlib

from allauth.mfa.models import Authenticator
from allauth.usersessions.models import UserSession
from django.contrib.sessions.models import Session
from django.db import transaction

from clients.models import SignInLink, User


def end_all_sessions(user: User, *, at: datetime.datetime) -> None:
    """Sign a person out everywhere, at once.

    Also ends what a session is not yet: links to a new password, one-time sign-in links, and devices that are known.
    The password and second factors stay; whoever may no longer come in at all has no membership either.
    """
    with transaction.atomic():
        user.sessions_ended_at = at
        user.save(update_fields=["sessions_ended_at"])
        sessions = UserSession.objects.filter(user=user)
        Session.objects.filter(session_key__in=sessions.values("session_key")).delete()
        sessions.delete()
        SignInLink.objects.filter(user=user, used_at=None).update(used_at=at)


def end_session(user: User, name: str) -> bool:
    """End the one of this person's sessions that `session_name` calls so; False when it is over already."""
    for session in UserSession.objects.filter(user=user):
        if session_name(session) == name:
            session.end()
            return True
    return False


def end_other_sessions(user: User, *, but: str) -> None:
    """End every session of this person's but the one with this key."""
    for session in UserSession.objects.filter(user=user).exclude(session_key=but):
        session.end()


def session_name(session: UserSession) -> str:
    """What a page may call a session: its key is as good as the sign-in, so the key never leaves the house."""
    return hashlib.sha256(f"session:{session.session_key}".encode()).hexdigest()[:24]


def take_second_factors_away(user: User, *, at: datetime.datetime) -> int:
    """For somebody who lost phone and recovery codes, by whoever runs the installation. Signs them out everywhere."""
    with transaction.atomic():
        removed, _by_model = Authenticator.objects.filter(user=user).delete()
        end_all_sessions(user, at=at)
    return removed
