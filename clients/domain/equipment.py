"""What a client trains with, and where."""

import datetime
from typing import Any

from django.db import transaction

from clients.choices import ITEMS_WANTING_A_SET_UP_CHECK, ItemKind
from clients.models import Client, EquipmentItem, Place

# A set-up check is renewed every three months.
SET_UP_CHECK_DAYS = 92
ALWAYS_THERE = frozenset({ItemKind.FLOOR.value, ItemKind.WALL.value})


def save_place(
    client: Client,
    *,
    name: str,
    items: dict[str, dict[str, Any]],
    checked: set[str],
    at: datetime.datetime,
) -> Place:
    """Keep the client's default place with just these items. A ticked set-up check is dated today."""
    today = at.astimezone(client.zone).date()
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        place, _ = Place.objects.get_or_create(
            client=client, is_default=True, closed_at=None, defaults={"practice_id": client.practice_id, "name": name}
        )
        Place.objects.filter(pk=place.pk).update(name=name)
        present = {item.kind: item for item in place.items.filter(removed_at=None)}
        EquipmentItem.objects.filter(pk__in=[i.pk for k, i in present.items() if k not in items]).update(removed_at=at)
        for kind, attributes in items.items():
            item = present.get(kind) or EquipmentItem(
                practice_id=client.practice_id, client=client, place=place, kind=kind
            )
            item.attributes = attributes
            if kind in checked:
                item.set_up_checked_on = today
            item.save()
    return place


def usable_kinds(client: Client, *, on: datetime.date, place: Place | None = None) -> set[str]:
    """Kinds of things that count on this day: present, and set-up-checked where that is wanted."""
    return set(ALWAYS_THERE) | {item.kind for item in items_at(client, place) if counts_on(item, on)}


def items_at(client: Client, place: Place | None = None) -> list[EquipmentItem]:
    """What is at a place, the default one when none is named."""
    items = EquipmentItem.objects.of(client).present()
    return list(items.filter(place=place) if place is not None else items.filter(place__is_default=True))


def counts_on(item: EquipmentItem, day: datetime.date) -> bool:
    if item.kind not in ITEMS_WANTING_A_SET_UP_CHECK:
        return True
    checked = item.set_up_checked_on
    return checked is not None and checked <= day <= checked + datetime.timedelta(days=SET_UP_CHECK_DAYS)
