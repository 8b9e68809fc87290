"""What the phones told: the entries of every session, and keeping them by the hundred.

`keep` writes the same rows as programs.domain.logging does one by one; a test compares a person kept both ways.
"""

import datetime
import random
import uuid
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from clients.models import Client
from coaching.demo.loading.days import DAY, Now
from coaching.demo.loading.planning import weeks_until
from coaching.demo.person import Away, Person, Plan, Work
from coaching.demo.trainee import Moment, extra_sets, sets_done
from methods.units import kg_from
from programs.choices import WORK_SECTIONS, Measure, Outcome, SetKind
from programs.domain.days import training_day
from programs.domain.entries import Told, content_sha256
from programs.domain.figures import fill_figures, mass_history, session_load
from programs.domain.states import state_from
from programs.models import Block, Prescription, ScheduledSession, SetLog, TrainingLog

NAMESPACE = uuid.UUID("0b8f1f2e-6a35-4d7c-9a57-5b8f6f6d2c11")
AMOUNTS = {Measure.REPETITIONS: "repetitions", Measure.SECONDS: "seconds", Measure.METRES: "metres"}
PAUSE = datetime.timedelta(seconds=150)
# How much longer and harder a session of somebody who overdoes it gets with every set that was not asked for.
LONGER_MIN, HARDER_EVERY = 9, 2


@dataclass(frozen=True)
class Session:
    """A scheduled session with its prescriptions, and what is told about it."""

    scheduled: ScheduledSession
    prescriptions: list[Prescription]
    entries: list[Told]
    at: datetime.datetime


def sessions_of(client: Client, person: Person, plan: Plan, block: Block, *, now: Now) -> list[Session]:
    """The past sessions of a block with all that the person told about them."""
    today = now.today(client)
    rows = ScheduledSession.objects.filter(client=client, session__block=block, on__lt=today).on_the_plan()
    rows = rows.select_related("session").order_by("on", "pk")
    doses = _doses(block)
    firsts = _first_doses(client)
    told = []
    for nth, scheduled in enumerate(rows):
        days = (today - scheduled.on).days
        if _is_told(person, days):
            started = _start(client, person, scheduled, days)
            if started > now.hours_ago(2):
                continue
            session = Session(scheduled, doses[scheduled.session_id], [], started)
            moment = Moment(
                weeks_until(client, plan, scheduled.on, now=now),
                weeks_until(client, plan, block.starts_on, now=now),
                days,
            )
            session.entries.extend(_entries(person, plan, session, firsts, moment, nth))
            told.append(session)
    return told


def _doses(block: Block) -> dict[int, list[Prescription]]:
    rows = Prescription.objects.filter(group__section__session__block=block).select_related(
        "movement__movement", "group__section__session"
    )
    found: dict[int, list[Prescription]] = defaultdict(list)
    for row in rows.order_by("group__section__position", "group__position", "position"):
        found[row.group.section.session_id].append(row)
    return found


def _first_doses(client: Client) -> dict[uuid.UUID, Prescription]:
    """Each lineage as it was asked for at first."""
    rows = Prescription.objects.filter(
        group__section__session__block__client=client, group__section__session__week=1
    ).select_related("movement__movement")
    return {row.lineage: row for row in rows.order_by("-group__section__session__block__starts_on", "-pk")}


def _is_told(person: Person, days: int) -> bool:
    habits = person.habits
    return habits.records != "never" and (habits.quiet_since is None or days >= habits.quiet_since)


def _start(client: Client, person: Person, scheduled: ScheduledSession, days: int) -> datetime.datetime:
    """At the usual hour, give or take. Hours after midnight belong to the night after the planned day."""
    chance = random.Random(f"{person.email} start {days}")  # noqa: S311 -- a drawing, not a secret
    clock = person.habits.at
    day = scheduled.on + (DAY if clock.hour < NIGHT_ENDS else datetime.timedelta(0))
    usual = datetime.datetime.combine(day, clock, tzinfo=client.zone)
    # On the absolute clock: local clocks skip and repeat hours.
    shifted = usual.astimezone(datetime.UTC) + datetime.timedelta(minutes=chance.randint(-12, 25))
    return shifted.astimezone(client.zone)


NIGHT_ENDS = 5


def _entries(
    person: Person,
    plan: Plan,
    session: Session,
    firsts: dict[uuid.UUID, Prescription],
    moment: Moment,
    nth: int,
) -> Iterator[Told]:
    clock = session.at
    skipped = _why_skipped(person, moment.days, nth)
    if not skipped and person.habits.records == "numbers":
        works = {(day.name, work.slug): work for day in plan.days for work in day.works}
        for dose in session.prescriptions:
            first = firsts[dose.lineage]
            work = works.get((session.scheduled.session.name, first.movement.movement.slug))
            if work is not None and dose.group.section.kind in WORK_SECTIONS:
                for told in _sets(person, work, first, dose, session, moment):
                    clock += PAUSE
                    yield told | {"device_at": clock.astimezone(datetime.UTC)}
    outcome = Outcome.WITH_NUMBERS if person.habits.records == "numbers" else Outcome.AS_PLANNED
    yield _whole(person, session, moment, skipped, outcome, at=clock + PAUSE)


def _why_skipped(person: Person, days: int, nth: int) -> str:
    def covers(away: Away) -> bool:
        return away.until <= days <= away.since

    for away in filter(covers, person.habits.away):
        return away.reason
    pattern = person.habits.skips
    return "time" if pattern and pattern[nth % len(pattern)] == "x" else ""


def _common(session: Session, kind: str, name: str, at: datetime.datetime) -> Told:
    return {
        "kind": kind,
        "uuid": uuid.uuid5(NAMESPACE, f"{session.scheduled.uuid}:{name}"),
        "withdrawn": False,
        "device_at": at.astimezone(datetime.UTC),
        "time_zone": session.scheduled.time_zone,
        "scheduled": session.scheduled.uuid,
    }


def _sets(
    person: Person, work: Work, first: Prescription, dose: Prescription, session: Session, moment: Moment
) -> Iterator[Told]:
    done = sets_done(person, work, first, dose, moment)
    last = max(each.number for each in done)
    measure = Measure(dose.movement.measure)
    for each in done:
        told = _common(session, "set", f"{dose.lineage}:{each.number}:{each.side}", session.at)
        amount = Decimal(each.amount).quantize(Decimal("0.01")) if measure == Measure.METRES else each.amount
        told |= {
            "prescription": dose.uuid,
            "number": each.number,
            "side": each.side,
            "grip": "",
            AMOUNTS[measure]: amount,
        }
        if dose.load_entered is not None:
            told |= {"load": dose.load_entered.quantize(Decimal("0.01")), "load_unit": dose.load_unit}
        if each.rir is not None and each.number == last and work.rir is not None:
            told["rir"] = Decimal(each.rir).quantize(Decimal("0.1"))
        yield told


def _whole(
    person: Person, session: Session, moment: Moment, skipped: str, outcome: str, *, at: datetime.datetime
) -> Told:
    told = _common(session, "session", "session", at) | {"note": "", "skip_reason": skipped}
    if skipped:
        return told | {"outcome": Outcome.SKIPPED.value}
    chance = random.Random(f"{person.email} effort {moment.days}")  # noqa: S311 -- a drawing, not a secret
    more = extra_sets(person.habits, moment)
    effort = person.habits.effort + chance.choice((-1, 0, 0, 0, 1)) + more // HARDER_EVERY
    minutes = _minutes(session.prescriptions) + chance.randint(-3, 5) + LONGER_MIN * more
    return told | {"outcome": str(outcome), "session_rpe": min(10, effort), "minutes": minutes}


def _minutes(doses: Iterable[Prescription]) -> int:
    seconds = sum(dose.sets * (dose.rest_s + (70 if dose.per_side else 40)) for dose in doses)
    return 6 + seconds // 60


def keep(client: Client, sessions: list[Session]) -> None:
    """Store everything that was told, and set the states of the sessions by it."""
    mass_on = mass_history(client)
    sets: list[SetLog] = []
    wholes: list[TrainingLog] = []
    for session in sessions:
        received = max(told["device_at"] for told in session.entries)
        doses = {dose.uuid: dose for dose in session.prescriptions}
        own = [_set_log(client, session, told, doses, received, mass_on) for told in _of("set", session)]
        whole = [_training_log(client, session, told, received) for told in _of("session", session)]
        _set_state(session, own, whole[0] if whole else None)
        sets += own
        wholes += whole
    SetLog.objects.bulk_create(sets, batch_size=500)
    TrainingLog.objects.bulk_create(wholes)
    ScheduledSession.objects.bulk_update([session.scheduled for session in sessions], ["state", "reason"])


def _of(kind: str, session: Session) -> Iterator[Told]:
    return (told for told in session.entries if told["kind"] == kind)


def _facts(client: Client, session: Session, told: Told, received: datetime.datetime) -> dict[str, Any]:
    return {
        "practice_id": client.practice_id,
        "client": client,
        "uuid": told["uuid"],
        "scheduled": session.scheduled,
        "training_day": training_day(session.scheduled.on, told["device_at"], told["time_zone"]),
        "time_zone": told["time_zone"],
        "device_at": told["device_at"],
        "received_at": received,
        "sent_sha256": content_sha256(told),
    }


def _set_log(
    client: Client,
    session: Session,
    told: Told,
    doses: dict[uuid.UUID, Prescription],
    received: datetime.datetime,
    mass_on: Callable[[datetime.date], Any],
) -> SetLog:
    dose, load = doses[told["prescription"]], told.get("load")
    as_told = ("number", "side", "repetitions", "seconds", "metres", "grip", "rir")
    log = SetLog(
        **_facts(client, session, told, received),
        **{name: told.get(name) for name in as_told},
        prescription=dose,
        lineage=dose.lineage,
        movement=dose.movement,
        kind=dose.kind,
        load_entered=load,
        load_unit="" if load is None else told["load_unit"],
        load_kg=None if load is None else kg_from(load, told["load_unit"]),
    )
    fill_figures(log, mass_on(log.training_day))
    return log


def _training_log(client: Client, session: Session, told: Told, received: datetime.datetime) -> TrainingLog:
    as_told = ("outcome", "skip_reason", "session_rpe", "minutes", "note")
    log = TrainingLog(**_facts(client, session, told, received), **{name: told.get(name) for name in as_told})
    log.session_load_au = session_load(log)
    return log


def _set_state(session: Session, sets: list[SetLog], whole: TrainingLog | None) -> None:
    sides: dict[tuple[uuid.UUID, int], set[str]] = defaultdict(set)
    for log in sets:
        sides[log.lineage, log.number].add(log.side)
    asked = {
        (dose.lineage, number)
        for dose in session.prescriptions
        if dose.group.section.kind in WORK_SECTIONS and dose.kind != SetKind.WARM_UP
        for number in range(1, dose.sets + 1)
    }
    session.scheduled.state = state_from(whole, sides, asked)
    session.scheduled.reason = whole.skip_reason if whole else ""


def as_sent(told: Told) -> dict[str, Any]:
    """An entry the way a phone sends it."""
    sent = {name: value if isinstance(value, int | bool) else str(value) for name, value in told.items()}
    return sent | {"device_at": told["device_at"].isoformat()}
