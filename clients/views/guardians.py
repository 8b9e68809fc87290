"""The guardian's path: the client asks, the guardian decides on a page behind a letter."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clients.domain.guardians import ask_guardian, decide, guardian_missing, newest_decision, request_behind
from clients.errors import GuardianIsTheClient, GuardianLinkNotOpen
from clients.forms import GuardianForm, GuardianPhoneForm
from clients.library.consents import GUARDIAN_CONSENT
from clients.models import GuardianRequest
from clients.views import SignedInRequest
from clients.views.intake import own_client


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def guardian_needed(request: SignedInRequest) -> HttpResponse:
    client = own_client(request)
    if not guardian_missing(client):
        return redirect("intake")
    form = GuardianForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            ask_guardian(client, **form.cleaned_data, at=timezone.now())
        except GuardianIsTheClient as error:
            form.add_error("email", str(error))
        else:
            messages.success(request, _("The letter goes to %(email)s.") % {"email": form.cleaned_data["email"]})
            return redirect("guardian-needed")
    context = {
        "practice": client.practice,
        "form": form,
        "asked": GuardianRequest.objects.of(client).filter(revoked_at=None).order_by("-sent_at").first(),
        "decision": newest_decision(client),
    }
    return render(request, "clients/guardian_needed.html", context, status=422 if form.is_bound else 200)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def guardian(request: HttpRequest, token: str) -> HttpResponse:
    """Opening the page decides nothing; the buttons do."""
    now = timezone.now()
    try:
        asked = request_behind(token, at=now)
    except GuardianLinkNotOpen as error:
        return render(request, "clients/guardian_closed.html", {"error": error}, status=410)
    form = GuardianPhoneForm(request.POST or None)
    if request.method == "POST" and request.POST.get("answer") in {"yes", "no"} and form.is_valid():
        agreed = request.POST["answer"] == "yes"
        decide(asked, agreed=agreed, phone=form.cleaned_data["phone"], at=now)
        return redirect("guardian", token=token)
    context = {"asked": asked, "form": form, "text": GUARDIAN_CONSENT, "decision": newest_decision(asked.client)}
    return render(request, "clients/guardian.html", context, status=422 if form.is_bound else 200)
