"""A client's days in words, week by week: for the client, and for the coach."""

import datetime
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from clients.choices import ReadKind
from clients.domain.history import record_read
from clients.models import Client
from clients.views import SignedInRequest
from clients.views.intake import own_client
from programs.domain.day_weeks import week_page
from programs.domain.days import today_of

# Nobody trained here before, and no calendar is kept so far ahead.
FIRST_DAY, LAST_DAY = datetime.date(2000, 1, 1), datetime.date(2200, 1, 1)


@login_required
@require_safe
def my_days(request: SignedInRequest) -> HttpResponse:
    return render(request, "programs/day_list.html", day_context(request, own_client(request)))


@login_required
@require_safe
def client_days(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = coached_client(request, client_uuid)
    # Why a session was skipped may tell of health.
    record_read(client, reader=request.user, kind=ReadKind.CLIENT, at=timezone.now())
    return render(request, "programs/day_list.html", day_context(request, client) | {"for_coach": True})


def coached_client(request: SignedInRequest, client_uuid: str) -> Client:
    return get_object_or_404(Client.objects.coached_by(request.user).select_related("practice"), uuid=client_uuid)


def day_context(request: SignedInRequest, client: Client) -> dict[str, Any]:
    today = today_of(client, timezone.now())
    page = week_page(client, today=today, first=_day(request.GET.get("from", "")))
    return {"client": client, "today": today, "page": page}


def _day(text: str) -> datetime.date | None:
    """A day of the first week that was asked for; none where it makes no sense."""
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError:
        return None
    return day if FIRST_DAY <= day <= LAST_DAY else None
