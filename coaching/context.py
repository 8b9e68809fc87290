"""What every page may need to know: the installation, the practice, and where one can go from here."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from clients.choices import Role
from coaching.demo.who import people_by_role

COACH_PLACES: tuple[tuple[Promise, str], ...] = (
    (_("Desk"), "desk"),
    (_("Review queue"), "queue"),
    (_("Clients"), "clients"),
    (_("Movements"), "movements"),
)
OWNER_PLACES: tuple[tuple[Promise, str], ...] = (
    (_("Practice"), "practice"),
    (_("Background work"), "background-work"),
)
CLIENT_PLACES: tuple[tuple[Promise, str], ...] = (
    (_("My page"), "my-home"),
    (_("Train"), "today"),
    (_("My clips"), "my-clips"),
    (_("My progress"), "my-progress"),
)
# Pages about one client, for the coach.
CLIENT_TABS: tuple[tuple[Promise, str], ...] = (
    (_("Progress"), "client"),
    (_("How they are"), "client-state"),
    (_("Programme"), "client-blocks"),
    (_("Days"), "client-days"),
    (_("Baseline"), "client-baseline"),
    (_("Safety"), "client-safety"),
    (_("Notes"), "client-notes"),
)


def site(request: HttpRequest) -> dict[str, object]:
    # Asked only by the page that lists them.
    context: dict[str, object] = {"demo": settings.DEMO, "demo_people": people_by_role}
    if not hasattr(request, "standing") or not request.user.is_authenticated:
        return context
    standing = request.standing
    member = standing.membership
    return context | {
        "practice_name": standing.practice.name if standing.practice else "",
        "nav_items": _nav(
            request,
            is_coach=member is not None,
            is_owner=member is not None and member.role == Role.OWNER,
            is_client=standing.client is not None,
        ),
        "client_tabs": _client_tabs(request),
    }


def _nav(request: HttpRequest, *, is_coach: bool, is_owner: bool, is_client: bool) -> list[dict[str, Any]]:
    coach, owner = COACH_PLACES if is_coach else (), OWNER_PLACES if is_owner else ()
    places = [*coach, *owner, *(CLIENT_PLACES if is_client else ())]
    return [_item(request, label, reverse(name), name) for label, name in places]


def _client_tabs(request: HttpRequest) -> list[dict[str, Any]]:
    match = request.resolver_match
    named = match.kwargs.get("client_uuid") if match else None
    client_uuid = named or getattr(request, "about_client_uuid", None)
    if client_uuid is None:
        return []
    return [_item(request, label, reverse(name, args=[client_uuid]), name) for label, name in CLIENT_TABS]


def _item(request: HttpRequest, label: Promise, url: str, name: str) -> dict[str, Any]:
    match = request.resolver_match
    return {"label": label, "url": url, "current": bool(match and match.url_name == name)}
