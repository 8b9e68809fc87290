"""A weekly check-in arrives: a coach owes an answer. Reading it is one; letters remind who has not told yet."""

import datetime
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

import jobs
from clients.choices import ClientState, ConsentKind
from clients.domain.body import record_body_mass
from clients.domain.check_ins import asked_check_in, check_in_of, latest_due_day, record_check_in, week_of
from clients.domain.consent import has_consent
from clients.domain.mail import absolute
from clients.domain.notices import tell_client
from clients.models import CheckIn, Client, User
from submissions.choices import SubmissionKind, SubmissionState
from submissions.domain.queueing import submit
from submissions.domain.reviewing import send_review
from submissions.errors import CheckInChanged, QuestionUnanswered
from submissions.models import Review, Submission


@dataclass(frozen=True)
class Mass:
    """A body mass as typed."""

    entered: Decimal
    unit: str


def send_check_in(
    client: Client,
    said: Mapping[str, Any],
    *,
    mass: Mass | None = None,
    due_on: datetime.date,
    seen: uuid.UUID | None,
    on: datetime.date,
    at: datetime.datetime,
) -> CheckIn:
    """Keep a check-in with the body mass told with it, and put it into the queue, in one step.

    A correction joins what still waits; after an answer it waits anew. Raises what record_check_in does.
    """
    with transaction.atomic():
        check_in = record_check_in(client, said, due_on=due_on, seen=seen, on=on, at=at)
        if mass is not None and not client.body_mass_hidden:
            record_body_mass(client, entered=mass.entered, unit=mass.unit, on=check_in.told_on)
        _owe_an_answer(check_in, at=at)
    return check_in


def _owe_an_answer(check_in: CheckIn, *, at: datetime.datetime) -> None:
    newest = submission_of(check_in.client, check_in.week)
    if newest is None or (newest.answered_at is not None and newest.answered_at < check_in.told_at):
        submit(check_in.client, kind=SubmissionKind.CHECK_IN, check_in=check_in, text=check_in.question, at=at)
    elif newest.state == SubmissionState.WAITING and newest.text != check_in.question:
        Submission.objects.filter(pk=newest.pk).update(text=check_in.question)


def submission_of(client: Client, week: datetime.date) -> Submission | None:
    """What waits, or waited last, about a week's check-in."""
    return Submission.objects.of(client).filter(check_in__week=week).order_by("-submitted_at", "-pk").first()


def current_check_in(submission: Submission) -> CheckIn | None:
    """What stands now of the check-in that was sent; None once it was erased."""
    return check_in_of(submission.client, submission.check_in.week) if submission.check_in else None


def answer_check_in(
    submission: Submission, *, seen: uuid.UUID | None, reviewer: User, at: datetime.datetime, **answer: Any
) -> Review:
    """Reply to the version that was read. Raises CheckInChanged when the client has told it anew, AlreadyReviewed."""
    with transaction.atomic():
        _require_unchanged(submission, seen)
        return send_review(submission, reviewer=reviewer, at=at, **answer)


def mark_read(submission: Submission, *, seen: uuid.UUID | None, reviewer: User, at: datetime.datetime) -> Review:
    """An answer without words: it was read. A question in it wants words. Raises CheckInChanged, QuestionUnanswered."""
    with transaction.atomic():
        if _require_unchanged(submission, seen).question:
            raise QuestionUnanswered
        return send_review(submission, reviewer=reviewer, verdict="", cue="", good="", message="", notes=(), at=at)


def _require_unchanged(submission: Submission, seen: uuid.UUID | None) -> CheckIn:
    # As record_check_in does: whoever corrects a check-in and whoever answers it go one after the other.
    Client.objects.select_for_update().get(pk=submission.client_id)
    current = current_check_in(submission)
    if current is None or current.uuid != seen:
        raise CheckInChanged
    return current


# Reminders


class Reminder(StrEnum):
    DUE = "due"
    LATE = "late"


# House rules: on the check-in day, and once more two to four days after; never by night.
LETTERS_FROM, LETTERS_UNTIL = 9, 20
LATE_AFTER_DAYS = range(2, 5)


def reminder_at(at: datetime.datetime, *, zone: datetime.tzinfo, weekday: int) -> tuple[datetime.date, Reminder] | None:
    """Of which check-in day a letter reminds at this moment, and how. Pure."""
    here = at.astimezone(zone)
    if not LETTERS_FROM <= here.hour < LETTERS_UNTIL:
        return None
    due_on = latest_due_day(here.date(), weekday)
    days = (here.date() - due_on).days
    if days == 0:
        return due_on, Reminder.DUE
    return (due_on, Reminder.LATE) if days in LATE_AFTER_DAYS else None


def request_reminders(*, at: datetime.datetime) -> int:
    """Ask for a letter to everybody whose check-in waits for them: one of each kind for a week. Counts the new ones.

    Run every half-hour, for all clients: whoever was asked for or has told is left out in few queries.
    """
    letters = {letter.key: letter for letter in _letters_of(at)}
    weeks = {letter.week for letter in letters.values()}
    told = set(CheckIn.objects.current().filter(week__in=weeks).values_list("client_id", "week"))
    known = jobs.known_keys(letters)
    waiting = [
        letter
        for letter in letters.values()
        if letter.key not in known
        and (letter.client.pk, letter.week) not in told
        and _waits_for_them(letter.client, letter.week, at=at)
    ]
    for letter in waiting:
        with transaction.atomic():
            args = letter.client.pk, letter.week.isoformat(), letter.kind.value
            practice = letter.client.practice_id
            jobs.request("submissions.remind_check_in", *args, key=letter.key, practice=practice, run_at=at)
    return len(waiting)


@dataclass(frozen=True)
class _Letter:
    client: Client
    week: datetime.date
    kind: Reminder

    @property
    def key(self) -> str:
        return f"submissions.remind_check_in:{self.client.uuid}:{self.week.isoformat()}:{self.kind.value}"


def _letters_of(at: datetime.datetime) -> Iterator[_Letter]:
    """To whom a letter could go by the clock alone."""
    people = Client.objects.getting_check_in_letters().filter(state=ClientState.ACTIVE, erased_at=None)
    for client in people.exclude(email="").order_by("pk"):
        if found := reminder_at(at, zone=client.zone, weekday=client.check_in_weekday):
            yield _Letter(client, week_of(found[0]), found[1])


def remind(client_id: int, week: datetime.date, *, at: datetime.datetime) -> None:
    """Write the letter, once, unless told meanwhile, or letters are off or paused. No word of how anybody is."""
    with jobs.publishing(last=True):
        client = Client.objects.select_for_update().get(pk=client_id)
        if not client.gets_check_in_letters or not _waits_for_them(client, week, at=at):
            return
        links = {"link": absolute(reverse("check-in")), "habits": absolute(reverse("my-check-ins"))}
        body = _("It takes a minute:\n%(link)s\n\nAnother day, or no more of these letters:\n%(habits)s")
        tell_client(client, subject=_("Your weekly check-in"), body=body % links)


def _waits_for_them(client: Client, week: datetime.date, *, at: datetime.datetime) -> bool:
    asked = asked_check_in(client, on=at.astimezone(client.zone).date())
    waits = asked is not None and asked.week == week and asked.told is None
    return waits and has_consent(client, ConsentKind.HEALTH)
