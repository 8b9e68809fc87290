"""A client leaves the practice. What was said and done stays in the record until it is erased."""

import datetime

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.choices import ClientState
from clients.domain.history import move_client
from clients.domain.mail import absolute, request_mail
from clients.domain.notices import coaches_to_wake
from clients.models import Client, User


def leave_practice(client: Client, *, by: User, at: datetime.datetime, reason: str = "") -> None:
    """End the work together, once, and tell the coaches without the reason."""
    with transaction.atomic():
        locked = Client.objects.select_for_update().select_related("practice").get(pk=client.pk)
        if move_client(locked, to=ClientState.ENDED, by=by, at=at, reason=reason) is None:
            return
        for membership in coaches_to_wake(locked):
            request_mail(
                locked.practice,
                to=membership.user.email,
                subject=_("A client has left"),
                body=_("A client has left the practice:\n%(link)s")
                % {"link": absolute(reverse("client-safety", args=[locked.uuid]))},
            )
