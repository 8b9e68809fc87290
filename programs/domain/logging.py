"""The log: what a client did and says about it, told by a device that may tell it twice."""

import datetime
import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db import DataError, IntegrityError, models, transaction
from django.utils.translation import gettext_lazy as _

from clients.domain.pain import report_pain, tell_again
from clients.domain.versions import newest, supersede
from clients.models import Client, ClientFact, PainReport
from methods.units import kg_from
from programs.choices import LoggedSide, Measure
from programs.domain.batches import FACTS, Batch
from programs.domain.days import local_date, training_day
from programs.domain.entries import Told, content_sha256
from programs.domain.figures import fill_figures, session_load
from programs.domain.states import refresh_state
from programs.errors import EntryConflict, EntryRefused
from programs.models import MovementRevision, ScheduledSession, SetLog, TrainingLog

logger = logging.getLogger(__name__)
PAIN_SAID = ("area", "side", "during", "after", "since", "after_blow", "pin_point", "note")
STORED, ALREADY_STORED, CONFLICT, REFUSED = "stored", "already_stored", "conflict", "refused"


@dataclass(frozen=True)
class Answer:
    """What became of one entry. `current` is the id of what stands there instead, in a conflict."""

    uuid: UUID | None
    status: str
    errors: dict[str, list[str]] = field(default_factory=dict)
    current: UUID | None = None

    @property
    def is_kept(self) -> bool:
        return self.status in {STORED, ALREADY_STORED}

    def as_json(self) -> dict[str, Any]:
        said = {"uuid": self.uuid and str(self.uuid), "status": self.status, "errors": self.errors}
        return said | ({"current": str(self.current)} if self.current else {})


def log_entries(client: Client, raws: Sequence[object], *, at: datetime.datetime) -> list[Answer]:
    """Keep what can be kept, and answer each entry in order. One bad entry never loses the others.

    A replacement may stand before what it replaces. The client's row is locked, so that the same batch from two
    connections is stored once. The states of the sessions follow.
    """
    answers: dict[int, Answer] = {}
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        batch = Batch(client, _ids_in(raws), at=at)
        for index in _originals_first(raws):
            answers[index] = _answer(batch, raws[index])
        for scheduled in batch.touched.values():
            refresh_state(scheduled)
    return [answers[index] for index in range(len(raws))]


def _ids_in(raws: Sequence[object]) -> set[UUID]:
    found = {_id_in(raw, name) for raw in raws for name in ("uuid", "replaces")}
    return {one for one in found if one is not None}


def _id_in(raw: object, name: str) -> UUID | None:
    try:
        return UUID(raw[name])  # type: ignore[index]
    except (KeyError, TypeError, ValueError, AttributeError):
        return None


def _originals_first(raws: Sequence[object]) -> list[int]:
    where: dict[UUID | None, int] = {}
    for index, raw in enumerate(raws):
        where.setdefault(_id_in(raw, "uuid"), index)
    where.pop(None, None)
    order: dict[int, None] = {}
    for index in range(len(raws)):
        chain: dict[int, None] = {}
        step: int | None = index
        while step is not None and step not in order and step not in chain:
            chain[step] = None
            step = where.get(_id_in(raws[step], "replaces"))
        order.update(dict.fromkeys(reversed(chain)))
    return list(order)


def _answer(batch: Batch, raw: object) -> Answer:
    entry_id = _id_in(raw, "uuid")
    try:
        told = batch.read(raw)
        if _is_known(batch, told):
            return Answer(entry_id, ALREADY_STORED)
        _keep(batch, told)
    except EntryRefused as refusal:
        return Answer(entry_id, REFUSED, refusal.errors)
    except EntryConflict as conflict:
        return Answer(entry_id, CONFLICT, {"__all__": [str(conflict)]}, conflict.current)
    except (DataError, IntegrityError):
        # Our checks should have refused it before the database did: that is logged, and the rest goes on.
        logger.exception("The database refused entry %s", entry_id)
        return Answer(entry_id, REFUSED, {"__all__": [str(EntryRefused.message)]})
    return Answer(entry_id, STORED)


def _is_known(batch: Batch, told: Told) -> bool:
    row = batch.known(told["uuid"])
    if row is not None and not _says_the_same(row, told):
        raise EntryConflict(newest(row).uuid)
    return row is not None


def _says_the_same(row: ClientFact, told: Told) -> bool:
    if not isinstance(row, FACTS[told["kind"]]):
        return False
    if isinstance(row, PainReport):
        # Pain also comes from other pages, so it keeps no hash of what was sent.
        same_replaced = (row.replaces and row.replaces.uuid) == told.get("replaces")
        return same_replaced and all(getattr(row, name) == told[name] for name in ("area", "side", "during", "note"))
    return getattr(row, "sent_sha256", "") == content_sha256(told)


def _keep(batch: Batch, told: Told) -> None:
    verb = {"set": log_set, "session": log_session, "pain": log_pain}[told["kind"]]
    with transaction.atomic():
        fact = verb(batch, told)
    batch.add(fact)


def log_set(batch: Batch, told: Told) -> SetLog:
    """Keep one set, or the next version of one, with its figures."""
    scheduled = batch.scheduled(told["scheduled"])
    replaced = batch.replaced(SetLog, told, scheduled)
    version = SetLog(**_common(batch, told, scheduled, replaced))
    if replaced is not None and version.is_withdrawn:
        _fill(version, {name: getattr(replaced, name) for name in SET_CONTENT})
    else:
        _fill(version, _set_content(batch, told, scheduled))
        _refuse_second_set(batch, version, replaced)
    fill_figures(version, batch.mass_on(version.training_day))
    return supersede(replaced, version)


def log_session(batch: Batch, told: Told) -> TrainingLog:
    """Keep what the client says about a whole session."""
    scheduled = batch.scheduled(told["scheduled"])
    replaced = batch.replaced(TrainingLog, told, scheduled)
    version = TrainingLog(**_common(batch, told, scheduled, replaced))
    if replaced is not None and version.is_withdrawn:
        _fill(version, {name: getattr(replaced, name) for name in SESSION_CONTENT})
    else:
        _fill(version, {name: told.get(name) for name in SESSION_CONTENT} | {"place": batch.place(told.get("place"))})
        _refuse_second_session(version, replaced)
    version.session_load_au = session_load(version)
    return supersede(replaced, version)


def log_pain(batch: Batch, told: Told) -> PainReport:
    """Keep a pain report told from a session; the published table's answer is stored with it."""
    if batch.client.user is None:
        raise EntryRefused({"__all__": [EntryRefused.message]})
    scheduled = batch.scheduled(told["scheduled"]) if "scheduled" in told else None
    replaced = batch.replaced(PainReport, told, None)
    clock = (told["device_at"], told["time_zone"])
    day = training_day(scheduled.on, *clock) if scheduled else local_date(*clock)
    told_in = told.get("told_in") or (scheduled.uuid if scheduled else None)
    during_what = batch.prescription(told["prescription"], scheduled) if scheduled and "prescription" in told else None
    said = {name: told[name] for name in PAIN_SAID if name in told}
    if replaced:
        return tell_again(replaced, **said, uuid=told["uuid"], by=batch.client.user, at=batch.at)
    return report_pain(
        batch.client,
        **said,
        on=day,
        told_in=told_in,
        movement_slug=during_what.movement.movement.slug if during_what else "",
        by=batch.client.user,
        at=batch.at,
        uuid=told["uuid"],
    )


def _common(batch: Batch, told: Told, scheduled: ScheduledSession, replaced: Any) -> dict[str, Any]:
    day = replaced.training_day if replaced else training_day(scheduled.on, told["device_at"], told["time_zone"])
    return {
        "practice_id": batch.client.practice_id,
        "client": batch.client,
        "uuid": told["uuid"],
        "scheduled": scheduled,
        "training_day": day,
        "time_zone": told["time_zone"],
        "device_at": told["device_at"],
        "received_at": batch.at,
        "sent_sha256": content_sha256(told),
        "is_withdrawn": told["withdrawn"],
    }


def _fill(version: models.Model, content: Mapping[str, Any]) -> None:
    for name, value in content.items():
        setattr(version, name, value)


SESSION_CONTENT = ("outcome", "skip_reason", "session_rpe", "minutes", "anything_hurt", "note", "place")
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


def _set_content(batch: Batch, told: Told, scheduled: ScheduledSession) -> dict[str, Any]:
    prescription = batch.prescription(told["prescription"], scheduled)
    movement = batch.movement(told["movement"]) if "movement" in told else prescription.movement
    _require_amount(told, movement)
    load = told.get("load")
    help_kg = kg_from(told["assistance"], told["load_unit"]) if "assistance" in told else told.get("assistance_kg")
    as_sent = ("number", "side", "repetitions", "seconds", "metres", "grip", "rir")
    return {name: told.get(name) for name in as_sent} | {
        "prescription": prescription,
        "lineage": prescription.lineage,
        "movement": movement,
        "kind": told.get("set_kind", prescription.kind),
        "load_entered": load,
        "load_unit": "" if load is None else told["load_unit"],
        "load_kg": None if load is None else kg_from(load, told["load_unit"]),
        "assistance_kg": help_kg,
        "place": batch.place(told.get("place")),
    }


AMOUNT_FIELDS = {Measure.REPETITIONS: "repetitions", Measure.SECONDS: "seconds", Measure.METRES: "metres"}


def _require_amount(told: Told, movement: MovementRevision) -> None:
    name = AMOUNT_FIELDS[Measure(movement.measure)]
    if name not in told:
        raise EntryRefused({name: [_("Please write how much you did.")]})


def _refuse_second_set(batch: Batch, version: SetLog, replaced: SetLog | None) -> None:
    """A set is logged once: for both sides, or for each."""
    for other in batch.standing_sets(version):
        if other.pk != (replaced and replaced.pk) and (
            other.side == version.side or LoggedSide.BOTH in {other.side, version.side}
        ):
            raise EntryConflict(other.uuid)


def _refuse_second_session(version: TrainingLog, replaced: TrainingLog | None) -> None:
    standing = TrainingLog.objects.counting().filter(scheduled=version.scheduled)
    other = standing.exclude(pk=replaced and replaced.pk).first()
    if other is not None:
        raise EntryConflict(other.uuid)
