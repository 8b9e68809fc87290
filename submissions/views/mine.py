"""What a client has sent, what came back, and asking."""

from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.choices import ClientState
from clients.models import Client
from clients.views import SignedInRequest
from submissions.choices import ClipState
from submissions.domain.checking_in import current_check_in
from submissions.domain.processing import failure_words
from submissions.domain.reviewing import ask_question, mark_seen
from submissions.forms import AskForm, notes_as_json
from submissions.models import Review, Submission
from submissions.queries import answer_of, clips_and_questions, sent_by, stuck_clips, unfinished_uploads

SHOWN = 100


@dataclass(frozen=True)
class Sent:
    submission: Submission
    answer: Review | None
    failure: str
    is_stuck: bool


@login_required
@require_safe
def my_clips(request: SignedInRequest) -> HttpResponse:
    shown = list(clips_and_questions(request.user)[:SHOWN])
    stuck = stuck_clips(found.clip for found in shown)
    sent = [Sent(found, answer_of(found), _failure_of(found), found.clip_id in stuck) for found in shown]
    unfinished = unfinished_uploads(request.user, at=timezone.now())
    return render(request, "submissions/my_clips.html", {"sent": sent, "unfinished": unfinished})


@login_required
@require_safe
def my_review(request: SignedInRequest, submission_uuid: str) -> HttpResponse:
    submission = get_object_or_404(sent_by(request.user), uuid=submission_uuid)
    answer = answer_of(submission)
    context = {
        "submission": submission,
        "clip": submission.clip,
        "movement": submission.clip.movement if submission.clip else submission.movement,
        "failure": _failure_of(submission),
        "is_stuck": bool(stuck_clips([submission.clip])),
        "answer": answer,
        "notes": notes_as_json(answer) if answer else "[]",
        "check_in": current_check_in(submission),
    }
    return render(request, "submissions/my_review.html", context)


@login_required
@require_POST
def review_seen(request: SignedInRequest, review_uuid: str) -> HttpResponse:
    found = get_object_or_404(Review.objects.own(request.user).current(), uuid=review_uuid)
    mark_seen(found, at=timezone.now())
    return redirect("my-review", submission_uuid=found.submission.uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def ask(request: SignedInRequest) -> HttpResponse:
    active = Client.objects.own(request.user).exclude(state=ClientState.ENDED).filter(erased_at=None)
    client = get_object_or_404(active.select_related("practice").order_by("-pk")[:1])
    about = {"movement": request.GET.get("movement")}
    form = AskForm(request.POST or None, client=client, initial=about)
    if request.method == "POST" and form.is_valid():
        asked = ask_question(client, at=timezone.now(), **form.cleaned_data)
        messages.success(request, _("Your question is with your coach."))
        return redirect("my-review", submission_uuid=asked.uuid)
    hours = client.practice.question_promise_hours
    return render(request, "submissions/ask.html", {"form": form, "hours": hours}, status=422 if form.is_bound else 200)


def _failure_of(submission: Submission) -> str:
    clip = submission.clip
    return failure_words(clip) if clip is not None and clip.state == ClipState.FAILED else ""
