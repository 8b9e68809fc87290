"""A client's days in words, week by week, and what is changed there: by the client, and by the coach."""

import datetime
import uuid
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from clients.choices import ReadKind
from clients.domain.history import record_read
from clients.models import Client
from clients.views import SignedInRequest
from clients.views.intake import own_client
from programs.domain.day_weeks import week_page
from programs.domain.days import reach, today_of
from programs.domain.excusing import BACK, excuse_days, excuses_since, move_for_client, take_back
from programs.domain.logging import log_entries
from programs.forms import ExcuseForm
from programs.forms.fields import FIRST_DAY, LAST_DAY
from programs.models import Excuse, ScheduledSession
from programs.views.blocks import attempt
from programs.views.training import own_session
from programs.views.training_forms import MoveForm


@login_required
@require_safe
def my_days(request: SignedInRequest) -> HttpResponse:
    return _page(request, own_client(request))


@login_required
@require_safe
def client_days(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = coached_client(request, client_uuid)
    # Why a session was skipped may tell of health.
    record_read(client, reader=request.user, kind=ReadKind.CLIENT, at=timezone.now())
    return _page(request, client, for_coach=True)


def coached_client(request: SignedInRequest, client_uuid: str) -> Client:
    return get_object_or_404(Client.objects.coached_by(request.user).select_related("practice"), uuid=client_uuid)


def _page(
    request: SignedInRequest, client: Client, *, for_coach: bool = False, form: ExcuseForm | None = None
) -> HttpResponse:
    today = today_of(client, timezone.now())
    first, last = reach(today)
    context: dict[str, Any] = {"client": client, "today": today, "for_coach": for_coach}
    context["page"] = week_page(client, today=today, first=_day(request.GET.get("from", "")))
    context["form"] = form or ExcuseForm(initial={"first_on": today})
    context["excuses"] = excuses_since(client, today - BACK)
    context |= {"first_to_move_to": first, "last_to_move_to": last}
    return render(request, "programs/day_list.html", context, status=422 if form else 200)


def _day(text: str) -> datetime.date | None:
    """A day of the first week that was asked for; none where it makes no sense."""
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError:
        return None
    return day if FIRST_DAY <= day <= LAST_DAY else None


@login_required
@require_POST
def excuse_my_days(request: SignedInRequest) -> HttpResponse:
    return _excuse(request, own_client(request), for_coach=False)


@login_required
@require_POST
def excuse_client_days(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    return _excuse(request, coached_client(request, client_uuid), for_coach=True)


def _excuse(request: SignedInRequest, client: Client, *, for_coach: bool) -> HttpResponse:
    form = ExcuseForm(request.POST)
    if not form.is_valid():
        return _page(request, client, for_coach=for_coach, form=form)
    now = timezone.now()
    attempt(
        request,
        lambda: excuse_days(client, **form.cleaned_data, by=request.user, at=now),
        done=_("Excused."),
    )
    return _back(request, client)


@login_required
@require_POST
def take_excuse_back(request: SignedInRequest, excuse_uuid: str) -> HttpResponse:
    excuses = Excuse.objects.visible_to(request.user).filter(erased_at=None).select_related("client")
    excuse = get_object_or_404(excuses, uuid=excuse_uuid)
    attempt(request, lambda: take_back(excuse, by=request.user, at=timezone.now()), done=_("Taken back."))
    return _back(request, excuse.client)


@login_required
@require_POST
def move_client_session(request: SignedInRequest, client_uuid: str, scheduled_uuid: str) -> HttpResponse:
    client = coached_client(request, client_uuid)
    scheduled = get_object_or_404(ScheduledSession.objects.of(client).on_the_plan(), uuid=scheduled_uuid)
    now = timezone.now()
    form = MoveForm(request.POST, reach=reach(today_of(client, now)))
    if form.is_valid():
        to = form.cleaned_data["to"]
        attempt(request, lambda: move_for_client(scheduled, to=to, by=request.user, at=now), done=_("Moved."))
    else:
        messages.error(request, _("Please choose a day."))
    return _back(request, client)


@login_required
@require_POST
def take_skip_back(request: SignedInRequest, scheduled_uuid: str) -> HttpResponse:
    """Through the same door as every entry of the log: what was seen is replaced, or the answer says why not."""
    scheduled = own_session(request, scheduled_uuid)
    now = timezone.now()
    entry = {"kind": "session", "uuid": str(uuid.uuid4()), "withdrawn": True, "replaces": request.POST.get("replaces")}
    entry |= {"scheduled": str(scheduled.uuid), "device_at": now.isoformat(), "time_zone": scheduled.client.time_zone}
    answer = log_entries(scheduled.client, [entry], at=now)[0]
    if answer.is_kept:
        messages.success(request, _("Taken back. The session is planned again."))
    else:
        messages.error(request, " ".join(text for texts in answer.errors.values() for text in texts))
    return redirect("train", scheduled_uuid=scheduled.uuid)


def _back(request: SignedInRequest, client: Client) -> HttpResponse:
    if client.user_id == request.user.pk:
        return redirect("my-days")
    return redirect("client-days", client_uuid=client.uuid)
