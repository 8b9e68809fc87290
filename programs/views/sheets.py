"""A block on paper, for the client and the coach."""

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from clients.domain.safety import barred_areas, require_start
from clients.errors import ClientsError
from clients.library.emergency_numbers import emergency_number
from clients.views import SignedInRequest
from programs.choices import BlockState
from programs.domain.days import today_of
from programs.domain.repeating import current_week
from programs.domain.sheet import sheet
from programs.models import Block

WHOLE = "all"


@login_required
@require_safe
def my_block_sheet(request: SignedInRequest, block_uuid: str) -> HttpResponse:
    return _sheet(request, Block.objects.own(request.user), block_uuid, "my-block")


@login_required
@require_safe
def block_sheet(request: SignedInRequest, block_uuid: str) -> HttpResponse:
    return _sheet(request, Block.objects.coached_by(request.user), block_uuid, "block")


def _sheet(request: SignedInRequest, blocks: Any, block_uuid: str, page: str) -> HttpResponse:
    """The newest revision alone, and only while the client may train: old paper is not printed again."""
    found = get_object_or_404(blocks.exclude(state=BlockState.DRAFT), uuid=block_uuid)
    newest = get_object_or_404(
        blocks.select_related("client__practice"), lineage=found.lineage, state=BlockState.PUBLISHED
    )
    if newest != found:
        return redirect(f"{page}-sheet", block_uuid=newest.uuid)
    now = timezone.now()
    today = today_of(newest.client, now)
    context = {"plan": newest, "client": newest.client, "back": page, "printed_at": now}
    context["number"] = emergency_number(newest.client.country_on(today))
    try:
        require_start(newest.client, on=today)
    except ClientsError as why_not:
        return render(request, "programs/block_sheet.html", context | {"why_not": why_not})
    week = _week(request.GET.get("week", ""), newest, default=current_week(newest, today))
    printed = sheet(newest, week=week, barred=barred_areas(newest.client, on=today))
    return render(request, "programs/block_sheet.html", context | {"sheet": printed})


def _week(asked: str, block: Block, *, default: int) -> int | None:
    if asked == WHOLE:
        return None
    return next((week for week in range(1, block.weeks + 1) if asked == str(week)), default)
