"""Devices that have signed in before: a signed cookie says so, per person. It opens nothing; it only says "again"."""

import datetime
import secrets

from django.core import signing
from django.utils.crypto import constant_time_compare, salted_hmac

from clients.models import User

COOKIE = "purlin_device"
KEPT = datetime.timedelta(days=365)
SALT = "clients.devices"
# People who share a device, most recent first.
MOST_PEOPLE = 8


def device_of(cookie: str, user: User) -> str | None:
    """The device's own id, when this person has signed in on it before."""
    found = _read(cookie).get(str(user.uuid))
    if found is None or not constant_time_compare(found[1], _proof(user, found[0])):
        return None
    return found[0]


def remember(cookie: str, user: User) -> str:
    """The cookie with this person in it."""
    device = device_of(cookie, user) or secrets.token_urlsafe(12)
    others = [(who, what) for who, what in _read(cookie).items() if who != str(user.uuid)]
    people = dict([(str(user.uuid), [device, _proof(user, device)]), *others][:MOST_PEOPLE])
    return signing.dumps(people, salt=SALT)


def _proof(user: User, device: str) -> str:
    """Changes when somebody ends all of the person's sessions: then no device is known any more."""
    ended = user.sessions_ended_at.timestamp() if user.sessions_ended_at else ""
    return salted_hmac(SALT, f"{user.uuid}|{device}|{ended}").hexdigest()[:24]


def _read(cookie: str) -> dict[str, list[str]]:
    try:
        return signing.loads(cookie, salt=SALT, max_age=KEPT)
    except signing.BadSignature:
        return {}
