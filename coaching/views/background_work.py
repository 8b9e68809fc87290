"""Background work that was set aside: for the owner of the practice, who can have it tried again."""

from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.db.models import F
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from clients.models import Membership
from clients.views import SignedInRequest
from coaching.domain.background_work import jobs_for, label_of, reason_in_words, trouble_for_all
from jobs import setting_aside
from jobs.clock import database_now
from jobs.models import Job

PER_PAGE = 20


@dataclass(frozen=True)
class Row:
    job: Job
    label: str
    reason: str


@login_required
@require_safe
def background_work(request: SignedInRequest) -> HttpResponse:
    if not Membership.objects.of(request.user).owners().exists():
        raise Http404
    set_aside = jobs_for(request.user).set_aside().order_by(F("seen_at").asc(nulls_first=True), "-finished_at", "-pk")
    page = Paginator(set_aside, PER_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": [Row(job, label_of(job.name), reason_in_words(job.last_error)) for job in page],
        "trouble": trouble_for_all(at=timezone.now()),
    }
    return render(request, "coaching/background_work.html", context)


@login_required
@require_POST
def try_again(request: SignedInRequest, job_uuid: str) -> HttpResponse:
    job = get_object_or_404(jobs_for(request.user), uuid=job_uuid)
    if setting_aside.try_again(job, at=database_now()):
        messages.success(request, _("It is being tried again. If that fails too, it comes back to this page."))
    else:
        messages.info(request, _("It is not set aside any more: somebody has had it tried again already."))
    return redirect("background-work")


@login_required
@require_POST
def mark_seen(request: SignedInRequest, job_uuid: str) -> HttpResponse:
    job = get_object_or_404(jobs_for(request.user), uuid=job_uuid)
    setting_aside.mark_seen(job, at=timezone.now())
    return redirect("background-work")
