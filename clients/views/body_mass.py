"""Body mass, for those who like."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clients.choices import ConsentKind
from clients.domain.body import record_body_mass, take_back_body_mass
from clients.domain.consent import has_consent
from clients.errors import ReplacedMeanwhile
from clients.forms import BodyMassForm
from clients.models import BodyMass, Client
from clients.views import SignedInRequest
from clients.views.intake import own_client

MASSES_SHOWN = 100


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def my_body_mass(request: SignedInRequest) -> HttpResponse:
    """Dated masses, for whoever likes. Not there where the coach has hidden it."""
    client = _asked_client(request)
    if not has_consent(client, ConsentKind.HEALTH):
        return redirect("consents")
    today = timezone.localdate(timezone=client.zone)
    form = BodyMassForm(request.POST or None, today=today, initial={"on": today, "mass_unit": client.mass_unit})
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        record_body_mass(client, entered=said["mass"], unit=said["mass_unit"], on=said["on"])
        messages.success(request, _("Kept."))
        return redirect("my-body-mass")
    masses = BodyMass.objects.current().filter(client=client).order_by("-on", "-pk")[:MASSES_SHOWN]
    context = {"client": client, "form": form, "masses": masses, "counts": BodyMass.objects.of(client).for_day(today)}
    return render(request, "clients/my_body_mass.html", context, status=422 if form.is_bound else 200)


@login_required
@require_POST
def take_back(request: SignedInRequest, mass_uuid: str) -> HttpResponse:
    """One's own, needing no consent: taking back says nothing new."""
    client = _asked_client(request)
    mass = get_object_or_404(BodyMass.objects.of(client).filter(erased_at=None), uuid=mass_uuid)
    try:
        take_back_body_mass(mass)
    except ReplacedMeanwhile as error:
        messages.warning(request, str(error))
    else:
        messages.success(request, _("Taken back. It counts nowhere until you tell it again."))
    return redirect("my-body-mass")


def _asked_client(request: SignedInRequest) -> Client:
    client = own_client(request)
    if client.body_mass_hidden:
        raise Http404
    return client
