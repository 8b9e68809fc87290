"""A block as a file, out and in."""

import json

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from clients.choices import ReadKind
from clients.models import Client
from clients.views import SignedInRequest
from programs.domain.exchange.as_csv import to_csv
from programs.domain.exchange.as_json import to_json
from programs.domain.exchange.reading import import_block
from programs.domain.exchange.schema import SCHEMA
from programs.domain.exchange.writing import document_of
from programs.errors import BlockFileRefused
from programs.forms.exchange import BlockFileForm
from programs.views.blocks import coached_block, note_reading

WRITERS = {"json": (to_json, "application/json"), "csv": (to_csv, "text/csv; charset=utf-8")}


@login_required
@require_safe
def export_block(request: SignedInRequest, block_uuid: str, kind: str) -> HttpResponse:
    found = coached_block(request, block_uuid)
    note_reading(request, found, ReadKind.EXPORT)
    write, content_type = WRITERS[kind]
    # A name without the client's or the block's: files lie about.
    headers = {"Content-Disposition": f'attachment; filename="block.{kind}"'}
    return HttpResponse(write(document_of(found)), content_type=content_type, headers=headers)


@require_safe
def block_schema(request: SignedInRequest) -> HttpResponse:
    """The format for everybody who writes such files."""
    return HttpResponse(json.dumps(SCHEMA, indent=2), content_type="application/schema+json")


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def import_client_block(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    client = get_object_or_404(Client.objects.coached_by(request.user).select_related("practice"), uuid=client_uuid)
    initial = {"starts_on": timezone.localdate(timezone=client.zone)}
    form = BlockFileForm(request.POST or None, request.FILES or None, initial=initial)
    refused = None
    if request.method == "POST" and form.is_valid():
        data, starts_on = form.cleaned_data["file"].read(), form.cleaned_data["starts_on"]
        try:
            block = import_block(client, by=request.user, data=data, is_table=form.is_table, starts_on=starts_on)
        except BlockFileRefused as why_not:
            refused = why_not
        else:
            messages.success(request, _("Imported as a draft. Read it before you publish it."))
            return redirect("block", block_uuid=block.uuid)
    context = {"client": client, "form": form, "refused": refused}
    return render(request, "programs/exchange.html", context, status=422 if request.method == "POST" else 200)
