"""The coach's desk: who needs me, in what order and why."""

import datetime

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import BadRequest
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clients.models import Client, Membership
from clients.views import SignedInRequest
from coaching.choices import AttentionAnswer
from coaching.domain.background_work import count_undone
from coaching.domain.deciding import answer_attention
from coaching.models import AttentionItem
from coaching.queries import attention_list
from submissions.models import Submission

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
    waiting = Submission.objects.coached_by(request.user).waiting()
    context = {
        "rows": attention_list(request.user, today=timezone.localdate(now)),
        "waiting": waiting.count(),
        "late": waiting.filter(due_at__lt=now).count(),
        "next_due": waiting.in_queue_order().select_related("client").first(),
        "undone": count_undone(request.user),
        "now": now,
    }
    template = "coaching/desk.html#attention" if request.htmx else "coaching/desk.html"
    return render(request, template, context)


@login_required
@require_POST
def put_away(request: SignedInRequest, item_uuid: str) -> HttpResponse:
    item = get_object_or_404(AttentionItem.objects.coached_by(request.user).select_related("client"), uuid=item_uuid)
    said = request.POST.get("answer", AttentionAnswer.HANDLED)
    if said not in AttentionAnswer.values:
        raise BadRequest("There is no such answer.")
    answer = AttentionAnswer(said)
    now = timezone.now()
    until = timezone.localdate(now) + datetime.timedelta(days=LATER_DAYS) if answer == AttentionAnswer.LATER else None
    answer_attention(item, answer=answer, until=until, by=request.user, at=now)
    if request.htmx:
        rows = attention_list(request.user, today=timezone.localdate(now))
        return render(request, "coaching/desk.html#attention", {"rows": rows})
    messages.success(request, _("Put away. It comes back when its numbers change."))
    return redirect("desk")
