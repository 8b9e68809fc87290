"""What a client could do instead: for the client in a session, and for the coach who writes it."""

import datetime
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from clients.choices import ReadKind
from clients.domain.history import record_read
from clients.models import Client
from clients.views import SignedInRequest
from programs.choices import BY_THE_CLOCK
from programs.domain import days
from programs.domain.dosing import dose_words
from programs.domain.instead import Around, around, offer, sets_to_log
from programs.domain.resolving import Want
from programs.domain.training import RESERVES
from programs.forms import InsteadForm
from programs.models import Prescription
from programs.views.training import own_session

WORDS = {
    Want.NEAREST: _("Nearest"),
    Want.EASIER: _("Easier"),
    Want.HARDER: _("One step harder"),
}


def _words(prescription: Prescription) -> str:
    return dose_words(prescription, rests=prescription.group.kind not in BY_THE_CLOCK)


@login_required
@require_safe
def train_instead(request: SignedInRequest, scheduled_uuid: str, prescription_uuid: str) -> HttpResponse:
    """Another movement for one of the session, with its sets to log."""
    scheduled = own_session(request, scheduled_uuid)
    of_session = Prescription.objects.filter(group__section__session=scheduled.session_id)
    prescription = get_object_or_404(of_session.select_related("movement", "group__section"), uuid=prescription_uuid)
    today = days.today_of(scheduled.client, timezone.now())
    form, found = _asked(request, scheduled.client, today)
    answer = offer(found, prescription, Want(form.wanted))
    context = {"scheduled": scheduled, "prescription": prescription, "dose": _words(prescription), "form": form}
    context["tabs"] = [(words, want.value, want == form.wanted) for want, words in WORDS.items()]
    left = sets_to_log(answer, prescription, scheduled)
    context |= {"offer": answer, "rows": left.rows, "split_rows": left.split, "client": scheduled.client}
    context["reserves"] = RESERVES
    return render(request, "programs/train_instead.html", context)


@login_required
@require_safe
def could_do(request: SignedInRequest, client_uuid: str, prescription_uuid: str) -> HttpResponse:
    """What this client could do for a prescription: as it is, easier, harder, and without some things."""
    client = get_object_or_404(Client.objects.coached_by(request.user).select_related("practice"), uuid=client_uuid)
    of_client = Prescription.objects.filter(group__section__session__block__client=client)
    found = of_client.select_related("movement", "group__section__session__block")
    prescription = get_object_or_404(found, uuid=prescription_uuid)
    now = timezone.now()
    record_read(client, reader=request.user, kind=ReadKind.CLIENT, at=now, subject=prescription.uuid)
    form, surroundings = _asked(request, client, timezone.localdate(now, timezone=client.zone))
    context: dict[str, Any] = {"client": client, "prescription": prescription, "dose": _words(prescription)}
    context |= {"form": form, "offers": [(str(WORDS[want]), offer(surroundings, prescription, want)) for want in Want]}
    context |= {"plan": prescription.group.section.session.block}
    return render(request, "programs/could_do.html", context)


def _asked(request: SignedInRequest, client: Client, on: datetime.date) -> tuple[InsteadForm, Around]:
    """The form of the page, and the client's day without the things that were ticked in it."""
    everything = around(client, on=on)
    form = InsteadForm(request.GET or None, things=everything.things)
    return form, everything.without(form.without_things)
