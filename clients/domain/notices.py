"""Telling coaches that a client needs them. Never with health details: a letter can be read over a shoulder."""

from collections.abc import Iterable

from django.db.models.functions import Now
from django.urls import reverse
from django.utils.translation import gettext as _

import jobs
from clients.choices import AssignmentKind
from clients.domain.mail import absolute, request_mail
from clients.models import Absence, Assignment, Client, Membership, RedFlagReport


def coaches_to_wake(client: Client) -> list[Membership]:
    """Lead and cover now; the owners too when nobody is there who is not away."""
    kinds = [AssignmentKind.LEAD, AssignmentKind.COVER]
    assigned = Assignment.objects.current().filter(client=client, kind__in=kinds).select_related("coach__user")
    coaches = {assignment.coach for assignment in assigned}
    away = Absence.objects.filter(coach__in=coaches, ended_at=None, from_at__lte=Now(), until_at__gt=Now())
    if coaches - {absence.coach for absence in away.select_related("coach")}:
        return sorted(coaches, key=lambda coach: coach.pk)
    owners = Membership.objects.active().owners().filter(practice=client.practice).select_related("user")
    return sorted(coaches | set(owners), key=lambda coach: coach.pk)


def wake_coaches(client: Client) -> None:
    """An immediate notice to whoever answers for this client now."""
    _wake(client, coaches_to_wake(client))


def tell_owners_of_unopened(report_id: int) -> None:
    """Wake the owners when nobody has opened a warning sign in the time that the practice settled.

    An owner who leads the client is told again. Run twice, it writes once: the letters end the job.
    """
    with jobs.publishing(last=True):
        # Lock the row: a coach may open it at this moment.
        report = RedFlagReport.objects.select_for_update().get(pk=report_id)
        if report.seen_at is not None or report.erased_at is not None:
            return
        owners = Membership.objects.active().owners().filter(practice=report.practice_id).select_related("user")
        _wake(report.client, owners.order_by("pk"))


def _wake(client: Client, memberships: Iterable[Membership]) -> None:
    for membership in memberships:
        request_mail(
            client.practice,
            to=membership.user.email,
            subject=_("A client needs you"),
            body=_("A client needs you now. Open the desk:\n%(link)s") % {"link": absolute(reverse("home"))},
        )


def tell_client(client: Client, *, subject: str, body: str) -> None:
    if client.email:
        request_mail(client.practice, to=client.email, subject=subject, body=body)
