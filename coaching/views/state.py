"""One client at a glance, for the coach: what to protect, pain, check-ins, and what was noted."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clients.choices import ReadKind
from clients.domain.body import hide_body_mass
from clients.domain.check_ins import asked_check_in, pause_reminders
from clients.domain.history import record_read
from clients.domain.telling_pain import awaiting_morning
from clients.models import BodyMass, CheckIn, Client, Note
from clients.views import SignedInRequest
from coaching.charts import Chart, dot_chart
from coaching.domain.how_they_are import Compared, compare_with_usual, pain_by_area, soreness_told
from coaching.domain.overdue import overdue_check_in
from submissions.queries import areas_to_protect, check_ins_with_answers

WEEKS_SHOWN = 12
NOTES_SHOWN = 5


@login_required
@require_GET
def client_state(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = _coached(request, client_uuid)
    at = timezone.now()
    for kind in (ReadKind.PAIN, ReadKind.CHECK_IN, ReadKind.NOTES):
        record_read(client, reader=request.user, kind=kind, at=at)
    today = timezone.localdate(at, timezone=client.zone)
    told = CheckIn.objects.current().filter(client=client).order_by("week")
    compared = compare_with_usual(list(told))
    asked = asked_check_in(client, on=today)
    sent = {check_in.pk: submission for check_in, submission in check_ins_with_answers(client)[:WEEKS_SHOWN]}
    rows = [(each, sent.get(each.check_in.pk)) for each in compared[: -WEEKS_SHOWN - 1 : -1]]
    pain = pain_by_area(client, on=today)
    context: dict[str, Any] = {
        "client": client,
        "areas": areas_to_protect(client, on=today),
        "pain": pain,
        "marks": [(area.newest.area, area.newest.side) for area in pain],
        "sore": soreness_told(client, on=today),
        "mornings": [report for report in awaiting_morning(client) if report.on < today],
        "newest": compared[-1] if compared else None,
        "newest_sent": sent.get(compared[-1].check_in.pk) if compared else None,
        "rows": rows,
        "said": [each for each, _sent in rows if each.check_in.note or each.check_in.question],
        "chart": _chart(compared[-WEEKS_SHOWN:]),
        "asked": asked,
        "is_overdue": overdue_check_in(client, on=today) is not None,
        "notes": Note.objects.current().filter(client=client).select_related("by").order_by("-on", "-pk")[:NOTES_SHOWN],
        "body_mass": BodyMass.objects.of(client).for_day(today),
    }
    return render(request, "coaching/client_state.html", context)


def _coached(request: SignedInRequest, client_uuid: str) -> Client:
    return get_object_or_404(
        Client.objects.coached_by(request.user).select_related("practice", "reminders_paused_by"), uuid=client_uuid
    )


def _chart(compared: list[Compared]) -> Chart | None:
    known = [each for each in compared if each.index is not None]
    if len(known) < 2:
        return None
    rows = [(date_format(each.check_in.told_on, "j M"), each.index) for each in compared]
    return dot_chart(_("Sum of the five answers"), _("5 to 25, higher is better"), rows)


@login_required
@require_POST
def client_body_mass(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    """Whether this client is asked about body mass and sees any."""
    client = _coached(request, client_uuid)
    hide_body_mass(client, hidden=request.POST.get("hidden") == "yes")
    messages.success(request, _("Kept."))
    return redirect("client-state", client_uuid=client.uuid)


@login_required
@require_POST
def client_reminders(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    """Whether letters that remind of the check-in are held back by the coach."""
    client = _coached(request, client_uuid)
    pause_reminders(client, paused=request.POST.get("paused") == "yes", by=request.user, at=timezone.now())
    messages.success(request, _("Kept."))
    return redirect("client-state", client_uuid=client.uuid)
