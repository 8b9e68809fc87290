"""In which lane something waits, why, and by when an answer is promised."""

import datetime
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from clients.choices import NextMorning
from clients.domain.absences import promises_run_from
from clients.domain.safety import require_start
from clients.domain.working_time import working_time
from clients.errors import ClientsError, Locked
from clients.models import Client, PainReport, Practice, RedFlagReport
from methods.queue import PROMISES, due_after_change, due_at
from submissions.choices import Lane, SubmissionKind, SubmissionState
from submissions.models import Submission

# Lane 0 has had its fixed text at once; a coach's own answer is due as soon as that of the next lane.
PRESSING = {
    Lane.RED_FLAG: PROMISES[Lane.PAIN_HIGH],
    Lane.PAIN_HIGH: PROMISES[Lane.PAIN_HIGH],
    Lane.PAIN_SOME: PROMISES[Lane.PAIN_SOME],
}
PAIN_LOOKS_BACK = datetime.timedelta(days=7)
# 0 to 10; up to here pain in training is watched, above it the work stops (Thomeé 1997).
PAIN_TOLERATED = 5


@dataclass(frozen=True)
class Standing:
    """What counts about a client when something arrives."""

    warning_sign: bool = False
    clearance_problem: bool = False
    worst_pain: int = 0
    pain_lingers: bool = False
    is_first_clip: bool = False


@dataclass(frozen=True)
class Place:
    lane: Lane
    reason: str
    due_at: datetime.datetime


def place_in_queue(
    kind: SubmissionKind, standing: Standing, *, submitted_at: datetime.datetime, promised_by: datetime.datetime
) -> Place:
    """The lane and the promise. Never later than what the practice promises for anything of this kind.

    What presses is due by the plain clock: pain does not wait for office hours.
    """
    lane, reason = lane_for(kind, standing)
    pressing = PRESSING.get(lane)
    due = promised_by if pressing is None else min(promised_by, due_at(submitted_at, pressing))
    return Place(lane, reason, due)


def promised_by(client: Client, kind: SubmissionKind, *, at: datetime.datetime) -> datetime.datetime:
    """By when the practice promises an answer: in its working time, and after an absence whose promises moved."""
    practice = client.practice
    start = promises_run_from(client, at=at)
    return working_time(practice).promised_by(start, promise_hours_of(practice, kind))


def lane_for(kind: SubmissionKind, standing: Standing) -> tuple[Lane, str]:
    if standing.warning_sign:
        return Lane.RED_FLAG, _("A warning sign was reported.")
    if standing.worst_pain > PAIN_TOLERATED:
        return Lane.PAIN_HIGH, _("Pain %(pain)d of 10 this week.") % {"pain": standing.worst_pain}
    if standing.clearance_problem:
        return Lane.PAIN_HIGH, _("There is no leave to train at the moment.")
    if standing.worst_pain:
        return Lane.PAIN_SOME, _("Pain %(pain)d of 10 this week.") % {"pain": standing.worst_pain}
    if standing.pain_lingers:
        return Lane.PAIN_SOME, _("Pain was still raised the next morning.")
    if kind == SubmissionKind.CLIP and standing.is_first_clip:
        return Lane.PAIN_SOME, _("The first clip of this client.")
    return (Lane.FORM, _("A form clip.")) if kind == SubmissionKind.CLIP else _lane_of_words(kind)


def _lane_of_words(kind: SubmissionKind) -> tuple[Lane, str]:
    if kind == SubmissionKind.QUESTION:
        return Lane.FORM, _("A question.")
    return Lane.ROUTINE, _("A check-in.")


def raise_place(current: Place, new: Place) -> Place:
    """A lane rises on news and never falls by itself; of two promises the earlier stands."""
    more_urgent = new if new.lane < current.lane else current
    return Place(more_urgent.lane, more_urgent.reason, due_after_change(current.due_at, new.due_at))


def promise_hours_of(practice: Practice, kind: SubmissionKind) -> int:
    return {
        SubmissionKind.CLIP: practice.review_promise_hours,
        SubmissionKind.QUESTION: practice.question_promise_hours,
        SubmissionKind.CHECK_IN: practice.check_in_promise_hours,
    }[kind]


def standing_of(client: Client, *, at: datetime.datetime) -> Standing:
    pains = _pains(client, at=at)
    locked, clearance_problem = _leave_to_train(client, at=at)
    return Standing(
        warning_sign=locked or RedFlagReport.objects.of(client).filter(seen_at=None, erased_at=None).exists(),
        clearance_problem=clearance_problem,
        worst_pain=max((max(pain.during or 0, pain.after or 0) for pain in pains), default=0),
        pain_lingers=any(pain.next_morning == NextMorning.RAISED for pain in pains),
        is_first_clip=not _earlier_clips(client).exists(),
    )


def _pains(client: Client, *, at: datetime.datetime) -> list[PainReport]:
    today = at.astimezone(client.zone).date()
    return list(PainReport.objects.pains().filter(client=client, on__gt=today - PAIN_LOOKS_BACK, on__lte=today))


def _leave_to_train(client: Client, *, at: datetime.datetime) -> tuple[bool, bool]:
    try:
        require_start(client, on=at.astimezone(client.zone).date())
    except Locked:
        return True, True
    except ClientsError:
        return False, True
    return False, False


def _earlier_clips(client: Client) -> QuerySet[Submission]:
    clips = Submission.objects.of(client).filter(kind=SubmissionKind.CLIP)
    return clips.exclude(state=SubmissionState.WITHDRAWN)


def submit(client: Client, *, kind: SubmissionKind, at: datetime.datetime, **content: Any) -> Submission:
    """Put something into the queue of the client's coaches, with the promise that holds for it."""
    place = place_in_queue(
        kind,
        standing_of(client, at=at),
        submitted_at=at,
        promised_by=promised_by(client, kind, at=at),
    )
    return Submission.objects.create(
        practice_id=client.practice_id,
        client=client,
        kind=kind,
        lane=place.lane,
        lane_reason=place.reason,
        submitted_at=at,
        due_at=place.due_at,
        **content,
    )


def raise_lanes(client: Client, *, at: datetime.datetime) -> int:
    """Look again at what waits for a client, after news about pain or leave to train. Returns how many rose."""
    standing = standing_of(client, at=at)
    return sum(_raise(submission, standing, at=at) for submission in Submission.objects.of(client).waiting())


def _raise(submission: Submission, standing: Standing, *, at: datetime.datetime) -> bool:
    kind = SubmissionKind(submission.kind)
    # A promise runs from when the news came, not from before it existed.
    promise = promised_by(submission.client, kind, at=at)
    news = place_in_queue(kind, standing, submitted_at=at, promised_by=promise)
    current = Place(Lane(submission.lane), submission.lane_reason, submission.due_at)
    place = raise_place(current, news)
    if place.lane == current.lane:
        return False
    # Compare-and-set: another process may have raised or answered it meanwhile.
    rows = Submission.objects.waiting().filter(pk=submission.pk, lane=current.lane)
    return bool(rows.update(lane=place.lane, lane_reason=place.reason, due_at=place.due_at))


def raise_all_lanes(*, at: datetime.datetime) -> int:
    """For the periodic job: the rooms below write pain and screening without knowing that anything waits."""
    waiting = Submission.objects.waiting().values("client")
    return sum(raise_lanes(client, at=at) for client in Client.objects.filter(pk__in=waiting))


def due_words(due: datetime.datetime, *, at: datetime.datetime) -> str:
    """When the answer is due, as a coach says it."""
    if due < at:
        return _("%(time)s late") % {"time": _span(at - due)}
    return _("due in %(time)s") % {"time": _span(due - at)}


def _span(length: datetime.timedelta) -> str:
    minutes = int(length.total_seconds() // 60)
    if minutes < 60:
        return _("%(n)d min") % {"n": minutes}
    if minutes < 48 * 60:
        return _("%(n)d h") % {"n": minutes // 60}
    return _("%(n)d days") % {"n": minutes // (24 * 60)}
