"""Questions that several rows answer together."""

import datetime
from collections.abc import Iterable

from django.db.models import OuterRef, Prefetch, Q, QuerySet, Subquery

import jobs
from clients.choices import AssignmentKind
from clients.models import Assignment, CheckIn, Client, PainReport, ProtectedArea, User
from programs.choices import BlockState
from programs.models import MovementRevision, Prescription
from submissions.choices import ClipState, SubmissionKind
from submissions.models import Clip, Review, Submission, Upload


def waiting_for(user: User, *, mine: bool = False) -> QuerySet[Submission]:
    """What waits for this coach, in the order to work it. `mine`: only clients this person leads."""
    waiting = Submission.objects.coached_by(user).waiting()
    if mine:
        leads = Assignment.objects.current().filter(kind=AssignmentKind.LEAD, coach__user=user.pk)
        waiting = waiting.filter(client__in=leads.values("client"))
    shown = waiting.select_related("client", "clip__movement", "movement")
    return shown.defer("clip__frame_times").in_queue_order()


def next_to_review(user: User) -> Submission | None:
    """The first that can be answered now: a clip still being prepared is passed over."""
    ready = Q(clip=None) | Q(clip__state=ClipState.READY)
    return waiting_for(user).filter(ready).first()


def stuck_clips(clips: Iterable[Clip | None]) -> set[int]:
    """Those received whose preparation was set aside: nobody works on them until somebody says to try again."""
    received = {clip.pk for clip in clips if clip is not None and clip.state == ClipState.RECEIVED}
    if not received:
        return set()
    unattended = received - {args[0] for args in jobs.under_way("submissions.process_clip")}
    # Asked again: one that became ready since it was read has no job under way either.
    return set(Clip.objects.filter(pk__in=unattended, state=ClipState.RECEIVED).values_list("pk", flat=True))


def with_reviews(submissions: QuerySet[Submission]) -> QuerySet[Submission]:
    """Each with its answer that stands, as `answers`."""
    standing = Review.objects.current().select_related("reviewer").prefetch_related("notes")
    return submissions.prefetch_related(Prefetch("reviews", queryset=standing, to_attr="answers"))


def answer_of(submission: Submission) -> Review | None:
    """The answer that stands, of a row of `with_reviews`."""
    answers: list[Review] = submission.answers  # type: ignore[attr-defined]
    return answers[0] if answers else None


def sent_by(user: User) -> QuerySet[Submission]:
    """All that a client sent, the newest first, with what is needed to film a failed clip again."""
    filmed = Prescription.objects.filter(
        group__section__session=OuterRef("clip__scheduled__session"), lineage=OuterRef("clip__lineage")
    )
    own = Submission.objects.own(user)
    shown = own.select_related("client", "clip__movement", "clip__scheduled", "movement", "check_in").defer(
        "clip__frame_times"
    )
    return with_reviews(shown.annotate(filmed=Subquery(filmed.values("uuid")[:1])).order_by("-submitted_at", "-pk"))


def clips_and_questions(user: User) -> QuerySet[Submission]:
    """Check-ins have a page of their own."""
    return sent_by(user).exclude(kind=SubmissionKind.CHECK_IN)


def unfinished_uploads(user: User, *, at: datetime.datetime) -> QuerySet[Upload]:
    waiting = Upload.objects.own(user).filter(finished_at=None, expires_at__gt=at)
    return waiting.select_related("client", "clip__movement").defer("clip__frame_times").order_by("created_at")


def earlier_reviews(clip: Clip) -> QuerySet[Review]:
    """The last answers about the same movement of this client, whatever its revision."""
    same = Review.objects.current().filter(
        client=clip.client_id, submission__clip__movement__movement=clip.movement.movement_id
    )
    return same.exclude(submission__clip=clip).select_related("reviewer").order_by("-sent_at", "-pk")[:3]


def pain_this_week(client: Client, *, on: datetime.date) -> QuerySet[PainReport]:
    since = on - datetime.timedelta(days=7)
    return PainReport.objects.pains().filter(client=client, on__gt=since, on__lte=on).order_by("-on", "-pk")


def areas_to_protect(client: Client, *, on: datetime.date) -> QuerySet[ProtectedArea]:
    areas = ProtectedArea.objects.current().filter(client=client, from_on__lte=on)
    return areas.filter(Q(until_on=None) | Q(until_on__gte=on)).order_by("-barred", "area")


def check_ins_with_answers(client: Client) -> list[tuple[CheckIn, Submission | None]]:
    """What stands for each week, the newest first, with what waits or waited last about it."""
    waiting = with_reviews(
        Submission.objects.of(client).filter(kind=SubmissionKind.CHECK_IN).select_related("check_in")
    )
    newest = {sent.check_in.week: sent for sent in waiting.order_by("submitted_at", "pk") if sent.check_in}
    told = CheckIn.objects.current().filter(client=client).order_by("-week")
    return [(check_in, newest.get(check_in.week)) for check_in in told]


def prescribed_movements(client: Client) -> QuerySet[MovementRevision]:
    """What the client has on the plan, to ask about."""
    prescribed = Prescription.objects.filter(
        group__section__session__block__client=client, group__section__session__block__state=BlockState.PUBLISHED
    )
    return MovementRevision.objects.filter(pk__in=prescribed.values("movement")).order_by("name", "pk")
