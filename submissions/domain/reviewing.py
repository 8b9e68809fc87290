"""The coach's answer: a verdict on the form, a cue, notes at moments, words. Sent once; corrected by a new version."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.domain.mail import absolute
from clients.domain.notices import tell_client
from clients.domain.versions import supersede
from clients.errors import ReplacedMeanwhile
from clients.models import Client, User
from submissions.choices import ClipState, SubmissionKind, SubmissionState, Verdict
from submissions.domain.queueing import submit
from submissions.errors import AlreadyReviewed, ClipNotReady, CorrectedMeanwhile, NoSuchMoment, VerdictMissing
from submissions.models import Clip, Review, ReviewNote, Submission

TICKS_PER_S = 90_000


@dataclass(frozen=True)
class Note:
    """A sentence at a frame of the review copy."""

    frame: int
    text: str
    drawing: object = None


def ask_question(client: Client, *, text: str, movement: object = None, at: datetime.datetime) -> Submission:
    return submit(client, kind=SubmissionKind.QUESTION, text=text, movement=movement, at=at)


def send_review(
    submission: Submission,
    *,
    reviewer: User,
    verdict: Verdict | str,
    cue: str,
    good: str,
    message: str,
    notes: Sequence[Note],
    at: datetime.datetime,
) -> Review:
    """Answer what waits and write to the client, in one step.

    Raises AlreadyReviewed when someone was first, ClipNotReady, VerdictMissing, NoSuchMoment.
    """
    with transaction.atomic():
        # Lock the row: two coaches may answer the same submission.
        locked = Submission.objects.select_for_update(of=("self",)).select_related("clip", "client__practice")
        submission = locked.get(pk=submission.pk)
        if submission.state != SubmissionState.WAITING:
            raise AlreadyReviewed
        review = _new_review(submission, reviewer, verdict, cue=cue, good=good, message=message, at=at)
        review.save(force_insert=True)
        _keep_notes(review, submission.clip, notes)
        submission.state, submission.answered_at = SubmissionState.ANSWERED, at
        submission.save(update_fields=["state", "answered_at"])
        if review.has_words:
            _tell(submission, subject=_("Your coach has answered"))
    return review


def correct_review(
    review: Review,
    *,
    reviewer: User,
    verdict: Verdict | str,
    cue: str,
    good: str,
    message: str,
    notes: Sequence[Note],
    at: datetime.datetime,
) -> Review:
    """Send a new version of an answer; the old one stays in the record and is no longer shown.

    Raises CorrectedMeanwhile when somebody corrected the same version first, and what send_review raises.
    """
    submission = review.submission
    version = _new_review(submission, reviewer, verdict, cue=cue, good=good, message=message, at=at)
    try:
        with transaction.atomic():
            supersede(review, version)
            _keep_notes(version, submission.clip, notes)
            _tell(submission, subject=_("Your coach corrected an answer"))
    except ReplacedMeanwhile as error:
        raise CorrectedMeanwhile from error
    return version


def _new_review(
    submission: Submission, reviewer: User, verdict: Verdict | str, *, at: datetime.datetime, **words: str
) -> Review:
    if submission.clip is not None and submission.clip.state != ClipState.READY:
        raise ClipNotReady
    if submission.kind == SubmissionKind.CLIP and verdict not in Verdict.values:
        raise VerdictMissing
    return Review(
        practice_id=submission.practice_id,
        client_id=submission.client_id,
        submission=submission,
        reviewer=reviewer,
        verdict=verdict,
        sent_at=at,
        **words,
    )


def _keep_notes(review: Review, clip: Clip | None, notes: Sequence[Note]) -> None:
    in_order = sorted(notes, key=lambda note: note.frame)
    ReviewNote.objects.bulk_create(
        ReviewNote(
            practice_id=review.practice_id,
            review=review,
            position=position,
            frame=note.frame,
            at_s=moment_of(clip, note.frame),
            text=note.text,
            drawing=note.drawing,
        )
        for position, note in enumerate(in_order)
    )


def moment_of(clip: Clip | None, frame: int) -> Decimal:
    """When a frame is shown. [s] Raises NoSuchMoment."""
    times = (clip.frame_times if clip else None) or []
    if not 0 <= frame < len(times):
        raise NoSuchMoment
    return (Decimal(times[frame]) / TICKS_PER_S).quantize(Decimal("0.001"))


def _tell(submission: Submission, *, subject: str) -> None:
    link = absolute(reverse("my-review", args=[submission.uuid]))
    tell_client(submission.client, subject=subject, body=_("Read it here:\n%(link)s") % {"link": link})


def mark_seen(review: Review, *, at: datetime.datetime) -> None:
    """The client has opened it. The first time counts."""
    Review.objects.filter(pk=review.pk, seen_at=None).update(seen_at=at)
