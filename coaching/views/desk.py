"""The coach's desk: who needs me, in what order and why."""

import datetime
import uuid
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import BadRequest
from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clients.models import Client, Membership
from clients.views import SignedInRequest
from coaching.choices import AttentionAnswer
from coaching.domain.background_work import count_undone
from coaching.domain.deciding import answer_attention
from coaching.models import AttentionItem
from coaching.queries import (
    MOST_COUNTED,
    DeskPlace,
    attention_count,
    attention_of,
    attention_page,
    owed_answers,
)

LATER_DAYS = 7


@login_required
@require_GET
def home(request: SignedInRequest) -> HttpResponse:
    """To where this person's day starts."""
    if Membership.objects.of(request.user).exists():
        return redirect("desk")
    if Client.objects.own(request.user).exists():
        return redirect("my-home")
    return render(request, "coaching/nobody.html")


@login_required
@require_GET
def desk(request: SignedInRequest) -> HttpResponse:
    if not Membership.objects.of(request.user).exists():
        raise Http404
    now = timezone.now()
    after = _place(request.GET.get("after", ""))
    page = attention_page(request.user, today=timezone.localdate(now), after=after)
    context: dict[str, Any] = {"page": page, "after": after}
    if request.htmx:
        return render(request, "coaching/desk.html#further", context)
    context |= {"owed": owed_answers(request.user, at=now), "undone": count_undone(request.user), "now": now}
    return render(request, "coaching/desk.html", context | _counted(request, now))


def _place(text: str) -> DeskPlace | None:
    try:
        return DeskPlace.read(text) if text else None
    except ValueError as error:
        raise BadRequest("There is no such place on the desk.") from error


def _counted(request: SignedInRequest, now: datetime.datetime) -> dict[str, int]:
    count = attention_count(request.user, today=timezone.localdate(now))
    return {"count": count, "most_counted": MOST_COUNTED}


@login_required
@require_POST
def put_away(request: SignedInRequest, item_uuid: str) -> HttpResponse:
    said = request.POST.get("answer", AttentionAnswer.HANDLED)
    if said not in AttentionAnswer.values:
        raise BadRequest("There is no such answer.")
    item = _items(request).filter(uuid=item_uuid).first()
    if item is None:
        return _changed_meanwhile(request)
    answer = AttentionAnswer(said)
    now = timezone.now()
    until = timezone.localdate(now) + datetime.timedelta(days=LATER_DAYS) if answer == AttentionAnswer.LATER else None
    answer_attention(item, answer=answer, until=until, by=request.user, at=now)
    if request.htmx:
        return _row(request, item.client)
    messages.success(request, _("Put away. It comes back when its numbers change."))
    return _back(request)


def _items(request: SignedInRequest) -> QuerySet[AttentionItem]:
    return AttentionItem.objects.coached_by(request.user).select_related("client")


def _changed_meanwhile(request: SignedInRequest) -> HttpResponse:
    """The reason that was on the page has newer numbers, or is gone: nothing is put away unseen."""
    client = get_object_or_404(Client.objects.coached_by(request.user), uuid=_uuid(request.POST.get("client", "")))
    if request.htmx:
        return _row(request, client, changed=True)
    messages.warning(request, _("This had changed meanwhile, and was not put away."))
    return _back(request)


def _uuid(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None


def _row(request: SignedInRequest, client: Client, *, changed: bool = False) -> HttpResponse:
    """What stands now where the client's row was."""
    now = timezone.now()
    row = attention_of(client, today=timezone.localdate(now))
    context = {"row": row, "after": request.POST.get("after", ""), "changed": changed, "answered": True}
    return render(request, "coaching/desk.html#answer", context | _counted(request, now))


def _back(request: SignedInRequest) -> HttpResponse:
    """To the page of the list that this came from."""
    after = _place(request.POST.get("after", ""))
    return redirect(reverse("desk") + (f"?after={after}" if after else "") + "#attention")
