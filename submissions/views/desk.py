"""The coach's queue, and the review."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import wraps

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from clients.choices import ReadKind, Role
from clients.domain.history import record_read
from clients.models import Membership, User
from clients.views import SignedInRequest
from submissions.choices import ClipState, SubmissionKind, SubmissionState
from submissions.domain.checking_in import answer_check_in, current_check_in
from submissions.domain.processing import failure_words
from submissions.domain.queueing import due_words
from submissions.domain.reviewing import correct_review, send_review
from submissions.errors import AlreadyReviewed, CheckInChanged, CorrectedMeanwhile, SubmissionsError
from submissions.forms import ReviewForm, answer_as_typed
from submissions.models import Review, Submission
from submissions.queries import (
    answer_of,
    areas_to_protect,
    earlier_reviews,
    next_to_review,
    pain_this_week,
    stuck_clips,
    waiting_for,
    with_reviews,
)

SHOWN = 100
View = Callable[..., HttpResponse]


@dataclass(frozen=True)
class Row:
    submission: Submission
    due: str
    is_late: bool
    is_stuck: bool


def polled(view: View) -> View:
    """A fragment asked for by a timer gets a 401 after the sign-in ran out, not the sign-in page in its place."""

    @wraps(view)
    def handle(request: SignedInRequest, **kwargs: object) -> HttpResponse:
        if _is_fragment(request) and not request.user.is_authenticated:
            return HttpResponse(status=401)
        return view(request, **kwargs)

    return handle


def _is_fragment(request: SignedInRequest) -> bool:
    return bool(request.htmx)


@polled
@login_required
@require_safe
def queue(request: SignedInRequest) -> HttpResponse:
    memberships = list(Membership.objects.of(request.user))
    if not memberships:
        raise Http404
    at = timezone.now()
    mine = request.GET.get("mine") == "1"
    waiting = waiting_for(request.user, mine=mine)
    shown = list(waiting[:SHOWN])
    stuck = stuck_clips(found.clip for found in shown)
    rows = [Row(found, due_words(found.due_at, at=at), found.due_at < at, found.clip_id in stuck) for found in shown]
    context = {
        "rows": rows,
        "count": len(rows) if len(rows) < SHOWN else waiting.count(),
        "mine": mine,
        "at": at,
        "is_owner": any(membership.role == Role.OWNER for membership in memberships),
        "sent": request.GET.get("sent", ""),
    }
    template = "submissions/queue.html#rows" if _is_fragment(request) else "submissions/queue.html"
    return render(request, template, context)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def review(request: SignedInRequest, submission_uuid: str) -> HttpResponse:
    submission = _coached(request, submission_uuid)
    at = timezone.now()
    form = ReviewForm(request.POST or None, submission=submission)
    if request.method == "POST" and form.is_valid():
        try:
            _send(submission, form, reviewer=request.user, at=at)
        except (AlreadyReviewed, CheckInChanged) as error:
            form.add_error(None, str(error))
            return _review_page(request, _coached(request, submission_uuid), form, at=at, status=409)
        except SubmissionsError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("Sent."))
            return _on_to_the_next(request, submission)
    _record_reads(request, submission, at=at)
    return _review_page(request, submission, form, at=at, status=422 if form.is_bound else 200)


def _send(submission: Submission, form: ReviewForm, *, reviewer: User, at: datetime) -> Review:
    if submission.kind == SubmissionKind.CHECK_IN:
        return answer_check_in(submission, seen=form.seen(), reviewer=reviewer, at=at, **form.answer())
    return send_review(submission, reviewer=reviewer, at=at, **form.answer())


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def correct(request: SignedInRequest, review_uuid: str) -> HttpResponse:
    """Write a new version of an answer. The address names the version that was read."""
    earlier = get_object_or_404(Review.objects.coached_by(request.user).filter(erased_at=None), uuid=review_uuid)
    submission = _coached(request, earlier.submission.uuid)
    at = timezone.now()
    form = ReviewForm(request.POST or None, submission=submission, initial=answer_as_typed(earlier))
    if request.method == "POST" and form.is_valid():
        try:
            correct_review(earlier, reviewer=request.user, at=at, **form.answer())
        except CorrectedMeanwhile as error:
            form.add_error(None, str(error))
            return _review_page(request, submission, form, at=at, status=409, corrects=earlier)
        except SubmissionsError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The corrected answer is sent."))
            return _back_to(submission, earlier)
    _record_reads(request, submission, at=at)
    return _review_page(request, submission, form, at=at, status=422 if form.is_bound else 200, corrects=earlier)


def _coached(request: SignedInRequest, submission_uuid: object) -> Submission:
    shown = Submission.objects.coached_by(request.user).select_related(
        "client", "clip__movement", "movement", "check_in"
    )
    return get_object_or_404(with_reviews(shown), uuid=submission_uuid)


def _record_reads(request: SignedInRequest, submission: Submission, *, at: datetime) -> None:
    """Once per opening of the page; the player's many range requests are the same reading."""
    if request.method != "GET":
        return
    if submission.clip is not None:
        record_read(submission.client, reader=request.user, kind=ReadKind.CLIP, at=at, subject=submission.clip.uuid)
    if submission.check_in is not None:
        told = submission.check_in.uuid
        record_read(submission.client, reader=request.user, kind=ReadKind.CHECK_IN, at=at, subject=told)
    record_read(submission.client, reader=request.user, kind=ReadKind.PAIN, at=at)


def _review_page(
    request: SignedInRequest,
    submission: Submission,
    form: ReviewForm,
    *,
    at: datetime,
    status: int,
    corrects: Review | None = None,
) -> HttpResponse:
    today = at.astimezone(submission.client.zone).date()
    request.about_client_uuid = submission.client.uuid
    context = {
        "submission": submission,
        "clip": submission.clip,
        "movement": submission.clip.movement if submission.clip else submission.movement,
        "check_in": current_check_in(submission),
        "answer": answer_of(submission),
        "corrects": corrects,
        "form": form,
        "draft": f"correct-{corrects.uuid}" if corrects else f"review-{submission.uuid}",
        "failure": failure_words(submission.clip) if submission.clip else "",
        "is_stuck": bool(stuck_clips([submission.clip])),
        "is_open": corrects is not None or form.is_bound or _can_be_answered(submission),
        "due": due_words(submission.due_at, at=at),
        "areas": areas_to_protect(submission.client, on=today),
        "pains": pain_this_week(submission.client, on=today),
        "earlier": earlier_reviews(submission.clip) if submission.clip else [],
        "sent": request.GET.get("sent", ""),
    }
    return render(request, "submissions/review.html", context, status=status)


def _can_be_answered(submission: Submission) -> bool:
    is_ready = submission.clip is None or submission.clip.state == ClipState.READY
    return submission.state == SubmissionState.WAITING and is_ready


def _on_to_the_next(request: SignedInRequest, done: Submission) -> HttpResponse:
    """The draft kept in the browser is named, so that the next page forgets it."""
    following = next_to_review(request.user)
    where = reverse("review", args=[following.uuid]) if following else reverse("queue")
    return redirect(f"{where}?sent=review-{done.uuid}")


def _back_to(submission: Submission, corrected: Review) -> HttpResponse:
    return redirect(f"{reverse('review', args=[submission.uuid])}?sent=correct-{corrected.uuid}")
