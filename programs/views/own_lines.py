"""The lines a practice works with: the shared ones, its own, and its version of a shared one. For its coaches only."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clients.models import Practice
from clients.views import SignedInRequest
from programs.domain.library import current_movements
from programs.domain.own_lines import OwnEdge, remove_line, save_line, without_step
from programs.errors import EditedMeanwhile, LineRefused
from programs.forms import EdgeFormSet, LineForm
from programs.models import HiddenMovement, Movement, MovementRevision, ProgressionEdge, ProgressionLine
from programs.views.own_library import own_house


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def lines(request: SignedInRequest) -> HttpResponse:
    practice = own_house(request)
    offered = ProgressionLine.objects.offered_by(practice).order_by("name")
    found = list(offered.prefetch_related("edges__easier__current", "edges__harder__current"))
    shared_slugs = set(ProgressionLine.objects.filter(practice=None).values_list("slug", flat=True))
    context = {
        "shared": [(line, _steps(line)) for line in found if line.practice_id is None],
        "own": [(line, line.slug in shared_slugs) for line in found if line.practice_id is not None],
        "hidden": HiddenMovement.objects.filter(practice=practice).select_related("movement__current"),
    }
    return render(request, "programs/line_list.html", context)


def _steps(line: ProgressionLine) -> list[Movement]:
    """Its movements in the order in which the line names them."""
    edges = list(line.edges.all())
    return list({movement.pk: movement for edge in edges for movement in (edge.easier, edge.harder)}.values())


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def own_line(request: SignedInRequest, line_uuid: str | None = None) -> HttpResponse:
    """A new line of ours, or the next version of one."""
    practice = own_house(request)
    line = get_object_or_404(ProgressionLine, practice=practice, uuid=line_uuid) if line_uuid else None
    return _editor(request, practice, line=line)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def our_line(request: SignedInRequest, line_uuid: str) -> HttpResponse:
    """Our version of a shared line; `without` leaves a step out, for the coach to look over and save."""
    practice = own_house(request)
    like = get_object_or_404(ProgressionLine, practice=None, uuid=line_uuid)
    ours = ProgressionLine.objects.filter(practice=practice, slug=like.slug).first()
    if ours is not None:
        return redirect("own-line", ours.uuid)
    return _editor(request, practice, like=like)


@login_required
@require_POST
def remove(request: SignedInRequest, line_uuid: str) -> HttpResponse:
    practice = own_house(request)
    line = get_object_or_404(ProgressionLine, practice=practice, uuid=line_uuid)
    try:
        remove_line(practice, line)
    except LineRefused as refused:
        messages.error(request, " ".join([str(refused), *(str(flaw) for flaw in refused.flaws)]))
        return redirect("own-line", line.uuid)
    messages.success(request, _("The line is gone. What was planned and logged stays."))
    return redirect("lines")


def _editor(
    request: SignedInRequest,
    practice: Practice,
    *,
    line: ProgressionLine | None = None,
    like: ProgressionLine | None = None,
) -> HttpResponse:
    known = current_movements(practice)
    shown = line or like
    initial = {"name": shown.name, "version": line.version if line else 0} if shown else None
    form = LineForm(request.POST or None, initial=initial)
    edges = EdgeFormSet(
        request.POST or None,
        initial=None if request.method == "POST" else _edges(shown, known, request.GET.get("without", "")),
        form_kwargs={"known": known},
        prefix="edge",
    )
    flaws: list[str] = []
    if request.method == "POST" and form.is_valid() and edges.is_valid():
        try:
            _save_line(practice, line, like, form, edges)
        except LineRefused as refused:
            flaws = [str(refused), *refused.flaws]
        except EditedMeanwhile as refused:
            flaws = [str(refused)]
            form = LineForm({"name": request.POST["name"], "version": str(refused.version)})
        else:
            messages.success(request, _("The line is saved."))
            return redirect("lines")
    names = sorted(revision.name for revision in known.values())
    context = {"form": form, "edges": edges, "line": line, "like": like, "flaws": flaws, "names": names}
    return render(request, "programs/own_line.html", context, status=409 if flaws else 200)


def _save_line(
    practice: Practice, line: ProgressionLine | None, like: ProgressionLine | None, form: LineForm, edges: Any
) -> None:
    movements = {name: revision.movement for name, revision in current_movements(practice).items()}
    steps = [
        OwnEdge(
            movements[row.cleaned_data["easier"].lower()],
            movements[row.cleaned_data["harder"].lower()],
            row.dose(),
            row.cleaned_data["reason"],
        )
        for row in edges
        if row.cleaned_data.get("easier")
    ]
    data = form.cleaned_data
    save_line(practice, name=data["name"], edges=steps, line=line, like=like, seen=data["version"])


def _edges(line: ProgressionLine | None, known: dict[str, MovementRevision], without: str) -> list[dict[str, Any]]:
    """The steps of a line for its form. What the practice hid, and the step to leave out, are stepped over."""
    if line is None:
        return []
    rows = ProgressionEdge.objects.filter(line=line).select_related("easier__current", "harder__current")
    edges = [OwnEdge(row.easier, row.harder, row.entry_dose, row.reason) for row in rows.order_by("pk")]
    offered = {revision.movement.slug for revision in known.values()}
    for step in {movement for edge in edges for movement in (edge.easier, edge.harder)}:
        if step.slug not in offered or str(step.uuid) == without:
            edges = without_step(edges, step)
    names = {revision.movement.slug: revision.name for revision in known.values()}
    return [_edge(edge, names) for edge in edges]


def _edge(edge: OwnEdge, names: dict[str, str]) -> dict[str, Any]:
    dose = edge.entry_dose
    amount = f"{dose['amount_low']}-{dose['amount_high']}" if dose else ""
    ends = {"easier": names[edge.easier.slug], "harder": names[edge.harder.slug]}
    return ends | {"amount": amount, "reason": edge.reason} | {k: dose.get(k) for k in ("sets", "target_rir")}
