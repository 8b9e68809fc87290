"""The last look before a block counts."""

import datetime
from collections import defaultdict

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clients.choices import ReadKind
from clients.views import SignedInRequest
from programs.domain.checking import check_block, limits_of
from programs.domain.comparing import follows_nothing
from programs.domain.outline import outline
from programs.domain.publishing import day_of, giving_way, later_blocks, publish_block
from programs.domain.rows import with_contents
from programs.errors import PlacedUnread, ReasonNeeded
from programs.forms import PublishForm
from programs.models import Block
from programs.views.blocks import attempt, coached_block, difference_from_base, note_reading, seen_version


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def publish(request: SignedInRequest, block_uuid: str) -> HttpResponse:
    block = coached_block(request, block_uuid)
    now = timezone.now()
    first_day = max(block.starts_on, timezone.localdate(now, timezone=block.client.zone))
    form = PublishForm(request.POST or None, initial={"first_day": first_day}, has_placed=bool(block.placed))
    if request.method == "POST" and form.is_valid() and _publish(request, block, form, now):
        return redirect("block", block_uuid=block.uuid)
    if not block.is_draft:
        return redirect("block", block_uuid=block.uuid)
    note_reading(request, block, ReadKind.SCREENING)
    context = _context(block, form, first_day)
    return render(request, "programs/block_publish.html", context, status=422 if form.is_bound else 200)


def _publish(request: SignedInRequest, block: Block, form: PublishForm, now: datetime.datetime) -> bool:
    def verb() -> None:
        try:
            publish_block(block, by=request.user, at=now, version=seen_version(request), **form.cleaned_data)
        except ReasonNeeded as error:
            form.add_error("protected_because", str(error))
            raise
        except PlacedUnread as error:
            form.add_error("has_read_placed", str(error))
            raise

    return attempt(request, verb, done=_("Published. The client has a letter on the way."))


def _giving_way(block: Block, first_day: datetime.date) -> list[dict[str, object]]:
    """Other blocks that lose sessions to this one, with how many and from when."""
    found: dict[str, list[datetime.date]] = defaultdict(list)
    for row in giving_way(block, from_day=first_day).select_related("session__block"):
        found[row.session.block.title].append(row.on)
    return [
        {"title": title, "sessions": len(days), "first": min(days), "last": max(days)} for title, days in found.items()
    ]


def _taken(block: Block, first_day: datetime.date) -> list[dict[str, object]]:
    """Blocks that came after this one and keep their days, with how many of its sessions would have stood there."""
    days = [day_of(block, session) for session in block.sessions.filter(week__lte=block.weeks)]
    found = [
        (other.title, sum(other.starts_on <= day <= other.ends_on for day in days if day >= first_day))
        for other in later_blocks(block)
    ]
    return [{"title": title, "sessions": sessions} for title, sessions in found if sessions]


def _context(block: Block, form: PublishForm, first_day: datetime.date) -> dict[str, object]:
    limits = limits_of(block.client, on=first_day)
    remarks = check_block(with_contents(block.sessions.all()), limits)
    return {
        "plan": block,
        "client": block.client,
        "form": form,
        "limits": limits,
        "remarks": list(remarks.items()),
        "is_stopped": bool(limits.no_start) or any(remark.stops for remark in remarks),
        "weeks": outline(block),
        "difference": difference_from_base(block),
        "is_first": follows_nothing(block),
        "giving_way": _giving_way(block, first_day),
        "taken": _taken(block, first_day),
    }
