"""Loading the demo: everything goes through the verbs that people use, at the times they would have used them."""

import datetime
import uuid
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from clients.choices import ConsentKind, Role
from clients.domain import body, equipment
from clients.domain.consent import decide_consent
from clients.domain.intake import finish_intake, open_intake, save_answers
from clients.domain.inviting import accept_invitation, invite_client
from clients.domain.pain import report_pain
from clients.domain.tokens import new_token, token_hash
from clients.library.intake import STEPS
from clients.models import Client, Invitation, Membership, OutgoingMail, Practice, User
from coaching.demo.figures import draw_clip
from coaching.demo.people import COACHES, NAMESPACE, PEOPLE, Person, Planned
from coaching.domain.rebuild import rebuild_client
from jobs.models import Job
from programs.domain.building import Row, add_session, copy_week, create_block, monday_of, save_session
from programs.domain.drafting import draft_from_block
from programs.domain.library import load_library
from programs.domain.logging import log_entries
from programs.domain.publishing import publish_block
from programs.models import Block, Movement, Prescription, ScheduledSession
from submissions.domain.reviewing import ask_question
from submissions.domain.uploading import append, open_upload

HOUR = datetime.timedelta(hours=1)
DAY = datetime.timedelta(days=1)
FIRST_WEEKS, RUNNING_WEEKS = 6, 6


def load_demo(*, at: datetime.datetime) -> None:
    """Fill an empty database with the invented practice, with dates anchored to today."""
    with transaction.atomic():
        load_library()
        coaches = _practice()
        for person in PEOPLE:
            _person(person, coaches[person.coach], at=at)
        # Letters of weeks ago would be noise in the mailbox; the open invitation stays.
        OutgoingMail.objects.exclude(to__in=[PEOPLE[-1].email]).delete()
        letters = set(OutgoingMail.objects.values_list("pk", flat=True))
        for job in Job.objects.filter(name="clients.send_mail"):
            if job.args[0] not in letters:
                job.delete()
    for client in Client.objects.all():
        rebuild_client(client, at=at)


def _practice() -> dict[str, Membership]:
    practice = Practice.objects.create(
        name="Lintel Lane Coaching (invented)",
        time_zone="Europe/Berlin",
        emergency_text_addition="This practice is invented. In real life, its own advice would stand here.",
    )
    members = {}
    for key, (name, email, role) in COACHES.items():
        user = User.objects.create_user(email, None, name=name, is_demo=True)
        members[key] = Membership.objects.create(practice=practice, user=user, role=Role(role))
    return members


def _person(person: Person, coach: Membership, *, at: datetime.datetime) -> None:
    joined = at - datetime.timedelta(weeks=person.weeks_back + 1) if person.sessions else at - 3 * DAY
    client = invite_client(coach, name=person.name, email=person.email, at=joined)
    if person.name == PEOPLE[-1].name:
        # A fresh letter, so that the invitation is still open.
        return
    client = _accept(client, at=joined)
    if not _answer_intake(client, person, at=joined):
        return
    client.refresh_from_db()
    if person.sessions:
        _train(client, person, coach, at=at)


def _accept(client: Client, *, at: datetime.datetime) -> Client:
    """As if the letter was opened: the demo makes the token's hash itself, since only the hash is kept."""
    token = new_token()
    Invitation.objects.filter(client=client).update(token_sha256=token_hash(token), expires_at=timezone.now() + DAY)
    user = accept_invitation(token, name=client.name, password="", signed_in=None, at=at)
    user.set_unusable_password()
    user.is_demo = True
    user.save(update_fields=["password", "is_demo"])
    client.refresh_from_db()
    return client


def _person_of(client: Client) -> User:
    if client.user is None:
        raise ValueError(f"{client.name} has not accepted yet")
    return client.user


def _answer_intake(client: Client, person: Person, *, at: datetime.datetime) -> bool:
    """True when there is an outcome; under the age limit it stops at once."""
    user = _person_of(client)
    for kind in ConsentKind:
        decide_consent(client, kind=kind, given=True, by=user, at=at)
    intake = open_intake(client, at=at)
    answers = _answers(person)
    for step in STEPS:
        codes = [question.code for question in step.questions]
        if codes:
            save_answers(intake, {code: answers[code] for code in codes if code in answers}, by=user, at=at)
        if intake.client.needs_guardian:
            return False
    masses = [float(mass) for mass in person.masses.split(",") if mass.strip()]
    items: dict[str, dict[str, Any]] = {
        kind: ({"masses": masses} if kind == "dumbbell" else {}) for kind in person.items
    }
    # The set-up check is younger than the start: it is renewed every three months.
    equipment.save_place(client, name="Home", items=items, checked=set(person.items), at=timezone.now() - 20 * DAY)
    on = at.astimezone(client.zone).date()
    if person.area:
        area, side, why = person.area
        body.save_areas(client, [body.AreaToProtect(area, side, why, barred=False)], on=on)
    if person.mass:
        body.record_body_mass(client, entered=Decimal(person.mass), unit=person.unit, on=on)
    Client.objects.filter(pk=client.pk).update(mass_unit=person.unit, training_since=on)
    finish_intake(intake, by=user, at=at)
    return True


def _answers(person: Person) -> dict[str, Any]:
    return {
        "age": person.age,
        "country": person.country,
        "time_zone": person.zone,
        "goal": "stronger",
        "goal_words": f"(Invented.) {person.truth.capitalize()}.",
        "experience": "under_2_years" if person.regular else "none",
        "days": max(2, len(person.sessions)),
        "minutes": 45,
        "regular": person.regular,
        "disease": list(person.disease),
        "symptoms": [],
        "special": [],
        "desired": person.desired,
    }


def _train(client: Client, person: Person, coach: Membership, *, at: datetime.datetime) -> None:
    """Two blocks: one that is over and one under way, with logs up to yesterday."""
    today = at.astimezone(client.zone).date()
    first_monday = monday_of(today) - datetime.timedelta(weeks=person.weeks_back)
    first = _write_block(client, person, coach.user, first_monday, today)
    _publish(first, coach.user)
    second = draft_from_block(
        first, starts_on=first_monday + datetime.timedelta(weeks=FIRST_WEEKS), by=coach.user, title="Base 2"
    )
    _publish(second, coach.user)
    _log(client, person, first_monday, today)
    if person.pain:
        area, side, during = person.pain
        report_pain(
            client, area=area, side=side, during=during, on=today - DAY, by=_person_of(client), at=at - DAY,
            note="Came up in the third set.",
        )  # fmt: skip
    if person.films:
        _film(client, person, today, at=at)
    if person.asks:
        ask_question(client, text=person.asks, at=at - 5 * HOUR)


def _write_block(client: Client, person: Person, by: User, monday: datetime.date, today: datetime.date) -> Block:
    block = create_block(
        client,
        by=by,
        title="Base 1",
        starts_on=monday,
        weeks=FIRST_WEEKS,
        message="(Invented.) Two sessions a week. Stop each set with the reps in reserve that are written beside it.",
    )
    for n, (name, works) in enumerate(person.sessions):
        weekday = (today.weekday() + 3 * n) % 7
        session = add_session(block, version=block.version, name=name, week=1, weekday=weekday)
        rows = [_row(work) for work in works]
        save_session(session, rows, version=block.version, name=name, weekday=weekday)
        block.refresh_from_db()
    copy_week(block, from_week=1, to_weeks=range(2, FIRST_WEEKS + 1), version=block.version)
    block.refresh_from_db()
    return block


def _movement(slug: str) -> Any:
    return Movement.objects.select_related("current").get(practice=None, slug=slug).current


def _row(work: Planned) -> Row:
    load = Decimal(work.load) if work.load else None
    return Row(
        movement=_movement(work.slug),
        section=work.section,
        paired=work.paired,
        sets=work.sets,
        amount_low=work.low,
        amount_high=work.high,
        scheme=work.scheme,
        per_side=work.per_side,
        rest_s=work.rest_s,
        tempo=work.tempo,
        target_rir=Decimal(work.rir) if work.rir else None,
        load_entered=load,
        load_unit="kg" if load is not None else "",
        load_kg=load,
        cue=work.cue,
    )


def _publish(block: Block, by: User) -> None:
    """At noon of the day it starts, in the client's zone."""
    start = datetime.datetime.combine(block.starts_on, datetime.time(0, 5), tzinfo=block.client.zone)
    publish_block(block, by=by, at=start, first_day=block.starts_on)


def _log(client: Client, person: Person, first_monday: datetime.date, today: datetime.date) -> None:
    works = {(name, work.slug): work for name, planned in person.sessions for work in planned}
    sessions = _past_sessions(client, today).order_by("on")
    for n, scheduled in enumerate(sessions):
        if person.stops_recording and scheduled.on > today - datetime.timedelta(days=16):
            continue
        week = (scheduled.on - first_monday).days // 7 + 1
        entries = _entries(scheduled, works, week, n % 2)
        answers = log_entries(client, entries, at=_evening(client, scheduled.on))
        refused = [answer for answer in answers if answer.status not in {"stored", "already_stored"}]
        if refused:
            raise RuntimeError(f"demo log refused: {refused[0].errors}")


def _evening(client: Client, day: datetime.date) -> datetime.datetime:
    return datetime.datetime.combine(day, datetime.time(18, 45), tzinfo=client.zone)


def _entries(
    scheduled: ScheduledSession, works: dict[tuple[str, str], Planned], week: int, nth: int
) -> list[dict[str, Any]]:
    at = _evening(scheduled.client, scheduled.on)
    common = {"scheduled": str(scheduled.uuid), "device_at": at.isoformat(), "time_zone": scheduled.time_zone}
    prescriptions = Prescription.objects.filter(group__section__session=scheduled.session).select_related(
        "movement__movement"
    )
    entries: list[dict[str, Any]] = []
    for prescription in prescriptions:
        work = works[scheduled.session.name, prescription.movement.movement.slug]
        if work.section in {"raise", "mobility"}:
            continue
        measure = {"reps": "repetitions", "seconds": "seconds", "metres": "metres"}[prescription.movement.measure]
        for number in range(1, work.sets + 1):
            amount, rir = work.doing(week, nth, number)
            for side in ("left", "right") if work.per_side else ("both",):
                entry: dict[str, Any] = common | {
                    "uuid": str(uuid.uuid5(NAMESPACE, f"{scheduled.uuid}:{prescription.lineage}:{number}:{side}")),
                    "kind": "set",
                    "prescription": str(prescription.uuid),
                    "number": number,
                    "side": side,
                    measure: amount,
                }
                if work.load:
                    entry |= {"load": work.load, "load_unit": "kg"}
                if rir is not None and number == work.sets:
                    entry["rir"] = rir
                entries.append(entry)
    rpe, minutes = 6 + (week + nth) % 3, 38 + (week * 3 + nth) % 9
    done = common | {"uuid": str(uuid.uuid5(NAMESPACE, f"{scheduled.uuid}:session")), "kind": "session"}
    return [*entries, done | {"outcome": "with_numbers", "session_rpe": rpe, "minutes": minutes}]


def _film(client: Client, person: Person, today: datetime.date, *, at: datetime.datetime) -> None:
    """Draw a clip and send it the way a phone does; the worker prepares it after the start."""
    slug, figure, question = person.films  # type: ignore[misc]
    prescription = (
        Prescription.objects.filter(
            movement__movement__slug=slug, group__section__session__scheduled__in=_past_sessions(client, today)
        )
        .order_by("-group__section__session__scheduled__on")
        .select_related("group__section__session")[0]
    )
    scheduled = _past_sessions(client, today).get(session=prescription.group.section.session)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "clip.mp4"
        draw_clip(path, movement=figure, fps=60 if figure == "squat" else 30, seconds=6, size=(360, 640))
        upload = open_upload(
            client,
            scheduled=scheduled,
            prescription=prescription,
            camera_side="left",
            question=question,
            length=path.stat().st_size,
            at=at - 4 * HOUR,
        )
        with path.open("rb") as file:
            append(upload, offset=0, read=file.read, at=at - 4 * HOUR)


def _past_sessions(client: Client, today: datetime.date) -> QuerySet[ScheduledSession]:
    return ScheduledSession.objects.of(client).on_the_plan().filter(on__lt=today)


def demo_is_loaded() -> bool:
    return User.objects.filter(is_demo=True).exists()
