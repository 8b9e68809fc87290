"""A coach opens the warning signs of a client: an act of a person, which no link, preview or prefetch can do."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from clients.domain.warning_signs import open_warning_signs as record_opening
from clients.models import Client
from clients.views import SignedInRequest


@login_required
@require_POST
def open_warning_signs(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = get_object_or_404(Client.objects.coached_by(request.user), uuid=client_uuid)
    if not record_opening(client, by=request.user, at=timezone.now()):
        messages.info(request, _("Somebody else has opened it meanwhile."))
    return redirect(reverse("client-safety", args=[client.uuid]) + "#warning-signs")
