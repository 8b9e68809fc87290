"""Pages of the people's room, and the request that every signed-in page gets."""

from uuid import UUID

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from clients.models import User


class SignedInRequest(HttpRequest):
    """A request past @login_required: the user is a person, never the anonymous one."""

    user: User
    htmx: HtmxDetails
    # Set by a view whose address names no client, to show the pages about the one it is about.
    about_client_uuid: UUID
