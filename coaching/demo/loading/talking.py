"""Clips and questions, and what the coaches answered: late, in time, corrected, or not yet."""

import datetime
from collections.abc import Callable

from clients.choices import ConsentKind
from clients.domain.consent import decide_consent
from clients.models import Client, Membership
from coaching.demo import studio
from coaching.demo.loading.arriving import person_of
from coaching.demo.loading.days import Now
from coaching.demo.person import Answer, Filmed, Person, Question
from coaching.demo.studio import Ready
from programs.models import Movement, MovementRevision, Prescription, ScheduledSession
from submissions.domain import files
from submissions.domain.processing import publish_clip
from submissions.domain.reviewing import TICKS_PER_S, Note, ask_question, correct_review, mark_seen, send_review
from submissions.domain.uploading import append, open_upload
from submissions.domain.withdrawal import erase_withdrawn_clips
from submissions.models import Clip, Submission

PREPARED_AFTER = datetime.timedelta(minutes=1)
SEEN_AFTER = datetime.timedelta(hours=3)
CORRECTED_AFTER = datetime.timedelta(hours=2)

Coaches = dict[str, Membership]


def talk(client: Client, person: Person, coaches: Coaches, clips: Callable[[], dict[str, Ready]], *, now: Now) -> None:
    """Everything that was sent, the oldest first: the lane of a clip depends on whether it is the first."""
    everything: list[Filmed | Question] = [*person.filmed, *person.asks]
    for sent in sorted(everything, key=lambda each: -each.hours):
        at = now.hours_ago(sent.hours)
        if isinstance(sent, Filmed):
            submission = _send_clip(client, sent, clips()[sent.figure], at=at)
        else:
            submission = _ask(client, sent, at=at)
        if submission is not None and sent.answer is not None:
            _answer(submission, sent.answer, coaches[sent.answer.by or person.coach], at=at)
    if person.video_withdrawn is not None:
        at = now.on(client, person.video_withdrawn, datetime.time(20, 15))
        decide_consent(client, kind=ConsentKind.VIDEO, given=False, by=person_of(client), at=at)
        erase_withdrawn_clips(at=at)


def _ask(client: Client, question: Question, *, at: datetime.datetime) -> Submission:
    return ask_question(client, text=question.text, movement=_movement(question.about), at=at)


def _movement(slug: str) -> MovementRevision | None:
    return Movement.objects.select_related("current").get(practice=None, slug=slug).current if slug else None


def _send_clip(client: Client, filmed: Filmed, ready: Ready, *, at: datetime.datetime) -> Submission:
    """As a phone sends it; then what the worker does with it, from what was prepared once."""
    scheduled, dose = _filmed_set(client, filmed, at)
    upload = open_upload(
        client,
        scheduled=scheduled,
        prescription=dose,
        camera_side=filmed.side,
        question=filmed.question,
        length=ready.drawn.stat().st_size,
        at=at,
    )
    with ready.drawn.open("rb") as file:
        append(upload, offset=0, read=file.read, at=at)
    clip = Clip.objects.get(upload=upload)
    with files.work_folder() as folder:
        publish_clip(clip, studio.processed(ready, folder), at=at + PREPARED_AFTER)
    files.remove_part(upload.uuid)
    return Submission.objects.get(clip=clip)


def _filmed_set(client: Client, filmed: Filmed, at: datetime.datetime) -> tuple[ScheduledSession, Prescription]:
    """The last session before the clip that holds the movement."""
    before = at.astimezone(client.zone).date()
    dose = (
        Prescription.objects.filter(
            movement__movement__slug=filmed.slug,
            group__section__session__scheduled__in=ScheduledSession.objects.of(client)
            .on_the_plan()
            .filter(on__lte=before),
        )
        .order_by("-group__section__session__scheduled__on")
        .select_related("movement", "group__section__session")
        .first()
    )
    if dose is None:
        raise ValueError(f"{client.name} has not trained {filmed.slug} before {before}")
    return ScheduledSession.objects.of(client).on_the_plan().get(session=dose.group.section.session), dose


def _answer(submission: Submission, answer: Answer, coach: Membership, *, at: datetime.datetime) -> None:
    sent_at = at + datetime.timedelta(hours=answer.hours)
    submission.refresh_from_db()
    review = send_review(
        submission, reviewer=coach.user, verdict=answer.verdict, cue=answer.cue, good=answer.good,
        message=answer.message, notes=_notes(submission, answer), at=sent_at,
    )  # fmt: skip
    if answer.corrected is not None:
        better = answer.corrected
        sent_at += CORRECTED_AFTER
        review = correct_review(
            review, reviewer=coach.user, verdict=better.verdict, cue=better.cue, good=better.good,
            message=better.message, notes=_notes(submission, better), at=sent_at,
        )  # fmt: skip
    if answer.seen:
        mark_seen(review, at=sent_at + SEEN_AFTER)


def _notes(submission: Submission, answer: Answer) -> list[Note]:
    """Notes stand at seconds in the data, and at frames in the review."""
    if submission.clip is None:
        return []
    times = submission.clip.frame_times or []
    return [Note(_nearest(times, at_s), text) for at_s, text in answer.notes]


def _nearest(times: list[int], at_s: float) -> int:
    return min(range(len(times)), key=lambda frame: abs(times[frame] - at_s * TICKS_PER_S))
