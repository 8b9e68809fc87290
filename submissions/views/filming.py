"""How to film, and sending the clip."""

import json

from django.conf import settings
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from clients.choices import ConsentKind
from clients.domain.consent import has_consent
from clients.views import SignedInRequest
from programs.models import Prescription, ScheduledSession
from submissions.forms import ClipForm


@login_required
@require_safe
def upload_clip(request: SignedInRequest, scheduled_uuid: str, prescription_uuid: str) -> HttpResponse:
    scheduled = get_object_or_404(
        ScheduledSession.objects.own(request.user).select_related("client"), uuid=scheduled_uuid
    )
    prescription = get_object_or_404(
        Prescription.objects.select_related("movement"),
        uuid=prescription_uuid,
        group__section__session=scheduled.session_id,
    )
    told = {"scheduled": str(scheduled.uuid), "prescription": str(prescription.uuid)}
    context = {
        "scheduled": scheduled,
        "prescription": prescription,
        "movement": prescription.movement,
        "has_consent": has_consent(scheduled.client, ConsentKind.VIDEO),
        "form": ClipForm(),
        "metadata": json.dumps(told),
        "max_bytes": settings.CLIP_MAX_BYTES,
    }
    return render(request, "submissions/upload_clip.html", context)
