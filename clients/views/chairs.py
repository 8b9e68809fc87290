"""The coach's say on chairs that carry a dip or a row, for one client and place."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clients.choices import ReadKind
from clients.domain.chairs import permission_at, say_chairs
from clients.domain.history import record_read
from clients.errors import ReplacedMeanwhile
from clients.forms import ChairsForm
from clients.models import ChairPermission, Place, User
from clients.views import SignedInRequest


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def chairs(request: SignedInRequest, place_uuid: str) -> HttpResponse:
    places = Place.objects.coached_by(request.user).filter(closed_at=None).select_related("client__practice")
    place = get_object_or_404(places, uuid=place_uuid)
    standing = permission_at(place)
    form = ChairsForm(request.POST or None, initial={"seen": standing.uuid if standing else None})
    if request.method == "POST" and form.is_valid() and _say(form, place, by=request.user):
        messages.success(request, _("Kept. Plans and suggestions go by it from now on."))
        return redirect("client-safety", place.client.uuid)
    record_read(place.client, reader=request.user, kind=ReadKind.CLIENT, at=timezone.now())
    context = {
        "form": form,
        "place": place,
        "client": place.client,
        "standing": standing,
        "said": ChairPermission.objects.of(place.client).filter(place=place, erased_at=None).order_by("-at", "-pk"),
    }
    return render(request, "clients/chairs.html", context, status=422 if form.is_bound else 200)


def _say(form: ChairsForm, place: Place, *, by: User) -> bool:
    data = form.cleaned_data
    seen = ChairPermission.objects.of(place.client).filter(place=place, uuid=data["seen"]).first()
    try:
        say_chairs(place, allowed=data["allowed"], why=data["why"], seen=seen, by=by, at=timezone.now())
    except ReplacedMeanwhile as refused:
        form.add_error(None, str(refused))
        return False
    return True
