"""A document that is known to be valid, as sessions with rows. Nothing is written.

For what was checked just now, and for what was stored long ago: a movement may have gone since then.
"""

import uuid
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from clients.models import Practice
from programs.choices import GroupKind
from programs.domain.exchange.schema import WEEKDAYS
from programs.domain.rows import Row, kind_by_number
from programs.models import Movement, MovementRevision

OPTIONS = ("easier", "harder")
_DECIMALS = (
    *("target_rir", "target_rpe", "load_entered", "load_kg", "percent_of_max", "assistance_kg"),
    *("step_rir", "step_load"),
)
_WHOLE = (
    *("sets", "amount_low", "amount_high", "rest_s", "cluster_reps", "rest_within_s"),
    *("step_sets", "step_amount"),
)
_AS_THEY_ARE = ("kind", "scheme", "tempo", "load_unit", "grip", "cue", "and_or")
_LIMIT_OF = {"easier": "easier_below", "harder": "harder_from"}

Movements = dict[str, MovementRevision]
Lineages = defaultdict[tuple[str, ...], uuid.UUID]


@dataclass(frozen=True)
class Miss:
    """A movement that a document names and that cannot be prescribed now, in words for the coach."""

    session: str
    movement: str
    reason: str


@dataclass(frozen=True)
class ReadSession:
    """A session of a document. Lineages are new with every reading, and the same in all weeks of one reading.

    A row whose movement is missed is left out, and what it was done together with closes up; a row whose easier or
    harder option is missed stands without it. `misses` says which.
    """

    lineage: uuid.UUID
    week: int
    weekday: int
    name: str
    rows: list[Row]
    misses: list[Miss]


def offered_movements(practice: Practice) -> Movements:
    """What a practice may prescribe, by slug. Its own movement comes before the shared one of the same slug."""
    offered = Movement.objects.offered_by(practice).exclude(current=None).select_related("current")
    return {movement.slug: movement.current for movement in offered if movement.current}


def sessions_in(document: Mapping[str, Any], movements: Movements) -> list[ReadSession]:
    """The sessions of a valid document in its order, with the rows that these movements allow."""
    lineages: Lineages = defaultdict(uuid.uuid4)
    return [
        _session(told, movements, lineages, told.get("lineage", f"session {place}").lower())
        for place, told in enumerate(document["sessions"])
    ]


def _session(told: Mapping[str, Any], movements: Movements, lineages: Lineages, lineage: str) -> ReadSession:
    reading = _Reading(told["name"], lineage, movements, lineages)
    rows = [
        row
        for section in told["sections"]
        for group in section["groups"]
        for row in reading.rows(section["kind"], group)
    ]
    return ReadSession(
        lineage=lineages["session", lineage],
        week=int(told["week"]),
        weekday=WEEKDAYS.index(told["weekday"]),
        name=told["name"],
        rows=rows,
        misses=reading.misses,
    )


@dataclass(frozen=True)
class _Reading:
    """One session while it is read."""

    name: str
    lineage: str
    movements: Movements
    lineages: Lineages
    misses: list[Miss] = field(default_factory=list)

    def rows(self, section: str, group: Mapping[str, Any]) -> Iterator[Row]:
        rows = [row for told in group["prescriptions"] if (row := self._row(section, told))]
        for number, row in enumerate(rows):
            bracket = _bracket(group, len(rows)) if number == 0 else {}
            yield replace(row, joined=number + 1 < len(rows), **bracket)

    def _row(self, section: str, told: Mapping[str, Any]) -> Row | None:
        """As the editor would make it: a movement done one side at a time is prescribed for each side."""
        movement = self._movement(told["movement"], told, called=told.get("movement_name"))
        if movement is None:
            return None
        return Row(
            movement=movement,
            section=section,
            lineage=self._lineage(told),
            per_side=told.get("per_side", False) or movement.one_sided,
            **_dose(told),
            **self._options(told),
        )

    def _movement(self, slug: str, told: Mapping[str, Any], *, called: str | None = None) -> MovementRevision | None:
        movement = self.movements.get(slug)
        if movement is None:
            self.misses.append(Miss(self.name, called or slug, _("You do not offer it any more.")))
        elif movement.measure != told["measure"]:
            self.misses.append(Miss(self.name, movement.name, _("It is measured in another way now.")))
            return None
        return movement

    def _options(self, told: Mapping[str, Any]) -> dict[str, Any]:
        named = {name: self._movement(told[name], told) for name in OPTIONS if name in told}
        return {
            column: value
            for name, movement in named.items()
            if movement is not None
            for column, value in ((name, movement), (_LIMIT_OF[name], int(told[_LIMIT_OF[name]])))
        }

    def _lineage(self, told: Mapping[str, Any]) -> uuid.UUID:
        return self.lineages["dose", self.lineage, told["lineage"].lower()] if "lineage" in told else uuid.uuid4()


def _dose(told: Mapping[str, Any]) -> dict[str, Any]:
    values: dict[str, Any] = {name: told[name] for name in _AS_THEY_ARE if name in told}
    values |= {name: int(told[name]) for name in _WHOLE if name in told}
    return values | {name: Decimal(str(told[name])) for name in _DECIMALS if name in told}


def _bracket(group: Mapping[str, Any], members: int) -> dict[str, Any]:
    """What the first row says of its group. One that is left of a pair or a circuit is alone."""
    is_left_alone = members == 1 and group["kind"] in {GroupKind.PAIR, GroupKind.CIRCUIT}
    if is_left_alone or group["kind"] == kind_by_number(members):
        return {}
    times = {name: int(group[name]) for name in ("minutes", "interval_s") if name in group}
    return times | {"together": group["kind"]}
