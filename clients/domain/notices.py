"""Telling coaches that a client needs them. Never with health details: a letter can be read over a shoulder."""

from django.urls import reverse
from django.utils.translation import gettext as _

from clients.choices import AssignmentKind
from clients.domain.mail import absolute, request_mail
from clients.models import Assignment, Client, Membership


def coaches_to_wake(client: Client) -> list[Membership]:
    """Lead and cover now; without either, the owners."""
    kinds = [AssignmentKind.LEAD, AssignmentKind.COVER]
    assigned = Assignment.objects.current().filter(client=client, kind__in=kinds).select_related("coach__user")
    coaches = [assignment.coach for assignment in assigned]
    if coaches:
        return coaches
    return list(Membership.objects.active().owners().filter(practice=client.practice).select_related("user"))


def wake_coaches(client: Client) -> None:
    """An immediate notice to whoever answers for this client now."""
    for membership in coaches_to_wake(client):
        request_mail(
            client.practice,
            to=membership.user.email,
            subject=_("A client needs you"),
            body=_("A client needs you now. Open the desk:\n%(link)s") % {"link": absolute(reverse("home"))},
        )


def tell_client(client: Client, *, subject: str, body: str) -> None:
    if client.email:
        request_mail(client.practice, to=client.email, subject=subject, body=body)
