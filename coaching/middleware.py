"""Small middlewares of the whole site."""

import uuid
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.functional import SimpleLazyObject

from coaching.queries import standing_of

Handler = Callable[[HttpRequest], HttpResponse]


def request_id(get_response: Handler) -> Handler:
    """Give every request an id of our own making, and tell it in the answer."""

    def handle(request: HttpRequest) -> HttpResponse:
        request.id = uuid.uuid4().hex  # type: ignore[attr-defined]
        response = get_response(request)
        response["X-Request-Id"] = request.id  # type: ignore[attr-defined]
        return response

    return handle


def local_time(get_response: Handler) -> Handler:
    """Show times as this person's clock shows them: the client's own zone, or the practice's."""

    def handle(request: HttpRequest) -> HttpResponse:
        request.standing = SimpleLazyObject(lambda: standing_of(request.user))  # type: ignore[arg-type, attr-defined]
        if not request.user.is_authenticated:
            return get_response(request)
        with timezone.override(request.standing.zone):  # type: ignore[attr-defined]
            return get_response(request)

    return handle


def private_pages(get_response: Handler) -> Handler:
    """Pages of signed-in people are theirs alone: no cache may keep them."""

    def handle(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if request.user.is_authenticated and "Cache-Control" not in response:
            response["Cache-Control"] = "no-store, private"
        return response

    return handle
