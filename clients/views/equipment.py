"""The client's places, what is there, and the set-up checks."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.choices import ConsentKind, ReadKind
from clients.domain.chairs import told_about
from clients.domain.consent import has_consent
from clients.domain.equipment import (
    add_place,
    check_set_up,
    checked_until,
    close_place,
    counts_on,
    make_default,
    open_places,
    save_items,
    wants_a_check,
)
from clients.domain.history import record_read
from clients.domain.photos import keep_photo
from clients.errors import ClientsError
from clients.forms import ItemsForm, NewPlaceForm, SetUpCheckForm
from clients.models import EquipmentItem, Place, SetUpCheck
from clients.views import SignedInRequest
from clients.views.intake import own_client


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def my_places(request: SignedInRequest) -> HttpResponse:
    client = own_client(request)
    if not has_consent(client, ConsentKind.HEALTH):
        return redirect("consents")
    form = NewPlaceForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        place = add_place(client, name=form.cleaned_data["name"])
        return redirect("my-place", place_uuid=place.uuid)
    today = timezone.localdate(timezone=client.zone)
    rows = EquipmentItem.objects.of(client).present().select_related("place").order_by("kind")
    places = list(open_places(client))
    chairs = told_about(places)
    context = {
        "form": form,
        "places": [
            (place, [_row(item, today) for item in rows if item.place_id == place.pk], chairs.get(place.pk))
            for place in places
        ],
    }
    return render(request, "clients/my_places.html", context, status=422 if form.is_bound else 200)


def _row(item: EquipmentItem, today: Any) -> dict[str, Any]:
    checked = item.set_up_checked_on
    return {
        "item": item,
        "counts": counts_on(item, today),
        "wants": wants_a_check(item, today),
        "until": checked_until(checked) if checked else None,
    }


def _own_place(request: SignedInRequest, place_uuid: str) -> Place:
    return get_object_or_404(
        Place.objects.own(request.user).filter(closed_at=None).select_related("client__practice"), uuid=place_uuid
    )


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def my_place(request: SignedInRequest, place_uuid: str) -> HttpResponse:
    """What is at one place, with its details."""
    place = _own_place(request, place_uuid)
    present = {item.kind: item.attributes for item in place.items.filter(removed_at=None)}
    form = ItemsForm(request.POST or None, client=place.client, name=place.name, present=present)
    if request.method == "POST" and form.is_valid():
        Place.objects.filter(pk=place.pk).update(name=form.cleaned_data["name"])
        save_items(place, form.items(), at=timezone.now())
        messages.success(request, _("Kept."))
        return redirect("my-places")
    return render(
        request, "clients/my_place.html", {"form": form, "place": place}, status=422 if form.is_bound else 200
    )


@login_required
@require_POST
def change_place(request: SignedInRequest, place_uuid: str) -> HttpResponse:
    place = _own_place(request, place_uuid)
    try:
        if request.POST.get("do") == "close":
            close_place(place, at=timezone.now())
        else:
            make_default(place)
    except ClientsError as error:
        messages.error(request, str(error))
    return redirect("my-places")


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def set_up_check(request: SignedInRequest, item_uuid: str) -> HttpResponse:
    """What to test on one thing. It counts when everything is ticked."""
    rows = EquipmentItem.objects.own(request.user).present().select_related("place", "client__practice")
    item = get_object_or_404(rows, uuid=item_uuid)
    form = SetUpCheckForm(request.POST or None, request.FILES or None, kind=item.kind)
    if request.method == "POST" and form.is_valid():
        try:
            photo = keep_photo(form.cleaned_data["photo"], folder="checks") if form.cleaned_data["photo"] else ""
            check_set_up(item, tested=form.cleaned_data["tested"], by=request.user, at=timezone.now(), photo=photo)
        except ClientsError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("It counts for the next three months."))
            return redirect("my-places")
    context = {"form": form, "item": item, "newest": item.checks.order_by("-at").first()}
    return render(request, "clients/set_up_check.html", context, status=422 if form.is_bound else 200)


@login_required
@require_safe
def check_photo(request: SignedInRequest, check_uuid: str) -> FileResponse:
    rows = SetUpCheck.objects.visible_to(request.user).current().exclude(photo="")
    check = get_object_or_404(rows.select_related("client"), uuid=check_uuid)
    record_read(check.client, reader=request.user, kind=ReadKind.CLIENT, at=timezone.now(), subject=check.uuid)
    try:
        return FileResponse(default_storage.open(check.photo), content_type="image/jpeg")
    except FileNotFoundError as error:
        raise Http404 from error
