"""What a client trains with, and where. What bears weight counts only after a set-up check, renewed every 3 months."""

import datetime
from typing import Any

from django.db import transaction
from django.db.models import QuerySet

from clients.choices import ITEMS_WANTING_A_SET_UP_CHECK, ItemKind
from clients.errors import LastPlace, SetUpCheckIncomplete
from clients.library.equipment import TESTS
from clients.models import Client, EquipmentItem, Place, SetUpCheck, User

# A set-up check is renewed every three months.
SET_UP_CHECK_DAYS = 92
# From here on the client is reminded that it runs out.
REMIND_DAYS = 14
ALWAYS_THERE = frozenset({ItemKind.FLOOR.value, ItemKind.WALL.value})


def save_place(
    client: Client,
    *,
    name: str,
    items: dict[str, dict[str, Any]],
    checked: set[str],
    at: datetime.datetime,
    by: User,
) -> Place:
    """Keep the client's default place with just these items, as the intake asks; details given elsewhere stay.

    A ticked set-up check says that everything was tested, and is dated today.
    """
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        place, _ = Place.objects.get_or_create(
            client=client, is_default=True, closed_at=None, defaults={"practice_id": client.practice_id, "name": name}
        )
        Place.objects.filter(pk=place.pk).update(name=name)
        known = {item.kind: item.attributes for item in place.items.filter(removed_at=None)}
        save_items(place, {kind: known.get(kind, {}) | details for kind, details in items.items()}, at=at)
        for item in place.items.filter(removed_at=None, kind__in=checked & ITEMS_WANTING_A_SET_UP_CHECK):
            check_set_up(item, tested=[test.code for test in TESTS[ItemKind(item.kind)]], by=by, at=at)
    return place


def add_place(client: Client, *, name: str) -> Place:
    """Another place to train. The first one is the default."""
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        is_first = not open_places(client).exists()
        return Place.objects.create(practice_id=client.practice_id, client=client, name=name, is_default=is_first)


def open_places(client: Client) -> QuerySet[Place]:
    return Place.objects.of(client).filter(closed_at=None).order_by("-is_default", "name", "pk")


def make_default(place: Place) -> None:
    """Plans are written for this place from now on."""
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=place.client_id)
        Place.objects.of(place.client).filter(is_default=True, closed_at=None).update(is_default=False)
        Place.objects.filter(pk=place.pk, closed_at=None).update(is_default=True)


def close_place(place: Place, *, at: datetime.datetime) -> None:
    """No longer a place to train; what was there stays in the record. Raises LastPlace."""
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=place.client_id)
        others = open_places(place.client).exclude(pk=place.pk)
        if not others.exists():
            raise LastPlace
        was_default = Place.objects.get(pk=place.pk).is_default
        Place.objects.filter(pk=place.pk).update(closed_at=at, is_default=False)
        if was_default:
            Place.objects.filter(pk=others.order_by("pk").values("pk")[:1]).update(is_default=True)


def save_items(place: Place, items: dict[str, dict[str, Any]], *, at: datetime.datetime) -> None:
    """Keep just these things at a place, with their details.

    Something that bears weight and was set up differently since its check (another height, say) wants a new one.
    """
    with transaction.atomic():
        Place.objects.select_for_update().get(pk=place.pk)
        present = {item.kind: item for item in place.items.filter(removed_at=None)}
        gone = [item.pk for kind, item in present.items() if kind not in items]
        EquipmentItem.objects.filter(pk__in=gone).update(removed_at=at)
        for kind, details in items.items():
            item = present.get(kind)
            if item is None:
                _new_item(place, kind, details)
            elif item.attributes != details:
                if kind in ITEMS_WANTING_A_SET_UP_CHECK and item.attributes:
                    item.set_up_checked_on = None
                item.attributes = details
                item.save(update_fields=["attributes", "set_up_checked_on"])


def _new_item(place: Place, kind: str, details: dict[str, Any]) -> None:
    EquipmentItem.objects.create(
        practice_id=place.practice_id, client_id=place.client_id, place=place, kind=kind, attributes=details
    )


def check_set_up(
    item: EquipmentItem, *, tested: list[str], by: User, at: datetime.datetime, photo: str = ""
) -> SetUpCheck:
    """Keep that the client tested a thing, today on their clock. Raises SetUpCheckIncomplete unless all was tested."""
    missing = {test.code for test in TESTS[ItemKind(item.kind)]} - set(tested)
    if missing:
        raise SetUpCheckIncomplete
    today = at.astimezone(item.client.zone).date()
    with transaction.atomic():
        check = SetUpCheck.objects.create(
            practice_id=item.practice_id,
            client_id=item.client_id,
            item=item,
            checked_on=today,
            tested=sorted(tested),
            photo=photo,
            by=by,
            at=at,
        )
        item.set_up_checked_on = today
        item.save(update_fields=["set_up_checked_on"])
    return check


def items_at(client: Client, place: Place | None = None) -> list[EquipmentItem]:
    """What is at a place, the default one when none is named."""
    items = EquipmentItem.objects.of(client).present()
    return list(items.filter(place=place) if place is not None else items.filter(place__is_default=True))


def counts_on(item: EquipmentItem, day: datetime.date) -> bool:
    """Whether a thing may bear weight on this day: set-up-checked where that is wanted."""
    if item.kind not in ITEMS_WANTING_A_SET_UP_CHECK:
        return True
    checked = item.set_up_checked_on
    return checked is not None and checked <= day <= checked_until(checked)


def checked_until(checked: datetime.date) -> datetime.date:
    """The last day on which a check counts."""
    return checked + datetime.timedelta(days=SET_UP_CHECK_DAYS)


def wants_a_check(item: EquipmentItem, day: datetime.date) -> bool:
    """Never checked, run out, or about to."""
    if item.kind not in ITEMS_WANTING_A_SET_UP_CHECK:
        return False
    checked = item.set_up_checked_on
    return checked is None or day > checked_until(checked) - datetime.timedelta(days=REMIND_DAYS)
