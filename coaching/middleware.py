"""Small middlewares of the whole site."""

import logging
import re
import time
import uuid
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.functional import SimpleLazyObject

from coaching.logs import Visit, current_visit
from coaching.queries import Standing, standing_of

Handler = Callable[[HttpRequest], HttpResponse]
access = logging.getLogger("coaching.access")
# Only a form in which nothing can be said: it is printed in every line.
REQUEST_ID = re.compile(r"[0-9a-f]{32}|[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
# Public sessions (programs.views.public): one answer for everybody, which any cache may keep.
FOR_EVERYBODY = re.compile(r"/s/[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}/")
METHODS = {"GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE"}


def request_id(get_response: Handler) -> Handler:
    """Name every request, for its log lines and in the answer: as the proxy in front does, or by an id of our own."""

    def handle(request: HttpRequest) -> HttpResponse:
        given = request.headers.get("X-Request-Id", "")
        request.id = given if REQUEST_ID.fullmatch(given) else uuid.uuid4().hex  # type: ignore[attr-defined]
        current_visit.set(Visit(request.id))  # type: ignore[attr-defined]
        response = get_response(request)
        response["X-Request-Id"] = request.id  # type: ignore[attr-defined]
        # A film is read while it is sent; what goes wrong then is still this visit's, until the thread has another.
        if not response.streaming:
            _end_when_closed(response)
        return response

    return handle


def _end_when_closed(response: HttpResponse) -> None:
    """Not before: Django writes its line about an error after every middleware."""
    close = response.close

    def close_and_end() -> None:
        close()
        current_visit.set(None)

    response.close = close_and_end  # type: ignore[method-assign]


def access_line(get_response: Handler) -> Handler:
    """One log line per request. By the route's name: paths carry the tokens of invitations and sign-in links."""

    def handle(request: HttpRequest) -> HttpResponse:
        began = time.perf_counter()
        response = get_response(request)
        method = request.method if request.method in METHODS else "other"
        facts = {
            "method": method,
            "route": route_of(request),
            "status": response.status_code,
            "ms": round((time.perf_counter() - began) * 1000),
            "bytes": bytes_of(response),
        }
        access.info("%(method)s %(route)s %(status)s", facts, extra=facts)
        return response

    return handle


def route_of(request: HttpRequest) -> str | None:
    if request.resolver_match is not None:
        return request.resolver_match.view_name
    return "static" if request.path_info.startswith(settings.STATIC_URL) else None


def bytes_of(response: HttpResponse) -> int | None:
    """How long the answer is; a film is sent afterwards, so this is what its header promises."""
    if response.streaming:
        promised = response.headers.get("Content-Length", "")
        return int(promised) if promised.isdigit() else None
    return len(response.content)


def without_cookies(get_response: Handler) -> Handler:
    """Where everybody is answered alike, nobody's cookie or language is read, so none can be set or be varied on."""

    def handle(request: HttpRequest) -> HttpResponse:
        if not is_for_everybody(request):
            return get_response(request)
        for name in ("HTTP_COOKIE", "HTTP_ACCEPT_LANGUAGE"):
            request.META.pop(name, None)
        request.COOKIES = {}
        response = get_response(request)
        if response.get("Vary") == "Accept-Language":
            del response["Vary"]
        return response

    return handle


def is_for_everybody(request: HttpRequest) -> bool:
    return FOR_EVERYBODY.fullmatch(request.path_info) is not None


def local_time(get_response: Handler) -> Handler:
    """Show times as this person's clock shows them: the client's own zone, or the practice's."""

    def handle(request: HttpRequest) -> HttpResponse:
        if is_for_everybody(request):
            return get_response(request)
        request.standing = SimpleLazyObject(lambda: standing_of(request.user))  # type: ignore[arg-type, attr-defined]
        if not request.user.is_authenticated:
            return get_response(request)
        tell_practice(request.standing)  # type: ignore[attr-defined]
        with timezone.override(request.standing.zone):  # type: ignore[attr-defined]
            return get_response(request)

    return handle


def tell_practice(standing: Standing) -> None:
    visit = current_visit.get()
    if visit is not None and standing.practice is not None:
        visit.practice = str(standing.practice.uuid)


def private_pages(get_response: Handler) -> Handler:
    """Pages of signed-in people are theirs alone: no cache may keep them."""

    def handle(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if is_for_everybody(request):
            return response
        if request.user.is_authenticated and "Cache-Control" not in response:
            response["Cache-Control"] = "no-store, private"
        return response

    return handle
