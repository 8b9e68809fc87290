"""How many wrong tries are answered before one has to wait: per address and network, never per account.

A stranger can make only themself wait: what they use up belongs to the network they come from. A device that has
signed in before has tries of its own, so it gets in while somebody else hammers the account.
"""

import hashlib
import time
from collections.abc import Callable
from dataclasses import dataclass

from django.core.cache import cache

from clients.errors import TooManyEnquiries, TooManyTries


@dataclass(frozen=True)
class Limit:
    """This many tries may fail in this time."""

    name: str
    tries: int
    seconds: int


ADDRESS_FROM_NETWORK = Limit("address-from-network", tries=5, seconds=5 * 60)
# Many people of one house share an address to the outside; only what fails is counted.
NETWORK = Limit("network", tries=50, seconds=60 * 60)
DEVICE = Limit("device", tries=10, seconds=5 * 60)

# Anybody can ask for them; each is as good as the next, so the rest of the hour brings no more.
LETTERS = Limit("letters", tries=3, seconds=60 * 60)

# From one network to one practice: so that a single stranger cannot use up the hour of everybody else.
ENQUIRIES = Limit("enquiries", tries=5, seconds=60 * 60)

# Links with a token that nobody has: a calendar that was ended may go on asking, whoever tries tokens may not.
GUESSES = Limit("guesses", tries=60, seconds=60 * 60)

Release = Callable[[], object]


def take_try(email: str, *, network: str, device: str | None) -> Release:
    """Use up one try, before the password is looked at; call what comes back when the try was right.

    Taken first, so that a hundred tries at once are not a hundred answers. Raises TooManyTries.
    """
    if device is not None:
        return _take(DEVICE, f"{email}|{device}")
    release = _take(NETWORK, network)
    try:
        release_address = _take(ADDRESS_FROM_NETWORK, f"{email}|{network}")
    except TooManyTries:
        # Whoever waits for one address has not failed at others.
        release()
        raise

    def release_both() -> None:
        release()
        release_address()

    return release_both


def take_enquiry(practice: str, *, network: str) -> Release:
    """Use up one of the enquiries that a network may send to a practice; call what comes back when none was kept.

    Raises TooManyEnquiries.
    """
    try:
        return _take(ENQUIRIES, f"{practice}|{network}")
    except TooManyTries as error:
        raise TooManyEnquiries from error


def take_guess(*, network: str) -> None:
    """Use up one of the links with an unknown token that a network may try. Raises TooManyTries."""
    _take(GUESSES, network)


def may_write_to(email: str) -> bool:
    """Whether one more letter that anybody may ask for goes to this address now. Asked alike for unknown ones."""
    try:
        _take(LETTERS, email)
    except TooManyTries:
        return False
    return True


def _take(limit: Limit, whose: str) -> Release:
    """A limit is so many places in the cache. Only one process can add a place, so nothing is counted twice or lost."""
    places = [f"tries:{limit.name}:{_digest(whose)}:{number}" for number in range(limit.tries)]
    taken = cache.get_many(places)
    for place in places:
        if place not in taken and cache.add(place, time.time() + limit.seconds, limit.seconds):
            return lambda: cache.delete(place)
    free_at = min(taken.values(), default=time.time() + limit.seconds)
    raise TooManyTries(seconds=max(1, round(free_at - time.time())))


def _digest(text: str) -> str:
    return hashlib.sha256(text.lower().encode()).hexdigest()
