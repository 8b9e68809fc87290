"""A week once more, for one client or for many. First a look at what would happen, then it is published."""

import datetime
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clients.errors import ClientsError
from clients.models import Membership
from clients.views import SignedInRequest
from programs.domain.days import today_of
from programs.domain.repeating import Repeat, coached, current_week, rehearse, repeat_week, running_blocks
from programs.errors import ProgramsError
from programs.forms import RepeatForm
from programs.models import Block

PREFIX = "take-"


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def repeat(request: SignedInRequest) -> HttpResponse:
    get_object_or_404(Membership.objects.of(request.user)[:1])
    now = timezone.now()
    form = _form(request, now)
    if request.method != "POST":
        return render(request, "programs/repeat_week.html", {"form": form})
    if not form.is_valid():
        return render(request, "programs/repeat_week.html", {"form": form}, status=422)
    if request.POST.get("do") == "publish":
        _publish(request, form, now)
        return redirect("repeat-week")
    looks = [(block, *_look(request, block, given, now)) for block, given in _repeats(form)]
    context: dict[str, Any] = {"form": form, "looks": looks}
    context["possible"] = sum(rehearsal is not None for _block, rehearsal, _why in looks)
    return render(request, "programs/repeat_week.html", context)


def _form(request: SignedInRequest, now: datetime.datetime) -> RepeatForm:
    blocks = running_blocks(request.user, at=now)
    known = {block.uuid for block in blocks}
    wanted = {_uuid(name.removeprefix(PREFIX)) for name in request.POST if name.startswith(PREFIX)}
    # Somebody may have replaced a block since the page was opened: that is told, not passed over.
    since = coached(request.user, [str(uuid) for uuid in wanted - known])
    if len(since) != len(wanted - known):
        raise Http404
    return RepeatForm(
        request.POST or None,
        blocks=[*blocks, *since],
        week_of=lambda block: current_week(block, today_of(block.client, now)),
        chosen=request.GET.get("block", ""),
    )


def _uuid(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        raise Http404 from None


def _repeats(form: RepeatForm) -> list[tuple[Block, Repeat]]:
    said = {name: form.cleaned_data[name] for name in ("message", "protected_because")}
    at_the_end = form.cleaned_data["place"] == "end"
    return [(block, Repeat(week, at_the_end=at_the_end, **said)) for block, week in form.taken()]


def _look(request: SignedInRequest, block: Block, given: Repeat, now: datetime.datetime) -> tuple[Any, str]:
    try:
        return rehearse(block, given, by=request.user, at=now), ""
    except (ProgramsError, ClientsError) as refused:
        return None, str(refused)


def _publish(request: SignedInRequest, form: RepeatForm, now: datetime.datetime) -> None:
    """Each client for themself: what is refused for one does not keep the others waiting."""
    done = []
    for block, given in _repeats(form):
        try:
            repeat_week(block, given, by=request.user, at=now)
        except (ProgramsError, ClientsError) as refused:
            messages.error(request, f"{block.client.name}: {refused}")
        else:
            done.append(block.client.name)
    if done:
        messages.success(request, _("Published for %(names)s.") % {"names": ", ".join(done)})
