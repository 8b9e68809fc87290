"""One client's progress, the decisions on suggestions, and the next block."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clients.choices import ReadKind
from clients.domain.history import record_read
from clients.models import Client
from clients.views import SignedInRequest
from clients.views.intake import own_client
from coaching.charts import Chart, bar_chart, dot_chart
from coaching.choices import Decided
from coaching.domain.deciding import decide_suggestion, dose_from
from coaching.domain.next_block import draft_next_block, open_draft
from coaching.domain.observing import series_of
from coaching.domain.suggesting import running_block
from coaching.errors import CoachingError
from coaching.forms import DecisionForm
from coaching.models import AttentionItem, Observation, Suggestion, SuggestionDecision, WeeklyRow
from coaching.words import dose_in_words, evidence_in_words

WEEKS_SHOWN = 14


@dataclass
class SuggestionRow:
    """A suggestion as the page shows it."""

    suggestion: Suggestion
    from_words: str
    to_words: str
    decision: SuggestionDecision | None
    form: DecisionForm
    evidence: list[tuple[str, str]]

    @property
    def is_outdated(self) -> bool:
        """Decided on other numbers than the rules see now."""
        return self.decision is not None and self.decision.suggestion["to_dose"] != self.suggestion.to_dose


def suggestion_rows(client: Client, bound: DecisionForm | None = None) -> list[SuggestionRow]:
    decisions = {d.key: d for d in SuggestionDecision.objects.current().filter(client=client).select_related("by")}
    return [
        SuggestionRow(
            suggestion,
            dose_in_words(suggestion.from_dose, unit=client.mass_unit),
            _to_words(suggestion, client.mass_unit),
            decisions.get(suggestion.key),
            bound
            if bound and bound.suggestion.pk == suggestion.pk
            else DecisionForm(suggestion=suggestion, unit=client.mass_unit),
            evidence_in_words(suggestion.numbers),
        )
        for suggestion in Suggestion.objects.of(client)
    ]


def _to_words(suggestion: Suggestion, unit: str) -> str:
    movement = suggestion.numbers.get("to_movement")
    if movement:
        return _("%(movement)s, from its entry dose") % {"movement": movement}
    if dose_from(suggestion.to_dose).sets == 0:
        return _("leave it out")
    return dose_in_words(suggestion.to_dose, unit=unit)


def charts_of(client: Client) -> list[Chart]:
    """Weekly bars, then a dot chart per movement: the last fourteen weeks."""
    weeks = list(WeeklyRow.objects.of(client).order_by("-monday")[:WEEKS_SHOWN])[::-1]
    labels = [date_format(week.monday, "j M") for week in weeks]
    bars = [
        bar_chart(_("Hard sets a week"), _("sets"), [*zip(labels, (w.hard_sets for w in weeks), strict=True)]),
        bar_chart(_("Session load a week"), "AU", [*zip(labels, (w.session_load_au for w in weeks), strict=True)]),
        bar_chart(_("Sessions done a week"), _("sessions"), [*zip(labels, (w.done for w in weeks), strict=True)]),
        bar_chart(_("Most pain told a week"), _("of 10"), [*zip(labels, (w.pain_max for w in weeks), strict=True)]),
    ]
    since = weeks[0].monday if weeks else None
    units = {"kg": _("kg, estimated one-rep max of the system"), "reps": _("best reps"), "s": _("best seconds")}
    dots = [
        dot_chart(
            series.movement_name,
            units[series.unit],
            [(date_format(e.day, "j M"), round(e.value, 1)) for e in series.exposures if not since or e.day >= since],
        )
        for series in series_of(client)
        if len(series.exposures) > 1
    ]
    return [*bars, *dots]


@login_required
@require_GET
def client_progress(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = _coached(request, client_uuid)
    record_read(client, reader=request.user, kind=ReadKind.PROGRESS, at=timezone.now())
    return render(request, "coaching/client.html", _context(client))


def _coached(request: SignedInRequest, client_uuid: str) -> Client:
    return get_object_or_404(Client.objects.coached_by(request.user).select_related("practice"), uuid=client_uuid)


def _context(client: Client, bound: DecisionForm | None = None) -> dict[str, Any]:
    rows = suggestion_rows(client, bound)
    block = running_block(client, today=timezone.localdate(timezone=client.zone))
    return {
        "client": client,
        "running": block,
        "items": AttentionItem.objects.of(client),
        "rows": rows,
        "undecided": sum(row.decision is None for row in rows),
        "draft": open_draft(client),
        "observations": Observation.objects.of(client).order_by("movement_name"),
        "charts": charts_of(client),
        "weeks": WeeklyRow.objects.of(client).order_by("-monday")[:WEEKS_SHOWN],
    }


@login_required
@require_POST
def decide(request: SignedInRequest, suggestion_uuid: str) -> HttpResponse:
    suggestion = get_object_or_404(
        Suggestion.objects.coached_by(request.user).select_related("client__practice"), uuid=suggestion_uuid
    )
    client = suggestion.client
    form = DecisionForm(request.POST, suggestion=suggestion, unit=client.mass_unit)
    if form.is_valid():
        decided = Decided(form.cleaned_data["decided"])
        try:
            decide_suggestion(
                suggestion,
                decided=decided,
                dose=form.edited_dose() if decided == Decided.EDITED else None,
                reason=form.cleaned_data["reason"],
                by=request.user,
                at=timezone.now(),
            )
        except CoachingError as error:
            form.add_error("reason", str(error))
    if form.is_valid() and not request.htmx:
        return redirect(f"{reverse('client', args=[client.uuid])}#suggestion-{suggestion.uuid}")
    bound = None if form.is_valid() else form
    template = "coaching/client.html#suggestions" if request.htmx else "coaching/client.html"
    status = 200 if form.is_valid() or request.htmx else 422
    return render(request, template, _context(client, bound), status=status)


@login_required
@require_POST
def decide_all(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    """Accept everything that is not decided yet, in one go: what was read above."""
    client = _coached(request, client_uuid)
    for row in suggestion_rows(client):
        if row.decision is None:
            decide_suggestion(row.suggestion, decided=Decided.ACCEPTED, by=request.user, at=timezone.now())
    return redirect("client", client_uuid=client.uuid)


@login_required
@require_POST
def next_block(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = _coached(request, client_uuid)
    today = timezone.localdate(timezone=client.zone)
    try:
        draft = draft_next_block(client, by=request.user, today=today)
    except CoachingError as error:
        messages.warning(request, str(error))
        return redirect("client", client_uuid=client.uuid)
    return redirect("publish-block", draft.uuid)


@login_required
@require_GET
def my_progress(request: SignedInRequest) -> HttpResponse:
    client = own_client(request)
    return render(request, "coaching/my_progress.html", {"client": client, "charts": charts_of(client)})
