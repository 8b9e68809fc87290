"""Where a client is for some days."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clients.domain.whereabouts import be_at_home, be_away
from clients.forms import WhereIAmForm
from clients.library.emergency_numbers import emergency_number
from clients.views import SignedInRequest
from clients.views.intake import own_client


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def where_i_am(request: SignedInRequest) -> HttpResponse:
    """Travelling: the emergency number follows."""
    client = own_client(request)
    today = timezone.localdate(timezone=client.zone)
    is_away = client.away_until is not None and client.away_until >= today
    if request.method == "POST" and "home" in request.POST:
        be_at_home(client)
        messages.success(request, _("Saved."))
        return redirect("where-i-am")
    initial = {"country": client.away_country, "until": client.away_until} if is_away else None
    form = WhereIAmForm(request.POST or None, today=today, initial=initial)
    if request.method == "POST" and form.is_valid():
        be_away(client, country=form.cleaned_data["country"], until=form.cleaned_data["until"])
        messages.success(request, _("Saved. The emergency number follows."))
        return redirect("where-i-am")
    here = client.country_on(today)
    context = {"client": client, "form": form, "is_away": is_away, "country": here, "number": emergency_number(here)}
    return render(request, "clients/where_i_am.html", context, status=422 if form.is_bound else 200)
