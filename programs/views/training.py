"""The client's days, and the session they train from."""

import datetime
import uuid
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clients.domain.safety import require_start
from clients.errors import ClientsError
from clients.library.emergency_numbers import emergency_number
from clients.views import SignedInRequest
from clients.views.intake import own_client
from clients.views.pain import onward
from programs.choices import SessionState
from programs.domain import days
from programs.domain.logging import Answer, log_entries
from programs.domain.session_pain import tell_pain_in
from programs.domain.training import RESERVES, Refusal, SessionPage, anchor_of, entry_key, session_page, unit_label
from programs.errors import ProgramsError
from programs.models import ScheduledSession
from programs.views.training_forms import FinishForm, MoveForm, SessionPainForm, SkipForm


def own_session(request: SignedInRequest, scheduled_uuid: str) -> ScheduledSession:
    """A session on the client's plan; one that was revised since is found where it stands now."""
    scheduled = any_own_session(request, scheduled_uuid)
    if scheduled.state == SessionState.WITHDRAWN:
        scheduled = days.where_it_went(scheduled)
    if scheduled.state == SessionState.WITHDRAWN:
        raise Http404
    return scheduled


def any_own_session(request: SignedInRequest, scheduled_uuid: str) -> ScheduledSession:
    """Also one that was taken off the plan: what was trained by then can still be told."""
    sessions = ScheduledSession.objects.own(request.user).select_related("client__practice", "session__block")
    return get_object_or_404(sessions, uuid=scheduled_uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def today(request: SignedInRequest) -> HttpResponse:
    """What is on today, what is next, and what became of the last two weeks."""
    client = own_client(request)
    day = days.today_of(client, timezone.now())
    sessions = days.sessions_on(client, day)
    context = {
        "today": day,
        "sessions": [(session, days.state_words(session, day)) for session in sessions],
        "next": None if sessions else days.next_session(client, after=day),
        "rows": days.day_list(client, today=day),
    }
    return render(request, "programs/session_days.html", context)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def train(request: SignedInRequest, scheduled_uuid: str) -> HttpResponse:
    scheduled = days.where_it_went(own_session(request, scheduled_uuid))
    if str(scheduled.uuid) != str(scheduled_uuid):
        return redirect("train", scheduled_uuid=scheduled.uuid)
    return _page(request, scheduled)


def _page(
    request: SignedInRequest, scheduled: ScheduledSession, refusal: Refusal | None = None, status: int = 200
) -> HttpResponse:
    """The session to train from; without leave to train, only the place to say what was done already."""
    now = timezone.now()
    day = days.today_of(scheduled.client, now)
    page = session_page(scheduled, refusal)
    context = page_context(page, refusal, now=now, day=day)
    try:
        require_start(scheduled.client, on=day)
    except ClientsError as why_not:
        return render(request, "programs/train_closed.html", context | {"why_not": why_not}, status=status)
    return render(request, "programs/train_page.html", context, status=status)


def page_context(
    page: SessionPage, refusal: Refusal | None, *, now: datetime.datetime, day: datetime.date
) -> dict[str, Any]:
    scheduled = page.scheduled
    return {
        "page": page,
        "scheduled": scheduled,
        "words": days.state_words(scheduled, day),
        "has_come": scheduled.on <= day,
        "is_movable": scheduled.state == SessionState.PLANNED,
        "unit": unit_label(scheduled.client.mass_unit),
        "reserves": RESERVES,
        "refusal": refusal,
        "finish": _finish_form(page, refusal, now),
        "skip": _told(SkipForm, "skip", refusal, auto_id="skip_%s"),
        "move": MoveForm(initial={"to": day}, reach=days.reach(day)),
        "new_ids": [uuid.uuid4() for _unused in range(2)],
    }


def _finish_form(page: SessionPage, refusal: Refusal | None, now: datetime.datetime) -> Any:
    log = page.log
    initial = {
        "outcome": page.outcome_so_far(),
        "session_rpe": log.session_rpe if log else None,
        "minutes": log.minutes if log else page.minutes_by(now),
        "anything_hurt": {True: "yes", False: "no", None: None}[log.anything_hurt] if log else None,
        "note": log.note if log else "",
    }
    return _told(FinishForm, "session", refusal, initial=initial)


def _told(form: Any, key: str, refusal: Refusal | None, **kwargs: Any) -> Any:
    """A form of the page: as it was typed and refused, or fresh."""
    if refusal is None or refusal.key != key:
        return form(**kwargs)
    bound = form(refusal.sent, **kwargs)
    for name, problems in refusal.errors.items():
        for problem in problems if name not in bound.errors else []:
            bound.add_error(name if name in bound.fields else None, problem)
    return bound


@login_required
@require_POST
def train_log(request: SignedInRequest, scheduled_uuid: str) -> HttpResponse:
    """One entry by plain form: through the same door as a batch of the phone."""
    scheduled = any_own_session(request, scheduled_uuid)
    sent = request.POST.dict()
    answer = _log(scheduled, sent)
    if not answer.is_kept:
        # A conflict is shown on the page as it stands now, with what was typed.
        status = 422 if answer.status == "refused" else 409
        return _page(request, days.where_it_went(scheduled), Refusal(entry_key(sent), sent, answer.errors), status)
    messages.success(request, _("Saved."))
    if sent.get("kind") == "session":
        asks_where = sent.get("anything_hurt") == "yes"
        return redirect("train-pain", scheduled_uuid=scheduled.uuid) if asks_where else redirect("today")
    return redirect(f"{reverse('train', args=[scheduled.uuid])}#{anchor_of(entry_key(sent))}")


def _log(scheduled: ScheduledSession, sent: dict[str, Any]) -> Answer:
    now = timezone.now()
    clock = {"device_at": now.isoformat(), "time_zone": scheduled.client.time_zone}
    return log_entries(scheduled.client, [sent | clock | {"scheduled": str(scheduled.uuid)}], at=now)[0]


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def train_pain(request: SignedInRequest, scheduled_uuid: str) -> HttpResponse:
    """Where it hurts, told from the session. Kept at once; the next page asks what comes next."""
    scheduled = days.where_it_went(own_session(request, scheduled_uuid))
    now = timezone.now()
    movements = session_page(scheduled).movements
    form = SessionPainForm(request.POST or None, movements=movements, initial={"uuid": uuid.uuid4()})
    if request.method == "POST" and form.is_valid():
        keys = {name: form.cleaned_data[name] or None for name in ("uuid", "prescription")}
        return onward(tell_pain_in(scheduled, **keys, **form.told(), by=request.user, at=now))
    number = emergency_number(scheduled.client.country_on(days.today_of(scheduled.client, now)))
    context = {"scheduled": scheduled, "form": form, "number": number}
    return render(request, "programs/train_pain.html", context, status=422 if form.is_bound else 200)


@login_required
@require_POST
def move(request: SignedInRequest, scheduled_uuid: str) -> HttpResponse:
    scheduled = own_session(request, scheduled_uuid)
    now = timezone.now()
    form = MoveForm(request.POST, reach=days.reach(days.today_of(scheduled.client, now)))
    if not form.is_valid():
        messages.error(request, _("Please choose a day."))
        return redirect("train", scheduled_uuid=scheduled.uuid)
    try:
        days.move_session(scheduled, to=form.cleaned_data["to"], at=now)
    except ProgramsError as refused:
        messages.error(request, str(refused))
        return redirect("train", scheduled_uuid=scheduled.uuid)
    messages.success(request, _("Moved."))
    return redirect("today")
