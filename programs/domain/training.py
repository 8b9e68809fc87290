"""The page a client trains from: today's session in order, each set with what is planned, or was done last time."""

import datetime
import uuid
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cached_property
from math import ceil
from typing import Any

from django.utils.translation import gettext as _

from clients.choices import MassUnit
from clients.domain.safety import barred_areas
from clients.models import Client
from methods.units import in_unit
from programs.choices import BY_THE_CLOCK, WORK_SECTIONS, GroupKind, LoadKind, LoggedSide, Measure, Outcome, SetKind
from programs.domain.demands import options_of
from programs.domain.dosing import dose_words, grip_of_set, grip_words, measured_words, plain
from programs.domain.logging import AMOUNT_FIELDS
from programs.domain.rows import Together, as_together, groups_of, with_contents
from programs.domain.timing import clock_of, minutes_of
from programs.domain.wording import notes_of, together_words
from programs.models import (
    BlockSession,
    Group,
    MovementRevision,
    Prescription,
    ScheduledSession,
    Section,
    SetLog,
    TrainingLog,
)

# Further back, last time's numbers say nothing about today.
LOOK_BACK = datetime.timedelta(days=60)
WITH_A_LOAD = frozenset({LoadKind.BODY_PLUS, LoadKind.EXTERNAL})
RESERVES = (("0", "0"), ("1", "1"), ("2", "2"), ("3", "3"), ("4", "4"), ("5", "5+"))


@dataclass(frozen=True)
class Refusal:
    """What was typed into one row or form, and why it was not kept."""

    key: str
    sent: Mapping[str, str]
    errors: Mapping[str, list[str]]


@dataclass(frozen=True)
class SetRow:
    """One set to do, or done: a small form of its own."""

    prescription: Prescription
    number: int
    side: str
    unit: str
    stored: SetLog | None
    last: SetLog | None
    refusal: Refusal | None = None
    # What begins when it is done; 0 where a clock calls, or another movement comes first.
    rest_s: int = 0
    # The other side of the same set, where only that one is logged: this side is of the same movement.
    other_side: SetLog | None = None
    # Rendered into the form, so that a double submit is the same entry.
    new_id: uuid.UUID = field(default_factory=uuid.uuid4)
    take_back_id: uuid.UUID = field(default_factory=uuid.uuid4)

    @property
    def key(self) -> str:
        return row_key(str(self.prescription.uuid), self.number, self.side)

    @property
    def anchor(self) -> str:
        return anchor_of(self.key)

    @property
    def label(self) -> str:
        label = _("Set %(number)d") % {"number": self.number}
        if self.side != LoggedSide.BOTH:
            return f"{label}, {LoggedSide(self.side).label.lower()}"
        return _("%(set)s, each side") % {"set": label} if self.has_sides else label

    @property
    def has_sides(self) -> bool:
        """Of what is planned the plan says it, of something else the movement."""
        return self.movement.one_sided if self.is_other_movement else self.prescription.per_side

    @property
    def asks_reserve(self) -> bool:
        """Effort is rated on the last work set only: the others need one tap. Reps in reserve say nothing of holds."""
        is_rated = rates_effort(self.prescription, self.movement.measure)
        return is_rated and self.number == self.prescription.sets

    @property
    def movement(self) -> MovementRevision:
        """What was really done, on this side or the other; what is planned until then."""
        done = self.stored or self.other_side
        return done.movement if done else self.prescription.movement

    @property
    def is_other_movement(self) -> bool:
        return self.movement.pk != self.prescription.movement_id

    @property
    def grip(self) -> str:
        return grip_of_set(self.prescription.grip, self.number)

    @property
    def grip_words(self) -> str:
        """Where grips take turns, the one of this set."""
        return grip_words(self.grip) if "," in self.prescription.grip else ""

    @property
    def amount_name(self) -> str:
        return AMOUNT_FIELDS[Measure(self.movement.measure)]

    @property
    def is_hold(self) -> bool:
        return self.movement.measure == Measure.SECONDS

    @property
    def asks_load(self) -> bool:
        is_planned = self.prescription.load_kg is not None and not self.is_other_movement
        return self.movement.load_kind in WITH_A_LOAD or is_planned

    @property
    def asks_help(self) -> bool:
        is_planned = self.prescription.assistance_kg is not None and not self.is_other_movement
        return self.movement.load_kind == LoadKind.ASSISTED or is_planned

    @cached_property
    def values(self) -> dict[str, str]:
        """What stands in the inputs: as typed, else as stored, else as planned or done last time."""
        return dict(self.refusal.sent) if self.refusal else self._stored_values() or self._planned_values()

    @property
    def amount(self) -> str:
        return self.values.get(self.amount_name, "")

    @property
    def rir(self) -> str:
        return self.values.get("rir", "")

    def _stored_values(self) -> dict[str, str]:
        if self.stored is None:
            return {}
        return {
            self.amount_name: plain(getattr(self.stored, self.amount_name)),
            "load": _as_entered(self.stored, self.unit),
            "assistance": _in_unit(self.stored.assistance_kg, self.unit),
            "rir": plain(self.stored.rir),
        }

    def _planned_values(self) -> dict[str, str]:
        planned, last = self.prescription, self.last
        if self.is_other_movement and self.other_side is not None:
            # Nothing was planned for it: as the other side was done.
            return replace(self, stored=self.other_side, other_side=None)._stored_values() | {"rir": ""}
        done = getattr(last, self.amount_name) if last else None
        is_in_range = done is not None and planned.amount_low <= done <= planned.amount_high
        load = _as_entered(planned, self.unit) or (_as_entered(last, self.unit) if last else "")
        help_kg = planned.assistance_kg
        if help_kg is None and last is not None:
            help_kg = last.assistance_kg
        return {
            self.amount_name: plain(done if is_in_range else planned.amount_low),
            "load": load,
            "assistance": _in_unit(help_kg, self.unit),
        }


def rest_after(dose: Prescription, number: int, group: Together[Prescription]) -> int:
    """The rest that begins when a set, counted from 1, is done, as the minutes count it (methods.volume): none against
    a clock, one a round of a pair, and its own after each station of a circuit. [s]"""
    if group.kind in BY_THE_CLOCK:
        return 0
    if group.kind == GroupKind.PAIR:
        # Of two with unequal sets, one goes on alone.
        in_round = [one for one in group if one.sets >= number]
        goes_on = [one for one in group if one.sets > number] or in_round
        return max(one.rest_s for one in goes_on) if dose is in_round[-1] else 0
    return dose.rest_s


def rates_effort(planned: Prescription, measure: str) -> bool:
    """Whether the last set of a prescription asks for reps in reserve, when it is done with a movement so counted."""
    is_work = planned.kind != SetKind.WARM_UP and planned.group.section.kind in WORK_SECTIONS
    return is_work and measure == Measure.REPETITIONS


def row_key(prescription: str, number: object, side: str) -> str:
    return f"{prescription}:{number}:{side}"


def _as_entered(row: Prescription | SetLog, unit: str) -> str:
    """A load in the client's unit; not converted when it was entered in it."""
    return plain(row.load_entered) if row.load_unit == unit else _in_unit(row.load_kg, unit)


def _in_unit(mass_kg: Decimal | None, unit: str) -> str:
    return "" if mass_kg is None else plain(in_unit(mass_kg, unit))


@dataclass(frozen=True)
class Card:
    """One movement of the session with its dose and its sets."""

    prescription: Prescription
    dose: str
    last: str
    rows: list[SetRow]
    # For a set whose two sides differed; empty where it is logged already.
    split_rows: list[SetRow]
    # What else the client reads beside the dose.
    notes: list[str] = field(default_factory=list)

    @property
    def name(self) -> str:
        return self.prescription.movement.name

    @property
    def hold_target(self) -> int | None:
        return self.prescription.amount_low if self.rows[0].is_hold else None


@dataclass(frozen=True)
class GroupView:
    """`words` say how it is done; empty for a movement alone."""

    words: str
    cards: list[Card]
    # Of a clock that calls each set, or runs once for all rounds.
    clock_s: int | None = None
    clock_rounds: int = 1


@dataclass(frozen=True)
class SectionView:
    label: str
    groups: list[GroupView]


@dataclass(frozen=True)
class SessionPage:
    scheduled: ScheduledSession
    sections: list[SectionView]
    minutes_planned: int
    log: TrainingLog | None
    first_set_at: datetime.datetime | None

    def minutes_by(self, at: datetime.datetime) -> int:
        """A first guess at how long it took: since the first set, where that is believable; else as planned."""
        if self.first_set_at is not None and (since := int((at - self.first_set_at).total_seconds() // 60)) in MINUTES:
            return since
        return self.minutes_planned

    @property
    def movements(self) -> list[tuple[str, str]]:
        """Public id and name of what is planned, in order."""
        cards = [card for section in self.sections for group in section.groups for card in group.cards]
        return [(str(card.prescription.uuid), card.name) for card in cards]

    def outcome_so_far(self) -> str:
        if self.log is not None:
            return self.log.outcome
        return Outcome.WITH_NUMBERS if self.first_set_at else ""


MINUTES = range(10, 181)


def unscheduled(session: BlockSession, *, on: datetime.date) -> ScheduledSession:
    """A draft's session as if it stood on a day, for looking at only: it is in no database and has no log."""
    client = session.block.client
    return ScheduledSession(
        practice_id=session.practice_id, client=client, session=session, on=on, time_zone=client.time_zone
    )


def session_page(scheduled: ScheduledSession, refusal: Refusal | None = None) -> SessionPage:
    """All that the page shows, in a number of queries that does not grow with the session."""
    session = with_contents(BlockSession.objects.filter(pk=scheduled.session_id)).get()
    builder = _Builder(scheduled, session, refusal)
    stored = builder.stored.values()
    return SessionPage(
        scheduled=scheduled,
        sections=[builder.section(section) for section in session.sections.all()],
        minutes_planned=minutes_of(groups_of(session)),
        log=TrainingLog.objects.counting().filter(scheduled=scheduled.pk).first(),
        first_set_at=min((entry.device_at for entry in stored), default=None),
    )


class _Builder:
    def __init__(self, scheduled: ScheduledSession, session: BlockSession, refusal: Refusal | None) -> None:
        self.unit = scheduled.client.mass_unit
        self.refusal = refusal
        self.stored = {
            (entry.lineage, entry.number, entry.side): entry
            for entry in SetLog.objects.counting().filter(scheduled=scheduled.pk).select_related("movement")
        }
        doses = [dose for group in groups_of(session) for dose in group]
        self.last = last_numbers(scheduled.client, doses, before=scheduled)
        has_options = any(options_of(dose) for dose in doses)
        self.barred = barred_areas(scheduled.client, on=scheduled.on) if has_options else frozenset()

    def section(self, section: Section) -> SectionView:
        groups = [self.group(group) for group in section.groups.all()]
        return SectionView(section.get_kind_display(), [group for group in groups if group.cards])

    def group(self, group: Group) -> GroupView:
        done = as_together(group)
        cards = [self.card(dose, done) for dose in done]
        return GroupView(together_words(done), cards, *clock_of(done))

    def card(self, dose: Prescription, group: Together[Prescription]) -> Card:
        rows, split = [], []
        for number in range(1, dose.sets + 1):
            rest_s = rest_after(dose, number, group)
            by_side = [self.row(dose, number, side, rest_s) for side in (LoggedSide.LEFT, LoggedSide.RIGHT)]
            both = self.row(dose, number, LoggedSide.BOTH, rest_s)
            if done := next((row.stored for row in by_side if row.stored), None):
                rows += [row if row.stored else replace(row, other_side=done) for row in by_side]
                continue
            rows.append(both)
            if dose.per_side and both.stored is None:
                split += by_side
        notes = notes_of(dose, barred=self.barred)
        words = dose_words(dose, rests=group.kind not in BY_THE_CLOCK)
        return Card(dose, words, self.last_words(dose), rows, split, notes)

    def row(self, dose: Prescription, number: int, side: LoggedSide, rest_s: int) -> SetRow:
        stored = self.stored.get((dose.lineage, number, side))
        sets = self.last.get(dose.lineage, {})
        last = sets.get((number, side)) or sets.get((number, LoggedSide.BOTH))
        row = SetRow(dose, number, side, self.unit, stored, last, rest_s=rest_s)
        if self.refusal is None or self.refusal.key != row.key:
            return row
        return replace(row, refusal=self.refusal)

    def last_words(self, dose: Prescription) -> str:
        sets = [entry for _slot, entry in sorted(self.last.get(dose.lineage, {}).items())]
        if not sets:
            return ""
        measure = Measure(dose.movement.measure)
        amounts = [getattr(entry, AMOUNT_FIELDS[measure]) for entry in sets]
        done = [amount for amount in amounts if amount is not None]
        loads = list(dict.fromkeys(_as_entered(entry, self.unit) for entry in sets if entry.load_kg))
        words = measured_words(", ".join(plain(amount) for amount in done), ceil(sum(done)), measure)
        at_load = _("%(sets)s at %(load)s") % {"sets": words, "load": f"{', '.join(loads)} {self.unit}"}
        return at_load if loads else words


Slot = tuple[int, str]


def last_numbers(
    client: Client, doses: Iterable[Prescription], *, before: ScheduledSession
) -> dict[uuid.UUID, dict[Slot, SetLog]]:
    """For each prescription, the sets of the last other session that has any, by number and side.

    Sets of something else that was done in its place say nothing about what is planned.
    """
    movements = {dose.lineage: dose.movement.movement_id for dose in doses}
    earlier = SetLog.objects.counting().filter(
        client=client,
        lineage__in=set(movements),
        training_day__lte=before.on,
        training_day__gte=before.on - LOOK_BACK,
    )
    found: dict[uuid.UUID, dict[Slot, SetLog]] = defaultdict(dict)
    newest: dict[uuid.UUID, int] = {}
    newest_first = earlier.exclude(scheduled=before.pk).order_by("-training_day", "-scheduled_id", "number")
    for entry in newest_first.select_related("movement"):
        if entry.movement.movement_id != movements[entry.lineage]:
            continue
        if newest.setdefault(entry.lineage, entry.scheduled_id) == entry.scheduled_id:
            found[entry.lineage].setdefault((entry.number, entry.side), entry)
    return found


def unit_label(unit: str) -> str:
    return str(MassUnit(unit).label)


def entry_key(sent: Mapping[str, Any]) -> str:
    """Which row or form of the page an entry came from."""
    kind = str(sent.get("kind", ""))
    if kind == "set":
        return row_key(str(sent.get("prescription", "")), sent.get("number", ""), str(sent.get("side", "")))
    return "skip" if kind == "session" and sent.get("outcome") == Outcome.SKIPPED else kind


def anchor_of(key: str) -> str:
    return "set-" + key.replace(":", "-")
