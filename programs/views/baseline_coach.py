"""A client's baseline for their coach: asking for one, what came of it, and the maxima that percentages go by."""

import datetime
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clients.choices import ReadKind
from clients.domain.history import record_read
from clients.models import Client, User
from clients.views import SignedInRequest
from programs.domain import baseline
from programs.domain.baseline_maxima import max_histories, max_words, set_reference_max, take_max_back
from programs.domain.baseline_page import preview
from programs.domain.baseline_reading import histories, person_of
from programs.domain.days import today_of
from programs.domain.library import current_movements
from programs.domain.resolving import WITH_A_LOAD
from programs.errors import ProgramsError
from programs.forms.baseline import AskForBaselineForm, ReferenceMaxForm
from programs.models import ReferenceMax


def _coached(request: SignedInRequest, client_uuid: str) -> Client:
    return get_object_or_404(Client.objects.coached_by(request.user).select_related("practice"), uuid=client_uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def client_baseline(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    """Results, norms and maxima; a form sets a maximum."""
    client = _coached(request, client_uuid)
    now = timezone.now()
    today = today_of(client, now)
    movements = {
        name: revision
        for name, revision in current_movements(client.practice).items()
        if revision.load_kind in WITH_A_LOAD
    }
    form = ReferenceMaxForm(request.POST or None, movements=movements, unit=client.mass_unit, today=today)
    if request.method == "POST" and form.is_valid() and _set(form, client, by=request.user, at=now):
        messages.success(request, _("Saved. What was published stays as it is."))
        return redirect("client-baseline", client_uuid=client.uuid)
    record_read(client, reader=request.user, kind=ReadKind.CLIENT, at=now)
    context = _context(client, today) | {"form": form, "names": sorted(one.name for one in movements.values())}
    return render(request, "programs/baseline_client.html", context, status=422 if form.is_bound else 200)


def _set(form: ReferenceMaxForm, client: Client, *, by: User, at: datetime.datetime) -> bool:
    said = form.cleaned_data
    try:
        set_reference_max(client, said["movement"], form.told(), on=said["on"], by=by, at=at)
    except ProgramsError as refused:
        form.add_error(None, str(refused))
        return False
    return True


def _context(client: Client, today: datetime.date) -> dict[str, Any]:
    sex = baseline.sex_for_norms(client)
    run = baseline.run_under_way(client)
    return {
        "client": client,
        "asked": baseline.open_request(client),
        "ask_form": AskForBaselineForm(),
        "run": run,
        "told": [] if run is None else baseline.results_of(run),
        "preview": preview(client, on=today),
        "histories": histories(client, person_of(client, sex or "")),
        "maxima": [
            (history.current, [(max_words(row), row, words) for row, words in history.shown])
            for history in max_histories(client)
        ],
    }


@login_required
@require_POST
def ask_for_baseline(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = _coached(request, client_uuid)
    form = AskForBaselineForm(request.POST)
    if "take_back" in request.POST:
        baseline.take_request_back(client, by=request.user, at=timezone.now())
        messages.success(request, _("Taken back."))
    elif form.is_valid():
        words = form.cleaned_data["words"]
        baseline.ask_for_baseline(client, words=words, by=request.user, at=timezone.now())
        messages.success(request, _("Asked. It stands on the client's first page."))
    else:
        messages.error(request, _("At most 500 characters, please."))
    return redirect("client-baseline", client_uuid=client.uuid)


@login_required
@require_POST
def take_back_max(request: SignedInRequest, max_uuid: str) -> HttpResponse:
    maxima = ReferenceMax.objects.coached_by(request.user).filter(erased_at=None, is_current=True, is_withdrawn=False)
    reference = get_object_or_404(maxima.select_related("client"), uuid=max_uuid)
    take_max_back(reference, by=request.user, at=timezone.now())
    messages.success(request, _("Taken back. Published loads stay as they are."))
    return redirect("client-baseline", client_uuid=reference.client.uuid)
