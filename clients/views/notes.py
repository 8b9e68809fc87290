"""The coach's notes about a client, and who looked at a client's health data."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clients.choices import ReadKind
from clients.domain.history import record_read
from clients.domain.notes import PLACES, correct_note, pin_lines, write_note
from clients.errors import ReplacedMeanwhile
from clients.forms import NoteForm, PinnedLinesForm
from clients.models import AccessRecord, Client, Note, PinnedLine
from clients.views import SignedInRequest
from clients.views.intake import own_client

PER_PAGE = 50


def _coached(request: SignedInRequest, client_uuid: str) -> Client:
    return get_object_or_404(Client.objects.coached_by(request.user).select_related("practice"), uuid=client_uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def client_notes(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = _coached(request, client_uuid)
    now = timezone.now()
    today = timezone.localdate(now, timezone=client.practice.zone)
    form = NoteForm(request.POST or None, initial={"on": today}, today=today)
    if request.method == "POST" and form.is_valid():
        write_note(client, **form.cleaned_data, by=request.user, at=now)
        messages.success(request, _("The note is kept."))
        return redirect("client-notes", client_uuid=client.uuid)
    record_read(client, reader=request.user, kind=ReadKind.NOTES, at=now)
    return _page(request, client, form=form, status=422 if form.is_bound else 200)


@login_required
@require_POST
def pin(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = _coached(request, client_uuid)
    form = PinnedLinesForm(request.POST)
    if not form.is_valid():
        return _page(request, client, pins=form, status=422)
    try:
        pin_lines(client, form.lines(), seen=form.seen(), by=request.user, at=timezone.now())
    except ReplacedMeanwhile as error:
        form.add_error(None, str(error))
        return _page(request, client, pins=form, status=409)
    messages.success(request, _("Pinned."))
    return redirect("client-notes", client_uuid=client.uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def note(request: SignedInRequest, note_uuid: str) -> HttpResponse:
    """Correct a note. The earlier words stay in the record."""
    row = get_object_or_404(Note.objects.coached_by(request.user).current().select_related("client"), uuid=note_uuid)
    form = NoteForm(request.POST or None, initial={"text": row.text}, only_text=True)
    if request.method == "POST" and form.is_valid():
        try:
            correct_note(row, text=form.cleaned_data["text"], by=request.user, at=timezone.now())
        except ReplacedMeanwhile as error:
            form.add_error(None, str(error))
            return render(request, "clients/note.html", {"form": form, "note": row, "client": row.client}, status=409)
        messages.success(request, _("Corrected. The earlier words stay in the record."))
        return redirect("client-notes", client_uuid=row.client.uuid)
    record_read(row.client, reader=request.user, kind=ReadKind.NOTES, at=timezone.now(), subject=row.uuid)
    context = {"form": form, "note": row, "client": row.client}
    return render(request, "clients/note.html", context, status=422 if form.is_bound else 200)


def _page(
    request: SignedInRequest,
    client: Client,
    *,
    form: NoteForm | None = None,
    pins: PinnedLinesForm | None = None,
    status: int,
) -> HttpResponse:
    today = timezone.localdate(timezone=client.practice.zone)
    notes = Note.objects.current().filter(client=client).select_related("by", "replaces").order_by("-on", "-pk")
    context: dict[str, Any] = {
        "client": client,
        "form": form or NoteForm(initial={"on": today}, today=today),
        "pins": pins or PinnedLinesForm(initial=_pinned(client)),
        "page": Paginator(notes, PER_PAGE).get_page(request.GET.get("page")),
    }
    return render(request, "clients/client_notes.html", context, status=status)


def _pinned(client: Client) -> dict[str, str]:
    there = {line.place: line.text for line in PinnedLine.objects.current().filter(client=client)}
    texts = {f"line_{place}": there.get(place, "") for place in PLACES}
    return texts | {f"seen_{place}": there.get(place, "") for place in PLACES}


@login_required
@require_GET
def client_readers(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    """For an owner: who looked at this client's health data and clips."""
    client = get_object_or_404(Client.objects.owned_by(request.user).select_related("practice"), uuid=client_uuid)
    return _readers(request, client, is_owner=True)


@login_required
@require_GET
def my_readers(request: SignedInRequest) -> HttpResponse:
    """For the client: the same about themself."""
    return _readers(request, own_client(request), is_owner=False)


def _readers(request: SignedInRequest, client: Client, *, is_owner: bool) -> HttpResponse:
    if client.erased_at is not None:
        raise Http404
    records = AccessRecord.objects.of(client).select_related("reader").order_by("-at", "-pk")
    page = Paginator(records, PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "clients/readers.html", {"client": client, "page": page, "is_owner": is_owner})
