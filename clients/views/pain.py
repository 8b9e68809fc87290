"""The client tells pain: where, warning signs, soreness, how much; the published table answers. Then the morning."""

import uuid as uuids
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clients.choices import PainQuestion
from clients.domain.pain import opened_groups, report_pain
from clients.domain.screening import report_red_flags
from clients.domain.telling_pain import (
    answer_how_much,
    answer_next_morning,
    answer_no_warning_sign,
    answer_soreness,
    answer_warning_sign_ticked,
    next_question,
    pain_words,
)
from clients.domain.versions import newest
from clients.forms import HowMuchForm, MorningForm, PainWhereForm, SorenessForm
from clients.library.emergency_numbers import emergency_number
from clients.models import PainReport
from clients.views import SignedInRequest
from clients.views.intake import own_client
from methods import red_flags

PAGES = {
    PainQuestion.WARNING_SIGNS: "pain-warning-signs",
    PainQuestion.SORENESS: "pain-soreness",
    PainQuestion.HOW_MUCH: "pain-how-much",
}


def page_of(question: PainQuestion | None) -> str:
    """The name of the page that asks it, or of the one that answers when nothing is asked any more."""
    return PAGES[question] if question else "pain-told"


def onward(report: PainReport) -> HttpResponse:
    return redirect(page_of(next_question(report)), pain_uuid=report.uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def tell_pain(request: SignedInRequest) -> HttpResponse:
    """Where it hurts. Kept at once, so that nobody who stops here has told nothing."""
    client = own_client(request)
    form = PainWhereForm(request.POST or None, initial={"uuid": uuids.uuid4()})
    now = timezone.now()
    today = timezone.localdate(now, timezone=client.zone)
    if request.method == "POST" and form.is_valid():
        report = report_pain(client, **form.told(), uuid=form.cleaned_data["uuid"], on=today, by=request.user, at=now)
        return onward(newest(report))
    context = {"form": form, "number": emergency_number(client.country_on(today))}
    return render(request, "clients/pain.html", context, status=422 if form.is_bound else 200)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def tell_warning_signs(request: SignedInRequest) -> HttpResponse:
    """The whole list, for whoever feels something, without telling where it hurts first."""
    client = own_client(request)
    ticked = request.POST.getlist("red_flags")
    if request.method == "POST" and ticked:
        report_red_flags(client, items=ticked, source="pain", at=timezone.now())
        return redirect("stop-and-seek-care")
    if request.method == "POST" and "red_flags_none" in request.POST:
        return redirect("report-pain")
    is_unanswered = request.method == "POST"
    context = {"red_flag_groups": red_flags.GROUPS, "red_flags_unanswered": is_unanswered}
    return render(request, "clients/warning_signs.html", context, status=422 if is_unanswered else 200)


def _own_report(request: SignedInRequest, pain_uuid: str) -> PainReport:
    """The version that stands now, also from the page of an earlier one."""
    rows = PainReport.objects.own(request.user).filter(erased_at=None).select_related("client__practice")
    return newest(get_object_or_404(rows, uuid=pain_uuid))


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def pain_warning_signs(request: SignedInRequest, pain_uuid: str) -> HttpResponse:
    """The questions that come before anything else where it hurts. Silence is not a "no"."""
    report = _own_report(request, pain_uuid)
    now = timezone.now()
    if request.method == "POST" and (ticked := request.POST.getlist("red_flags")):
        report_red_flags(report.client, items=ticked, source="pain", at=now)
        answer_warning_sign_ticked(report, by=request.user, at=now)
        return redirect("stop-and-seek-care")
    if request.method == "POST" and "red_flags_none" in request.POST:
        return onward(answer_no_warning_sign(report, by=request.user, at=now))
    is_unanswered = request.method == "POST"
    opened = opened_groups(report)
    context = {
        "report": report,
        "first_groups": [group for group in red_flags.GROUPS if group.code in opened],
        "red_flag_groups": [group for group in red_flags.GROUPS if group.code not in opened],
        "red_flags_unanswered": is_unanswered,
    }
    return render(request, "clients/pain_warning_signs.html", context, status=422 if is_unanswered else 200)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def pain_soreness(request: SignedInRequest, pain_uuid: str) -> HttpResponse:
    report = _own_report(request, pain_uuid)
    if next_question(report) != PainQuestion.SORENESS:
        return onward(report)
    form = SorenessForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        answered = answer_soreness(report, **form.cleaned_data, by=request.user, at=timezone.now())
        if answered.said_soreness and not answered.is_soreness:
            messages.info(request, _("That is more than usual soreness, so we ask about it as about pain."))
        return onward(answered)
    return _page(request, "pain_soreness", report, form)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def pain_how_much(request: SignedInRequest, pain_uuid: str) -> HttpResponse:
    report = _own_report(request, pain_uuid)
    if next_question(report) not in {PainQuestion.SORENESS, PainQuestion.HOW_MUCH}:
        return onward(report)
    form = HowMuchForm(request.POST or None, initial={"during": report.soreness_level, "note": report.note})
    if request.method == "POST" and form.is_valid():
        return onward(answer_how_much(report, **form.cleaned_data, by=request.user, at=timezone.now()))
    return _page(request, "pain_how_much", report, form)


@login_required
@require_http_methods(["GET", "HEAD"])
def pain_told(request: SignedInRequest, pain_uuid: str) -> HttpResponse:
    report = _own_report(request, pain_uuid)
    asked = next_question(report)
    context = {"report": report, "words": pain_words(report), "asked": asked, "asked_on": page_of(asked)}
    return render(request, "clients/pain_told.html", context)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def pain_morning(request: SignedInRequest, pain_uuid: str) -> HttpResponse:
    report = _own_report(request, pain_uuid)
    if not report.owes_morning:
        return onward(report)
    form = MorningForm(request.POST or None, report=report)
    if request.method == "POST" and form.is_valid():
        return onward(answer_next_morning(report, **form.cleaned_data, by=request.user, at=timezone.now()))
    return _page(request, "pain_morning", report, form)


def _page(request: SignedInRequest, name: str, report: PainReport, form: Any) -> HttpResponse:
    context = {"report": report, "form": form}
    return render(request, f"clients/{name}.html", context, status=422 if form.is_bound else 200)
