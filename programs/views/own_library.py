"""What a practice makes of the library: own movements, and what it hides. For its coaches only."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clients.models import Membership, Practice
from clients.views import SignedInRequest
from programs.domain.own_library import (
    add_movement,
    carried_over,
    hide_movement,
    revise_movement,
    show_movement,
)
from programs.errors import EditedMeanwhile, MovementRefused
from programs.forms import MovementForm, movement_initial
from programs.models import Movement


def own_house(request: SignedInRequest) -> Practice:
    """Where this person coaches; for anybody else there is no such page."""
    membership = Membership.objects.active().of(request.user).select_related("practice").order_by("pk").first()
    if membership is None:
        raise Http404
    return membership.practice


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def own_movement(request: SignedInRequest, movement_uuid: str | None = None) -> HttpResponse:
    """A new movement, our version of a shared one, or the next version of our own."""
    practice = own_house(request)
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
    practice = own_house(request)
    movement = get_object_or_404(Movement.objects.of(practice), uuid=movement_uuid)
    if request.POST.get("show"):
        show_movement(movement, practice=practice)
        messages.success(request, _("It is offered again."))
    else:
        hide_movement(movement, practice=practice, by=request.user, at=timezone.now())
        messages.success(request, _("It is no longer offered. What was planned or logged with it stays."))
    return redirect("movement", movement.uuid)
