"""What a client could do instead of what is planned, from the facts about their day; a constant number of queries."""

import datetime
import uuid
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import partial
from typing import cast

from django.db.models import Max
from django.utils.translation import gettext as _

from clients.choices import Ceiling, ItemKind
from clients.domain.equipment import ALWAYS_THERE
from clients.domain.safety import Start, barred_areas, require_start
from clients.errors import ClientsError
from clients.models import Client
from methods.units import in_unit
from programs.choices import LoadKind, LoggedSide, Measure
from programs.domain.dosing import DOSE_FIELDS, Dosed, dose_words, plain
from programs.domain.graph import Graph, Known, graph_of, known_of_revision
from programs.domain.library import AtHand, at_hand
from programs.domain.logging import AMOUNT_FIELDS
from programs.domain.resolving import WITH_A_LOAD, Answer, Asked, Day, Want, resolve
from programs.domain.training import rates_effort
from programs.models import MovementRevision, Prescription, ScheduledSession, SetLog


@dataclass(frozen=True)
class Around:
    """One client's day and library, read once for a whole page."""

    day: Day
    graph: Graph
    # What is there when nothing is taken away.
    there: AtHand
    # Leave to train; None when something is missing for it, which the day says.
    start: Start | None = None
    refusal: ClientsError | None = None
    slugs: dict[int, str] = field(default_factory=dict)

    @property
    def things(self) -> list[tuple[str, str]]:
        """What is at the place, to be ticked away for today."""
        return [(kind, str(ItemKind(kind).label)) for kind in sorted(self.there.present - ALWAYS_THERE)]

    def without(self, kinds: Iterable[str]) -> "Around":
        """The same day when some things are not there."""
        gone = frozenset(kinds)
        return replace(self, day=replace(self.day, present=self.day.present - gone, usable=self.day.usable - gone))

    def asked(self, dose: Dosed) -> Asked:
        """A prescription as plain values: the dose as written, the movement as the revision it was written for."""
        return Asked(self.known(dose.movement), **{name: getattr(dose, name) for name in DOSE_FIELDS})

    def known(self, revision: MovementRevision) -> Known:
        slug = self.slugs.get(revision.movement_id, "")
        current = self.graph.movements.get(slug)
        if current is not None and current.revision_id == revision.pk:
            return current
        return known_of_revision(slug or f"revision-{revision.pk}", revision)

    def instead_of(self, dose: Dosed, want: Want = Want.NEAREST) -> Answer:
        return resolve(self.asked(dose), self.day, self.graph, want)


def around(client: Client, *, on: datetime.date) -> Around:
    """What holds for a client on a day at their usual place."""
    start, refusal = None, None
    try:
        start = require_start(client, on=on)
    except ClientsError as refused:
        refusal = refused
    there = at_hand(client, on=on)
    graph, slugs = graph_of(client.practice)
    day = Day(
        present=there.present,
        usable=there.usable,
        things=there.things,
        chairs_carry=there.chairs_carry,
        barred=frozenset(barred_areas(client, on=on)),
        ceiling=(start.ceiling if start else Ceiling.NONE).value,
        no_start=str(refusal or ""),
        days_since=days_since(client, slugs, on=on),
    )
    return Around(day, graph, there, start, refusal, slugs)


def days_since(client: Client, slugs: dict[int, str], *, on: datetime.date) -> dict[str, int]:
    """How many days ago each movement was done that was ever done before this day."""
    done = SetLog.objects.counting().filter(client=client, training_day__lt=on).order_by()
    rows = done.values_list("movement__movement").annotate(Max("training_day"))
    found: dict[str, int] = {}
    for movement, last in rows:
        if slug := slugs.get(movement):
            days = (on - last).days
            found[slug] = min(days, found.get(slug, days))
    return found


@dataclass(frozen=True)
class Offer:
    """An answer for a page: the movement, its dose in words, and why."""

    answer: Answer
    words: str

    @property
    def movement(self) -> Known | None:
        return self.answer.movement


def offer(found: Around, dose: Dosed, want: Want) -> Offer:
    answer = found.instead_of(dose, want)
    return Offer(answer, "" if answer.dose is None else dose_words(cast("Dosed", answer.dose)))


@dataclass(frozen=True)
class OtherSet:
    """One set of another movement to log in place of a planned one, or one side of it."""

    number: int
    side: str
    label: str
    amount_name: str
    measure: str
    amount: int
    load: str
    asks_load: bool
    asks_help: bool
    # Reps in reserve, of the last set.
    asks_reserve: bool
    # Rendered into the form, so that a double submit is the same entry.
    new_id: uuid.UUID = field(default_factory=uuid.uuid4)


@dataclass(frozen=True)
class OtherSets:
    """The sets of an offered movement that are not logged yet; `split` is each side alone, where both may differ."""

    rows: list[OtherSet]
    split: list[OtherSet]


def sets_to_log(found: Offer, planned: Prescription, scheduled: ScheduledSession) -> OtherSets:
    """What is left to write down for this prescription with an offered movement, as for a planned one."""
    dose = found.answer.dose
    if dose is None:
        return OtherSets([], [])
    logged = SetLog.objects.counting().filter(scheduled=scheduled, lineage=planned.lineage)
    taken: dict[int, set[str]] = {}
    for number, side in logged.values_list("number", "side"):
        taken.setdefault(number, set()).add(side)
    rows, split = [], []
    for number in range(1, dose.sets + 1):
        one = partial(_other_set, dose, planned, scheduled.client.mass_unit, number)
        done = taken.get(number, set())
        by_side = [] if LoggedSide.BOTH in done else [one(side) for side in SIDES if side not in done]
        if not done:
            rows.append(one(LoggedSide.BOTH))
            split += by_side if dose.per_side else []
        else:
            rows += by_side
    return OtherSets(rows, split)


SIDES = (LoggedSide.LEFT, LoggedSide.RIGHT)


def _other_set(dose: Asked, planned: Prescription, unit: str, number: int, side: LoggedSide) -> OtherSet:
    movement = dose.movement
    label = _("Set %(number)d") % {"number": number}
    if side != LoggedSide.BOTH:
        label = f"{label}, {side.label.lower()}"
    elif dose.per_side:
        label = _("%(set)s, each side") % {"set": label}
    return OtherSet(
        number=number,
        side=side.value,
        label=label,
        amount_name=AMOUNT_FIELDS[Measure(movement.measure)],
        measure=str(Measure(movement.measure).label),
        amount=dose.amount_low,
        load="" if dose.load_kg is None else plain(in_unit(dose.load_kg, unit)),
        asks_load=movement.load_kind in WITH_A_LOAD,
        asks_help=movement.load_kind == LoadKind.ASSISTED,
        asks_reserve=number == dose.sets and rates_effort(planned, movement.measure),
    )
