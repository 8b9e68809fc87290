"""The weekly check-in: for the client, with their habits of it, and for the coach who has read one."""

import datetime
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clients.choices import ConsentKind
from clients.domain.check_ins import Asked, asked_check_in, next_check_in_day, set_check_in_habits
from clients.domain.consent import has_consent
from clients.errors import ClientsError, ReplacedMeanwhile
from clients.library.emergency_numbers import emergency_number
from clients.models import BodyMass, CheckIn, Client
from clients.views import SignedInRequest
from clients.views.intake import own_client
from submissions.domain.checking_in import mark_read, send_check_in
from submissions.errors import SubmissionsError
from submissions.forms import CheckInForm, CheckInHabitsForm, check_in_as_typed, seen_version
from submissions.models import Submission
from submissions.queries import check_ins_with_answers

WEEKS_SHOWN = 26


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def check_in(request: SignedInRequest) -> HttpResponse:
    client = own_client(request)
    if not has_consent(client, ConsentKind.HEALTH):
        return redirect("consents")
    at = timezone.now()
    today = timezone.localdate(at, timezone=client.zone)
    asked = asked_check_in(client, on=today)
    form = CheckInForm(request.POST or None, client=client, initial=_initial(client, asked, today))
    status = 422 if form.is_bound else 200
    if form.is_bound and form.is_valid():
        try:
            _send(client, form, on=today, at=at)
        except ClientsError as error:
            form.add_error(None, _changed(error))
            status = 409
        else:
            messages.success(request, _("Your check-in is with your coach."))
            # The draft kept in the browser is named, so that the next page forgets it.
            return redirect(f"{reverse('my-check-ins')}?sent=check-in-{form.cleaned_data['due_on']}")
    if asked is None and not form.is_bound:
        return render(request, "submissions/check_in_later.html", _later(client, today))
    number = emergency_number(client.country_on(today))
    context = {"form": form, "client": client, "asked": asked, "emergency_number": number}
    context |= {"is_overdue": asked is not None and asked.is_overdue(today), "hours": _hours(client)}
    return render(request, "submissions/check_in.html", context, status=status)


def _initial(client: Client, asked: Asked | None, today: datetime.date) -> dict[str, Any]:
    if asked is None:
        return {}
    if asked.told is None:
        return {"due_on": asked.due_on}
    mass = BodyMass.objects.counting().filter(client=client, on=asked.told.told_on).first()
    as_told = {"mass": f"{mass.entered.normalize():f}", "mass_unit": mass.unit} if mass else {}
    return check_in_as_typed(asked.told) | as_told | {"due_on": asked.due_on}


def _send(client: Client, form: CheckInForm, *, on: datetime.date, at: datetime.datetime) -> CheckIn:
    data = form.cleaned_data
    return send_check_in(
        client, form.said(), mass=form.told_mass(), due_on=data["due_on"], seen=data["seen"], on=on, at=at
    )


def _changed(error: ClientsError) -> str:
    if isinstance(error, ReplacedMeanwhile):
        return _("This check-in was sent from another page meanwhile. Nothing of yours was sent; it is still here.")
    return str(error)


def _later(client: Client, today: datetime.date) -> dict[str, Any]:
    return {"client": client, "next_on": next_check_in_day(client, on=today)}


def _hours(client: Client) -> int:
    return client.practice.check_in_promise_hours


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def my_check_ins(request: SignedInRequest) -> HttpResponse:
    """What was told in which week, what came back, and on which day to be asked."""
    client = own_client(request)
    habits = {"weekday": client.check_in_weekday, "reminders": client.check_in_reminders}
    form = CheckInHabitsForm(request.POST or None, initial=habits)
    if request.method == "POST" and form.is_valid():
        set_check_in_habits(client, **form.cleaned_data)
        messages.success(request, _("Kept."))
        return redirect("my-check-ins")
    today = timezone.localdate(timezone=client.zone)
    asked = asked_check_in(client, on=today)
    context = {
        "client": client,
        "form": form,
        "asked": asked,
        "is_overdue": asked is not None and asked.is_overdue(today),
        "next_on": asked.next_on if asked else next_check_in_day(client, on=today),
        "rows": check_ins_with_answers(client)[:WEEKS_SHOWN],
        "sent": request.GET.get("sent", ""),
    }
    return render(request, "submissions/my_check_ins.html", context, status=422 if form.is_bound else 200)


@login_required
@require_POST
def check_in_read(request: SignedInRequest, submission_uuid: str) -> HttpResponse:
    """For the coach: read, and nothing to say."""
    rows = Submission.objects.coached_by(request.user).exclude(check_in=None).select_related("client", "check_in")
    submission = get_object_or_404(rows, uuid=submission_uuid)
    try:
        mark_read(submission, seen=seen_version(request.POST.get("seen", "")), reviewer=request.user, at=timezone.now())
    except SubmissionsError as error:
        messages.warning(request, str(error))
        return redirect("review", submission_uuid=submission.uuid)
    messages.success(request, _("Marked as read."))
    return redirect("queue")
