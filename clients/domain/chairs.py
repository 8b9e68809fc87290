"""Whether sturdy chairs may carry a dip or a row: never, unless the coach allows it for this client at this place.

Two chairs tip and slide apart (common practice: they carry no dip and no row), and only the coach has seen these ones.
The set-up check is asked besides.
"""

import datetime
from collections.abc import Iterable

from django.db import transaction

from clients.domain.versions import supersede
from clients.errors import ReplacedMeanwhile
from clients.models import ChairPermission, Client, Place, User


def say_chairs(
    place: Place, *, allowed: bool, why: str, seen: ChairPermission | None, by: User, at: datetime.datetime
) -> ChairPermission:
    """Allow it or take it back, from now on. Raises ReplacedMeanwhile unless `seen` is what stands."""
    said = ChairPermission(
        practice_id=place.practice_id,
        client_id=place.client_id,
        place=place,
        allowed=allowed,
        why=why,
        on=at.astimezone(place.client.zone).date(),
        by=by,
        at=at,
    )
    with transaction.atomic():
        Place.objects.select_for_update().get(pk=place.pk)
        standing = permission_at(place)
        if standing != seen:
            raise ReplacedMeanwhile
        return supersede(standing, said)


def permission_at(place: Place) -> ChairPermission | None:
    """What a coach said last about the chairs of a place."""
    return ChairPermission.objects.current().filter(place=place).first()


def told_about(places: Iterable[Place]) -> dict[int, ChairPermission]:
    """The same for many places, by their key."""
    said = ChairPermission.objects.current().filter(place__in=places).select_related("by")
    return {permission.place_id: permission for permission in said}


def chairs_carry(client: Client, place: Place | None = None) -> bool:
    """At a place, the default one when none is named."""
    allowing = ChairPermission.objects.current().filter(client=client, allowed=True, place__closed_at=None)
    at_place = allowing.filter(place=place) if place is not None else allowing.filter(place__is_default=True)
    return at_place.exists()
