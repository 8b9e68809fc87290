"""The client's own baseline: the list of tests, one test a page, and what came of earlier ones."""

import uuid

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.choices import ConsentKind
from clients.domain.consent import has_consent
from clients.errors import ClientsError
from clients.views import SignedInRequest
from clients.views.intake import own_client
from programs.choices import BaselineSkip, BaselineStop
from programs.domain import baseline
from programs.domain.baseline_page import OneTest, one_test, preview, run_page
from programs.domain.baseline_reading import histories, person_of
from programs.domain.days import today_of
from programs.errors import ProgramsError
from programs.forms.baseline import BaselineSkipForm, BaselineTestForm, TablesForm, initial_of_test
from programs.library.battery import STOP_RULES
from programs.models import BaselineRun, BaselineTest


@login_required
@require_safe
def my_baseline(request: SignedInRequest) -> HttpResponse:
    """What was asked, the run under way, and all results so far."""
    client = own_client(request)
    if not has_consent(client, ConsentKind.HEALTH):
        return redirect("consents")
    today = today_of(client, timezone.now())
    sex = baseline.sex_for_norms(client)
    run = baseline.run_under_way(client)
    context = {
        "client": client,
        "asked": baseline.open_request(client),
        "run": run,
        "preview": None if run else preview(client, on=today),
        "new_id": uuid.uuid4(),
        "histories": histories(client, person_of(client, sex or "")),
        "tables_form": TablesForm(initial={"sex": sex or ""}),
    }
    return render(request, "programs/baseline_mine.html", context)


@login_required
@require_POST
def start_baseline(request: SignedInRequest) -> HttpResponse:
    client = own_client(request)
    try:
        run = baseline.start_run(client, uuid=_id_in(request), by=request.user, at=timezone.now())
    except (ClientsError, ProgramsError) as refused:
        messages.error(request, str(refused))
        return redirect("my-baseline")
    return redirect("baseline-run", run_uuid=run.uuid)


def _id_in(request: SignedInRequest) -> uuid.UUID:
    try:
        return uuid.UUID(request.POST.get("uuid", ""))
    except ValueError as wrong:
        raise Http404 from wrong


def _own_run(request: SignedInRequest, run_uuid: str) -> BaselineRun:
    runs = BaselineRun.objects.own(request.user).filter(erased_at=None).select_related("client__practice")
    return get_object_or_404(runs, uuid=run_uuid)


@login_required
@require_safe
def baseline_run(request: SignedInRequest, run_uuid: str) -> HttpResponse:
    run = _own_run(request, run_uuid)
    page = run_page(run, on=today_of(run.client, timezone.now()))
    return render(request, "programs/baseline_run.html", {"page": page, "run": run, "stop_rules": STOP_RULES})


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def baseline_test(request: SignedInRequest, run_uuid: str, test: str) -> HttpResponse:
    """One test: how it goes, when to stop, and what came of it. Kept when it is sent."""
    run = _own_run(request, run_uuid)
    page = one_test(run, test, request.GET.get("side", ""), on=today_of(run.client, timezone.now()))
    if page is None:
        raise Http404
    form, skip = _forms(request, run, page)
    sent = form if form.is_bound else skip
    told = _told(sent, page) if request.method == "POST" else None
    if told is not None:
        try:
            row = baseline.tell_test(run, told, by=request.user, at=timezone.now())
        except (ClientsError, ProgramsError) as refused:
            sent.add_error(None, str(refused))
        else:
            return _onward(request, row)
    context = {"page": page, "run": run, "form": form, "skip": skip, "stop_rules": STOP_RULES}
    return render(request, "programs/baseline_test.html", context, status=422 if request.method == "POST" else 200)


def _forms(request: SignedInRequest, run: BaselineRun, page: OneTest) -> tuple[BaselineTestForm, BaselineSkipForm]:
    is_skip = "leave_out" in request.POST
    earlier = BaselineTest.objects.current().filter(client=run.client, test=page.test.code, state="done")
    initial = initial_of_test(page, earlier.order_by("-on", "-pk").first()) | {"uuid": uuid.uuid4()}
    sent = request.POST if request.method == "POST" else None
    return (
        BaselineTestForm(None if is_skip else sent, page=page, initial=initial),
        BaselineSkipForm(sent if is_skip else None, initial={"uuid": uuid.uuid4()}, auto_id="skip_%s"),
    )


def _told(form: BaselineTestForm | BaselineSkipForm, page: OneTest) -> baseline.Told | None:
    if not form.is_valid():
        return None
    return form.told(page) if isinstance(form, BaselineSkipForm) else form.told()


def _onward(request: SignedInRequest, row: BaselineTest) -> HttpResponse:
    """What went wrong comes before the next test."""
    messages.success(request, _("Saved."))
    if row.stopped_because in baseline.WARNING_SIGNS:
        return redirect("stop-and-seek-care")
    if row.stopped_because in baseline.HALTS:
        return redirect("warning-signs")
    if row.hurt or row.stopped_because == BaselineStop.PAIN or row.skip_reason == BaselineSkip.PAIN:
        messages.info(request, _("Where does it hurt? Your tests wait meanwhile."))
        return redirect("report-pain")
    return redirect("baseline-run", run_uuid=row.run.uuid)


@login_required
@require_POST
def finish_baseline(request: SignedInRequest, run_uuid: str) -> HttpResponse:
    run = _own_run(request, run_uuid)
    try:
        baseline.finish_run(run, at=timezone.now())
    except ProgramsError:
        messages.error(request, _("Nothing is told yet. Do a test, or leave one out with a reason."))
        return redirect("baseline-run", run_uuid=run.uuid)
    messages.success(request, _("Finished. Your coach sees it."))
    return redirect("my-baseline")


@login_required
@require_POST
def baseline_tables(request: SignedInRequest) -> HttpResponse:
    client = own_client(request)
    form = TablesForm(request.POST)
    if not has_consent(client, ConsentKind.HEALTH) or not form.is_valid():
        messages.error(request, _("That was not one of the choices."))
        return redirect("my-baseline")
    baseline.tell_sex_for_norms(client, sex=form.cleaned_data["sex"], by=request.user, at=timezone.now())
    messages.success(request, _("Saved."))
    return redirect("my-baseline")
