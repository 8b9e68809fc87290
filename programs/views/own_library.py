"""What a practice makes of the library: own movements, own lines, what it hides. For its coaches only."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clients.models import Membership, Practice
from clients.views import SignedInRequest
from programs.domain.library import current_movements
from programs.domain.own_library import (
    OwnEdge,
    add_movement,
    carried_over,
    hide_movement,
    revise_movement,
    save_line,
    show_movement,
)
from programs.errors import EditedMeanwhile, LineRefused, MovementRefused
from programs.forms import EdgeFormSet, LineForm, MovementForm, movement_initial
from programs.models import HiddenMovement, Movement, ProgressionEdge, ProgressionLine


def _house(request: SignedInRequest) -> Practice:
    """Where this person coaches; for anybody else there is no such page."""
    membership = Membership.objects.active().of(request.user).select_related("practice").order_by("pk").first()
    if membership is None:
        raise Http404
    return membership.practice


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def own_movement(request: SignedInRequest, movement_uuid: str | None = None) -> HttpResponse:
    """A new movement, our version of a shared one, or the next version of our own."""
    practice = _house(request)
    found = None
    if movement_uuid is not None:
        offered = Movement.objects.of(practice).exclude(current=None).select_related("current")
        found = get_object_or_404(offered, uuid=movement_uuid)
    form = MovementForm(
        request.POST or None, initial=movement_initial(found.current) if found and found.current else None
    )
    if request.method == "POST" and form.is_valid():
        try:
            saved = _save_movement(practice, found, form)
        except MovementRefused as refused:
            form.add_error(None, [str(refused), *refused.flaws])
        except EditedMeanwhile as refused:
            form.add_error(None, str(refused))
            # What was typed stays, and saving again means: over theirs, which was told.
            typed = request.POST.copy()
            typed["number"] = str(refused.version)
            form.data = typed
        else:
            messages.success(request, _("Saved. What was planned and logged before keeps what it said."))
            return redirect("movement", saved.uuid)
    status = 409 if form.is_bound and form.errors and form.non_field_errors() else 200
    context = {"form": form, "movement": found, "is_ours": found is not None and found.practice_id == practice.pk}
    return render(request, "programs/own_movement.html", context, status=status)


def _save_movement(practice: Practice, found: Movement | None, form: MovementForm) -> Movement:
    facts = form.facts()
    if found is not None and found.current is not None:
        facts = carried_over(found.current, facts)
    if found is not None and found.practice_id == practice.pk:
        revise_movement(found, facts=facts, seen=form.cleaned_data["number"])
        return found
    return add_movement(practice, facts=facts, like=found)


@login_required
@require_POST
def hide(request: SignedInRequest, movement_uuid: str) -> HttpResponse:
    practice = _house(request)
    movement = get_object_or_404(Movement.objects.of(practice), uuid=movement_uuid)
    if request.POST.get("show"):
        show_movement(movement, practice=practice)
        messages.success(request, _("It is offered again."))
    else:
        hide_movement(movement, practice=practice, by=request.user, at=timezone.now())
        messages.success(request, _("It is no longer offered. What was planned or logged with it stays."))
    return redirect("movement", movement.uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def lines(request: SignedInRequest) -> HttpResponse:
    practice = _house(request)
    shared, own = (
        ProgressionLine.objects.filter(practice=whose).prefetch_related(
            "edges__easier__current", "edges__harder__current"
        )
        for whose in (None, practice)
    )
    hidden = HiddenMovement.objects.filter(practice=practice).select_related("movement__current")
    context = {"shared": shared.order_by("name"), "own": own.order_by("name"), "hidden": hidden}
    return render(request, "programs/line_list.html", context)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def own_line(request: SignedInRequest, line_uuid: str | None = None) -> HttpResponse:
    practice = _house(request)
    line = get_object_or_404(ProgressionLine, practice=practice, uuid=line_uuid) if line_uuid else None
    known = current_movements(practice)
    form = LineForm(request.POST or None, initial={"name": line.name, "version": line.version} if line else None)
    edges = EdgeFormSet(
        request.POST or None,
        initial=None if request.method == "POST" else _edges(line),
        form_kwargs={"known": known},
        prefix="edge",
    )
    flaws: list[str] = []
    if request.method == "POST" and form.is_valid() and edges.is_valid():
        try:
            _save_line(practice, line, form, edges)
        except LineRefused as refused:
            flaws = [str(refused), *refused.flaws]
        except EditedMeanwhile as refused:
            flaws = [str(refused)]
            form = LineForm({"name": request.POST["name"], "version": str(refused.version)})
        else:
            messages.success(request, _("The line is saved."))
            return redirect("lines")
    names = sorted(revision.name for revision in known.values())
    context = {"form": form, "edges": edges, "line": line, "flaws": flaws, "names": names}
    return render(request, "programs/own_line.html", context, status=409 if flaws else 200)


def _save_line(practice: Practice, line: ProgressionLine | None, form: LineForm, edges: Any) -> None:
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
    save_line(practice, name=data["name"], edges=steps, line=line, seen=data["version"])


def _edges(line: ProgressionLine | None) -> list[dict[str, Any]]:
    if line is None:
        return []
    edges = ProgressionEdge.objects.filter(line=line).select_related("easier__current", "harder__current")
    return [_edge(edge) for edge in edges.order_by("pk")]


def _edge(edge: ProgressionEdge) -> dict[str, Any]:
    dose = edge.entry_dose
    amount = f"{dose['amount_low']}-{dose['amount_high']}" if dose else ""
    names = {"easier": edge.easier.current.name, "harder": edge.harder.current.name}  # type: ignore[union-attr]
    return names | {"amount": amount, "reason": edge.reason} | {k: dose.get(k) for k in ("sets", "target_rir")}
