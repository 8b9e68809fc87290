"""A public session: one answer for everybody who asks the same. No sign-in, cookie, session or token is looked at.

The page is rendered without the request, so nothing of it can get in. What runs before the view sees no cookie
either (coaching.middleware.without_cookies).
"""

import base64
import hashlib
from http import HTTPStatus
from typing import Any

from csp.constants import HEADER, SELF
from csp.utils import build_policy
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_safe

from clients.domain.mail import absolute
from programs.domain.public_page import public_page
from programs.models import PublicSession

# How long others may keep a page: an ended session is gone everywhere after this time.
KEPT_SECONDS = 300


# Without a token nothing has to be protected: only GET and HEAD are answered.
@csrf_exempt
@require_safe
def public_session(request: HttpRequest, session_uuid: str) -> HttpResponse:
    public = PublicSession.objects.filter(uuid=session_uuid).select_related("practice").first()
    if public is None:
        return _answer(request, "programs/public_gone.html", {}, status=HTTPStatus.NOT_FOUND)
    if public.ended_at is not None:
        return _answer(request, "programs/public_gone.html", {"was_there": True}, status=HTTPStatus.GONE)
    context = {
        "public": public,
        "practice": public.practice,
        "practice_name": public.practice.name,
        "page": public_page(public.document, public.practice, dict(request.GET.lists()), public.own_revisions),
        "address": absolute(reverse("public-session", args=[public.uuid])),
    }
    return _answer(request, "programs/public_session.html", context)


def _answer(
    request: HttpRequest, template: str, context: dict[str, Any], *, status: HTTPStatus = HTTPStatus.OK
) -> HttpResponse:
    # Rendered first: the policy names the text of the import map by its hash.
    imports = render_to_string("_public_imports.html")
    text = render_to_string(template, context | {"imports": imports, "demo": settings.DEMO})
    response = HttpResponse(text, status=status)
    response["Cache-Control"] = f"public, max-age={KEPT_SECONDS}"
    response["ETag"] = etag = quote_etag(hashlib.sha256(response.content).hexdigest())
    answer = response
    if status == HTTPStatus.OK:
        answer = get_conditional_response(request, etag=etag, response=response) or response
    answer[HEADER] = build_policy(replace={"script-src": [SELF, _hash_of(imports)]}) or ""
    # What somebody ticked stands in the address: no other page learns of it.
    answer["Referrer-Policy"] = "no-referrer"
    return answer


def _hash_of(text: str) -> str:
    digest = hashlib.sha256(text.encode()).digest()
    return f"'sha256-{base64.b64encode(digest).decode()}'"
