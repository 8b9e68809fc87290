"""Body mass and areas to protect."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from clients.domain.versions import supersede
from clients.models import BodyMass, Client, ProtectedArea
from methods.units import kg_from


def record_body_mass(client: Client, *, entered: Decimal, unit: str, on: datetime.date) -> BodyMass:
    """Keep a dated mass. A second one for the same day corrects the first; the same again keeps nothing new,
    unless it was taken back: then it counts again.

    Sets that were computed on the old mass are recomputed by whoever owns them.
    """
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        current = BodyMass.objects.current().filter(client=client, on=on).first()
        if current is not None and (current.entered, current.unit, current.is_withdrawn) == (entered, unit, False):
            return current
        version = BodyMass(
            practice_id=client.practice_id,
            client=client,
            on=on,
            entered=entered,
            unit=unit,
            mass_kg=kg_from(entered, unit),
        )
        return supersede(current, version)


def take_back_body_mass(mass: BodyMass) -> BodyMass:
    """Store a version that counts nowhere; told again, the day counts again. Taken back twice, the first stands.

    Sets that were computed on it are recomputed by whoever owns them. Raises ReplacedMeanwhile when another mass was
    told for the day since.
    """
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=mass.client_id)
        standing = BodyMass.objects.current().filter(client=mass.client_id, on=mass.on).first()
        if standing is not None and standing.is_withdrawn:
            return standing
        version = BodyMass(
            practice_id=mass.practice_id,
            client_id=mass.client_id,
            on=mass.on,
            entered=mass.entered,
            unit=mass.unit,
            mass_kg=mass.mass_kg,
            is_withdrawn=True,
        )
        return supersede(mass, version)


def hide_body_mass(client: Client, *, hidden: bool) -> None:
    """Whether this client is asked about body mass and sees any. What was told before is kept."""
    client.body_mass_hidden = hidden
    client.save(update_fields=["body_mass_hidden"])


@dataclass(frozen=True)
class AreaToProtect:
    area: str
    side: str
    why: str
    barred: bool


def save_areas(client: Client, areas: list[AreaToProtect], *, on: datetime.date) -> None:
    """Keep just these areas to protect from this day; others end the day before, as a new version."""
    wanted = {(a.area, a.side): a for a in areas}
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        standing = ProtectedArea.objects.current().filter(client=client, until_on=None)
        current = {(row.area, row.side): row for row in standing}
        for key, row in current.items():
            if key not in wanted:
                supersede(row, _version(client, _as_was(row), from_on=row.from_on, until_on=_day_before(on, row)))
        for key, area in wanted.items():
            standing_row = current.get(key)
            if standing_row is None:
                _version(client, area, from_on=on).save(force_insert=True)
            elif (standing_row.why, standing_row.barred) != (area.why, area.barred):
                supersede(standing_row, _version(client, area, from_on=standing_row.from_on))


def _as_was(row: ProtectedArea) -> AreaToProtect:
    return AreaToProtect(row.area, row.side, row.why, row.barred)


def _day_before(on: datetime.date, row: ProtectedArea) -> datetime.date:
    return max(on - datetime.timedelta(days=1), row.from_on)


def _version(
    client: Client, area: AreaToProtect, *, from_on: datetime.date, until_on: datetime.date | None = None
) -> ProtectedArea:
    return ProtectedArea(
        practice_id=client.practice_id,
        client=client,
        area=area.area,
        side=area.side,
        why=area.why,
        barred=area.barred,
        from_on=from_on,
        until_on=until_on,
    )


def age_on(born: datetime.date, day: datetime.date) -> int:
    """Whole years; who was born on 29 February has the birthday on 1 March in other years."""
    return day.year - born.year - ((day.month, day.day) < (born.month, born.day))
