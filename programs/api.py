"""The JSON door of the log. The contract is in docs/log-api.md."""

from typing import Any, cast

from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework.decorators import api_view
from rest_framework.exceptions import ParseError
from rest_framework.request import Request
from rest_framework.response import Response

from clients.views import SignedInRequest
from clients.views.intake import own_client
from programs.domain.logging import log_entries

MOST_ENTRIES = 200
# A full batch with the longest notes stays far below this.
MOST_BYTES = 1024 * 1024


@api_view(["POST"])
def log(request: Request) -> Response:
    """Keep a batch of entries of the signed-in client; each is answered, in order."""
    client = own_client(cast("SignedInRequest", request))
    answers = log_entries(client, _entries(request), at=timezone.now())
    return Response({"answers": [answer.as_json() for answer in answers]})


def _entries(request: Request) -> list[Any]:
    entries = _envelope(request).get("entries")
    if not isinstance(entries, list):
        raise ParseError(_("Send {“entries”: […]}."))
    if len(entries) > MOST_ENTRIES:
        raise ParseError(_("Send at most %(most)d entries at once.") % {"most": MOST_ENTRIES})
    return entries


def _envelope(request: Request) -> dict[str, Any]:
    if int(request.META.get("CONTENT_LENGTH") or 0) > MOST_BYTES:
        raise ParseError(_("This is too much at once."))
    try:
        data = request.data
    except RecursionError:
        raise ParseError(_("This is nested too deeply.")) from None
    if not isinstance(data, dict):
        raise ParseError(_("Send {“entries”: […]}."))
    return data
