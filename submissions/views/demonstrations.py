"""A practice's own clip of a movement: watched by its people and its clients, sent and taken away by its coaches."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.models import Membership, Practice
from clients.views import SignedInRequest
from programs.models import Movement
from submissions.domain.demonstrations import (
    Film,
    erase_demonstration,
    failure_words,
    receive_demonstration,
    withdraw_demonstration,
)
from submissions.errors import SubmissionsError
from submissions.forms import DemonstrationForm
from submissions.models import DemonstrationClip
from submissions.views.clips import send_file


def _house(request: SignedInRequest) -> Practice | None:
    """Where this person coaches, if anywhere."""
    membership = Membership.objects.active().of(request.user).select_related("practice").order_by("pk").first()
    return membership.practice if membership else None


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def demonstration(request: SignedInRequest, movement_uuid: str) -> HttpResponse:
    """The film, as a page or as the part of one; for a coach also the older ones, and a form for the next."""
    seen = Movement.objects.visible_to(request.user).exclude(current=None).select_related("current")
    movement = get_object_or_404(seen, uuid=movement_uuid)
    house = _house(request)
    form = DemonstrationForm(request.POST or None, request.FILES or None) if house else None
    if request.method == "POST" and house and form and form.is_valid() and _receive(request, house, movement, form):
        messages.success(request, _("The clip is being prepared. It is shown as soon as it is ready."))
        return redirect("demonstration", movement.uuid)
    clips = DemonstrationClip.objects.visible_to(request.user).of(movement)
    ours = clips.filter(practice=house)
    film = ours.shown().first() or clips.shown().first()
    is_part = bool(request.headers.get("HX-Request"))
    context: dict[str, Any] = {"movement": movement, "form": form, "film": film, "is_part": is_part}
    if house:
        told = ours.filter(erased_at=None).select_related("by").order_by("-received_at", "-pk")
        context["versions"] = [(clip, failure_words(clip) if clip.failure else "") for clip in told]
    template = "submissions/demonstration.html"
    status = 422 if form is not None and form.is_bound else 200
    return render(request, f"{template}#film" if is_part else template, context, status=status)


def _receive(request: SignedInRequest, house: Practice, movement: Movement, form: DemonstrationForm) -> bool:
    sent = form.cleaned_data["film"]
    film = Film(sent.size, sent.chunks())
    words = form.cleaned_data["words"]
    try:
        receive_demonstration(house, movement, film=film, words=words, by=request.user, at=timezone.now())
    except SubmissionsError as refused:
        form.add_error("film", str(refused))
        return False
    return True


@login_required
@require_POST
def change(request: SignedInRequest, clip_uuid: str) -> HttpResponse:
    """No longer show a film, or erase it for good."""
    clips = DemonstrationClip.objects.coached_by(request.user).filter(erased_at=None).select_related("movement")
    clip = get_object_or_404(clips, uuid=clip_uuid)
    if request.POST.get("do") == "erase":
        erase_demonstration(clip, at=timezone.now())
        messages.success(request, _("The clip and its files are gone."))
    else:
        withdraw_demonstration(clip, at=timezone.now())
        messages.success(request, _("It is no longer shown."))
    return redirect("demonstration", clip.movement.uuid)


@login_required
@require_safe
def film(request: SignedInRequest, clip_uuid: str) -> HttpResponseBase:
    return send_file(request, _stored(request, clip_uuid).review_copy, "video/mp4")


@login_required
@require_safe
def poster(request: SignedInRequest, clip_uuid: str) -> HttpResponseBase:
    return send_file(request, _stored(request, clip_uuid).poster, "image/jpeg")


def _stored(request: SignedInRequest, clip_uuid: str) -> DemonstrationClip:
    """What is shown; for the practice's coaches also what no longer is."""
    shown = DemonstrationClip.objects.visible_to(request.user).shown()
    ours = DemonstrationClip.objects.coached_by(request.user).filter(state="ready")
    return get_object_or_404(DemonstrationClip.objects.filter(pk__in=(shown | ours).values("pk")), uuid=clip_uuid)
