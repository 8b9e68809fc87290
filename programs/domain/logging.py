"""The log: what a client did and says about it, told by a device that may tell it twice."""

import datetime
import logging
import uuid
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, TypeVar

from django.db import DataError, IntegrityError, models, transaction
from django.utils.translation import gettext_lazy as _

from clients.domain.pain import report_pain
from clients.domain.versions import supersede
from clients.errors import ReplacedMeanwhile
from clients.models import BodyMass, Client, ClientFact, PainReport, Place
from methods.units import kg_from
from programs.choices import LoggedSide, Measure, Outcome, SectionKind, SessionState, SetKind, SkipReason
from programs.domain.days import training_day, where_it_went
from programs.domain.entries import UNKNOWN, Told, content_sha256, read_entry
from programs.domain.figures import fill_figures, session_load
from programs.errors import EntryConflict, EntryRefused
from programs.models import MovementRevision, Prescription, ScheduledSession, SetLog, TrainingLog

logger = logging.getLogger(__name__)
Fact = TypeVar("Fact", bound=ClientFact)
FACTS: dict[str, type[ClientFact]] = {"set": SetLog, "session": TrainingLog, "pain": PainReport}
STORED, ALREADY_STORED, CONFLICT, REFUSED = "stored", "already_stored", "conflict", "refused"


@dataclass(frozen=True)
class Answer:
    """What became of one entry. `current` is the id of what stands there instead, in a conflict."""

    uuid: uuid.UUID | None
    status: str
    errors: dict[str, list[str]] = field(default_factory=dict)
    current: uuid.UUID | None = None

    @property
    def is_kept(self) -> bool:
        return self.status in {STORED, ALREADY_STORED}

    def as_json(self) -> dict[str, Any]:
        said = {"uuid": self.uuid and str(self.uuid), "status": self.status, "errors": self.errors}
        return said | ({"current": str(self.current)} if self.current else {})


@dataclass(frozen=True)
class Kept:
    fact: ClientFact
    is_new: bool


def log_entries(client: Client, raws: Sequence[object], *, at: datetime.datetime) -> list[Answer]:
    """Keep what can be kept, and answer each entry in order. One bad entry never loses the others.

    A replacement may stand before what it replaces. The client's row is locked, so that the same batch from two
    connections is stored once.
    """
    answers: dict[int, Answer] = {}
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        for index in _originals_first(raws):
            answers[index] = _answer(client, raws[index], at=at)
    return [answers[index] for index in range(len(raws))]


def _originals_first(raws: Sequence[object]) -> list[int]:
    where: dict[object, int] = {}
    for index, raw in enumerate(raws):
        where.setdefault(_id_in(raw, "uuid"), index)
    order: dict[int, None] = {}
    for index, raw in enumerate(raws):
        chain = [index]
        original = where.get(_id_in(raw, "replaces"))
        while original is not None and original not in order and original not in chain:
            chain.append(original)
            original = where.get(_id_in(raws[original], "replaces"))
        order.update(dict.fromkeys(reversed(chain)))
    return list(order)


def _id_in(raw: object, name: str) -> uuid.UUID | object:
    """An id that was sent, or something equal to nothing."""
    try:
        return uuid.UUID(raw[name])  # type: ignore[index]
    except (KeyError, TypeError, ValueError, AttributeError):
        return object()


def _answer(client: Client, raw: object, *, at: datetime.datetime) -> Answer:
    sent = _id_in(raw, "uuid")
    entry_id = sent if isinstance(sent, uuid.UUID) else None
    try:
        kept = log_entry(client, raw, at=at)
    except EntryRefused as refusal:
        return Answer(entry_id, REFUSED, refusal.errors)
    except EntryConflict as conflict:
        return Answer(entry_id, CONFLICT, {"__all__": [str(conflict)]}, conflict.current)
    except (DataError, IntegrityError):
        # Whatever the database refuses, our checks should have refused first: it is logged, and the rest goes on.
        logger.exception("The database refused entry %s", entry_id)
        return Answer(entry_id, REFUSED, {"__all__": [str(EntryRefused.message)]})
    return Answer(entry_id, STORED if kept.is_new else ALREADY_STORED)


def log_entry(client: Client, raw: object, *, at: datetime.datetime) -> Kept:
    """Keep one entry of any kind, or nothing of it. Raises EntryRefused or EntryConflict."""
    told = read_entry(raw, at=at)
    verbs = {"set": log_set, "session": log_session, "pain": log_pain}
    with transaction.atomic():
        known = _known(client, told)
        if known is not None:
            return Kept(known, is_new=False)
        try:
            return Kept(verbs[told["kind"]](client, told, at=at), is_new=True)
        except ReplacedMeanwhile:
            raise EntryConflict(_newest(_replaced(FACTS[told["kind"]], client, told)).uuid) from None


def _known(client: Client, told: Told) -> ClientFact | None:
    """What was stored under this id. Another client's id is as unknown as any."""
    for kind, model in FACTS.items():
        row = model._default_manager.filter(uuid=told["uuid"]).first()
        if row is None:
            continue
        if row.client_id != client.pk or row.erased_at is not None:
            raise EntryRefused({"uuid": [UNKNOWN]})
        if kind != told["kind"] or not _says_the_same(row, told):
            raise EntryConflict(_newest(row).uuid)
        return row
    return None


def _says_the_same(row: ClientFact, told: Told) -> bool:
    if isinstance(row, PainReport):
        # Pain also comes from other pages, so it keeps no hash of what was sent.
        same_replaced = (row.replaces and row.replaces.uuid) == told.get("replaces")
        return same_replaced and all(getattr(row, name) == told[name] for name in ("area", "side", "during", "note"))
    return getattr(row, "sent_sha256", "") == content_sha256(told)


def _newest(row: Fact) -> Fact:
    while not row.is_current:
        row = type(row)._default_manager.get(replaces=row)
    return row


def log_set(client: Client, told: Told, *, at: datetime.datetime) -> SetLog:
    """Keep one set, or the next version of one, with its figures; the session's state follows."""
    scheduled = _scheduled(client, told)
    replaced = _replaced(SetLog, client, told, scheduled)
    version = SetLog(**_common(client, told, scheduled, replaced, at=at))
    _fill(version, _as_it_was(replaced, SET_CONTENT) if told["withdrawn"] else _set_content(client, told, scheduled))
    if not version.is_withdrawn:
        _refuse_second(version, replaced)
    fill_figures(version, BodyMass.objects.filter(client=client).for_day(version.training_day))
    supersede(replaced, version)
    refresh_state(scheduled)
    return version


def log_session(client: Client, told: Told, *, at: datetime.datetime) -> TrainingLog:
    """Keep what the client says about a whole session; its state follows."""
    scheduled = _scheduled(client, told)
    replaced = _replaced(TrainingLog, client, told, scheduled)
    version = TrainingLog(**_common(client, told, scheduled, replaced, at=at))
    _fill(version, _as_it_was(replaced, SESSION_CONTENT) if told["withdrawn"] else _session_content(client, told))
    standing = TrainingLog.objects.counting().filter(scheduled=scheduled).exclude(pk=replaced and replaced.pk).first()
    if standing is not None and not version.is_withdrawn:
        raise EntryConflict(standing.uuid)
    version.session_load_au = session_load(version)
    supersede(replaced, version)
    refresh_state(scheduled)
    return version


def log_pain(client: Client, told: Told, *, at: datetime.datetime) -> PainReport:
    """Keep a pain report told from a session; the published table's answer is stored with it."""
    scheduled = _scheduled(client, told) if "scheduled" in told else None
    replaced = _replaced(PainReport, client, told)
    local = told["device_at"].astimezone(client.zone).date()
    day = training_day(scheduled.on, told["device_at"], told["time_zone"]) if scheduled else local
    prescription = _prescription(told, scheduled) if scheduled and "prescription" in told else None
    return report_pain(
        client,
        area=told["area"],
        side=told["side"],
        during=told["during"],
        on=replaced.on if replaced else day,
        told_in=told.get("told_in") or (scheduled and scheduled.uuid),
        movement_slug=prescription.movement.movement.slug if prescription else "",
        note=told["note"],
        by=client.user,
        at=at,
        uuid=told["uuid"],
        replaces=replaced,
    )


def _common(
    client: Client, told: Told, scheduled: ScheduledSession, replaced: Any, *, at: datetime.datetime
) -> dict[str, Any]:
    day = replaced.training_day if replaced else training_day(scheduled.on, told["device_at"], told["time_zone"])
    return {
        "practice_id": client.practice_id,
        "client": client,
        "uuid": told["uuid"],
        "scheduled": scheduled,
        "training_day": day,
        "time_zone": told["time_zone"],
        "device_at": told["device_at"],
        "received_at": at,
        "sent_sha256": content_sha256(told),
        "is_withdrawn": told["withdrawn"],
    }


SET_CONTENT = (
    "prescription",
    "lineage",
    "movement",
    "kind",
    "number",
    "side",
    "repetitions",
    "seconds",
    "metres",
    "load_entered",
    "load_unit",
    "load_kg",
    "assistance_kg",
    "grip",
    "rir",
    "place",
)
SESSION_CONTENT = ("outcome", "skip_reason", "session_rpe", "minutes", "note", "place")


def _fill(version: models.Model, content: Mapping[str, Any]) -> None:
    for name, value in content.items():
        setattr(version, name, value)


def _as_it_was(row: models.Model | None, names: Collection[str]) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


def _set_content(client: Client, told: Told, scheduled: ScheduledSession) -> dict[str, Any]:
    prescription = _prescription(told, scheduled)
    movement = _movement(client, told) if "movement" in told else prescription.movement
    _require_amount(told, movement)
    load = told.get("load")
    help_kg = kg_from(told["assistance"], told["load_unit"]) if "assistance" in told else told.get("assistance_kg")
    return {
        "prescription": prescription,
        "lineage": prescription.lineage,
        "movement": movement,
        "kind": told.get("set_kind", prescription.kind),
        "number": told["number"],
        "side": told["side"],
        "repetitions": told.get("repetitions"),
        "seconds": told.get("seconds"),
        "metres": told.get("metres"),
        "load_entered": load,
        "load_unit": "" if load is None else told["load_unit"],
        "load_kg": None if load is None else kg_from(load, told["load_unit"]),
        "assistance_kg": help_kg,
        "grip": told["grip"],
        "rir": told.get("rir"),
        "place": _place(client, told),
    }


def _session_content(client: Client, told: Told) -> dict[str, Any]:
    names = ("outcome", "skip_reason", "session_rpe", "minutes", "note")
    return {name: told.get(name) for name in names} | {"place": _place(client, told)}


AMOUNT_FIELDS = {Measure.REPETITIONS: "repetitions", Measure.SECONDS: "seconds", Measure.METRES: "metres"}


def _require_amount(told: Told, movement: MovementRevision) -> None:
    name = AMOUNT_FIELDS[Measure(movement.measure)]
    if name not in told:
        raise EntryRefused({name: [_("Please write how much you did.")]})


def _scheduled(client: Client, told: Told) -> ScheduledSession:
    """The session that was meant. One that moved meanwhile is found on its new day."""
    found = ScheduledSession.objects.of(client).filter(uuid=told["scheduled"]).first()
    if found is None:
        raise EntryRefused({"scheduled": [UNKNOWN]})
    return where_it_went(found)


def _prescription(told: Told, scheduled: ScheduledSession) -> Prescription:
    of_session = Prescription.objects.filter(group__section__session=scheduled.session_id)
    found = of_session.filter(uuid=told["prescription"]).select_related("movement__movement").first()
    if found is None:
        raise EntryRefused({"prescription": [UNKNOWN]})
    return found


def _movement(client: Client, told: Told) -> MovementRevision:
    found = (
        MovementRevision.objects.filter(uuid=told["movement"])
        .filter(models.Q(movement__practice=None) | models.Q(movement__practice=client.practice_id))
        .first()
    )
    if found is None:
        raise EntryRefused({"movement": [UNKNOWN]})
    return found


def _place(client: Client, told: Told) -> Place | None:
    if "place" not in told:
        return None
    found = Place.objects.of(client).filter(uuid=told["place"]).first()
    if found is None:
        raise EntryRefused({"place": [UNKNOWN]})
    return found


def _replaced(
    model: type[Fact], client: Client, told: Told, scheduled: ScheduledSession | None = None
) -> Fact | None:
    """The version that is being corrected, which must be the newest and of the same session."""
    if "replaces" not in told:
        return None
    row = model._default_manager.filter(client=client, uuid=told["replaces"], erased_at=None).first()
    if row is None or (scheduled is not None and row.scheduled_id != scheduled.pk):  # type: ignore[attr-defined]
        raise EntryRefused({"replaces": [UNKNOWN]})
    if not row.is_current:
        raise EntryConflict(_newest(row).uuid)
    return row


def _refuse_second(version: SetLog, replaced: SetLog | None) -> None:
    """A set is logged once: for both sides, or for each."""
    same_set = SetLog.objects.counting().filter(
        scheduled=version.scheduled, lineage=version.lineage, kind=version.kind, number=version.number
    )
    for other in same_set.exclude(pk=replaced and replaced.pk):
        if other.side == version.side or LoggedSide.BOTH in {other.side, version.side}:
            raise EntryConflict(other.uuid)


# ScheduledSession.state follows the facts.

Slot = tuple[uuid.UUID, int]
EXCUSES = frozenset({SkipReason.ILL, SkipReason.TRAVEL})
COUNTED_SECTIONS = (SectionKind.STRENGTH, SectionKind.CORE)


def state_from(log: TrainingLog | None, done: Collection[Slot], prescribed: Collection[Slot]) -> SessionState:
    """What became of a session, from what the client says and the sets with numbers.

    What was said stands, but for two things that the numbers know better: a session with logged sets was not skipped,
    and "done" with every prescribed set logged is done with numbers.
    """
    is_complete = bool(prescribed) and set(prescribed) <= set(done)
    if log is None:
        if not done:
            return SessionState.PLANNED
        return SessionState.WITH_NUMBERS if is_complete else SessionState.PARTLY
    if log.outcome == Outcome.SKIPPED:
        if done:
            return SessionState.PARTLY
        return SessionState.EXCUSED if log.skip_reason in EXCUSES else SessionState.SKIPPED
    if log.outcome == Outcome.PARTLY:
        return SessionState.PARTLY
    has_numbers = is_complete or (log.outcome == Outcome.WITH_NUMBERS and bool(done))
    return SessionState.WITH_NUMBERS if has_numbers else SessionState.AS_PLANNED


def refresh_state(scheduled: ScheduledSession) -> None:
    """Set the state of a session from its facts, under a lock. Moved and withdrawn ones stay what they are."""
    with transaction.atomic():
        locked = ScheduledSession.objects.select_for_update().get(pk=scheduled.pk)
        if locked.state in {SessionState.MOVED, SessionState.WITHDRAWN}:
            return
        log = TrainingLog.objects.counting().filter(scheduled=locked).first()
        state = state_from(log, _done(locked), _prescribed(locked))
        reason = log.skip_reason if log else ""
        if (locked.state, locked.reason) != (state, reason):
            locked.state, locked.reason = state, reason
            locked.save(update_fields=["state", "reason"])


def _done(scheduled: ScheduledSession) -> set[Slot]:
    """Sets with numbers; one that is logged by side counts when both sides are there."""
    sides: dict[Slot, set[str]] = {}
    sets = SetLog.objects.counting().filter(scheduled=scheduled)
    for lineage, number, side in sets.values_list("lineage", "number", "side"):
        sides.setdefault((lineage, number), set()).add(side)
    whole = {LoggedSide.LEFT, LoggedSide.RIGHT}
    return {slot for slot, found in sides.items() if LoggedSide.BOTH in found or whole <= found}


def _prescribed(scheduled: ScheduledSession) -> set[Slot]:
    """The work sets of the strength and trunk parts: nobody has to write down a warm-up."""
    work = Prescription.objects.filter(
        group__section__session=scheduled.session_id, group__section__kind__in=COUNTED_SECTIONS
    ).exclude(kind=SetKind.WARM_UP)
    return {
        (lineage, number) for lineage, sets in work.values_list("lineage", "sets") for number in range(1, sets + 1)
    }
