"""A coach is away: who covers for that time, what becomes of the promises, and what the clients are told."""

import datetime
from collections.abc import Iterable

from django.db import transaction
from django.utils.translation import gettext as _

from clients.choices import AssignmentKind, PromisesMeanwhile
from clients.domain.notices import tell_client
from clients.errors import AbsenceOverlaps, CoverNeeded, NotOnTheTeam
from clients.models import Absence, Assignment, Client, Membership, User


def go_away(
    coach: Membership,
    *,
    from_at: datetime.datetime,
    until_at: datetime.datetime,
    cover: Membership | None,
    promises: PromisesMeanwhile,
    message: str,
    by: User,
    at: datetime.datetime,
) -> Absence:
    """Keep an absence, give the cover coach its clients for just that time, and tell the clients in one letter.

    Raises AbsenceOverlaps, NotOnTheTeam for a cover coach who is not of this practice, and CoverNeeded when promises
    are kept without anybody to keep them.
    """
    with transaction.atomic():
        # Lock the coach: two people may enter the same holiday.
        Membership.objects.select_for_update().get(pk=coach.pk)
        if Absence.objects.filter(coach=coach, ended_at=None, from_at__lt=until_at, until_at__gt=from_at).exists():
            raise AbsenceOverlaps
        if cover is None and promises == PromisesMeanwhile.KEPT:
            raise CoverNeeded
        if cover is not None and (cover.practice_id != coach.practice_id or cover.ended_at is not None):
            raise NotOnTheTeam
        absence = Absence.objects.create(
            practice_id=coach.practice_id,
            coach=coach,
            cover=cover,
            from_at=from_at,
            until_at=until_at,
            promises=promises,
            message=message,
            told_at=at if message else None,
            made_by=by,
        )
        clients = clients_led_by(coach)
        cover_clients(absence, clients)
        if message:
            _tell(clients, message)
    return absence


def cover_clients(absence: Absence, clients: Iterable[Client]) -> None:
    """Time-limited access for the cover coach; whoever works with the client anyway needs none."""
    if absence.cover is None:
        return
    covered = Assignment.objects.filter(absence=absence).values_list("client_id", flat=True)
    Assignment.objects.bulk_create(
        Assignment(
            practice_id=absence.practice_id,
            client=client,
            coach=absence.cover,
            kind=AssignmentKind.COVER,
            from_at=absence.from_at,
            until_at=absence.until_at,
            absence=absence,
        )
        for client in clients
        if client.pk not in set(covered)
    )


def come_back(absence: Absence, *, at: datetime.datetime) -> None:
    """End an absence early, or call it off; the cover coach's access ends at once."""
    with transaction.atomic():
        locked = Absence.objects.select_for_update().get(pk=absence.pk)
        if locked.ended_at is not None or locked.until_at <= at:
            return
        locked.ended_at = at
        locked.save(update_fields=["ended_at"])
        end_assignments(Assignment.objects.filter(absence=locked), at=at)


def end_assignments(rows: Iterable[Assignment], *, at: datetime.datetime) -> None:
    for assignment in rows:
        if assignment.until_at is None or assignment.until_at > at:
            # One that is still to begin, or has just begun, ends as soon as the database lets it.
            assignment.until_at = max(at, assignment.from_at + datetime.timedelta(microseconds=1))
            assignment.save(update_fields=["until_at"])


def absences_of(coach: Membership, *, at: datetime.datetime) -> list[Absence]:
    """Running and coming ones."""
    rows = Absence.objects.filter(coach=coach, ended_at=None, until_at__gt=at)
    return list(rows.select_related("cover__user").order_by("from_at"))


def clients_led_by(coach: Membership) -> list[Client]:
    leads = Assignment.objects.current().filter(coach=coach, kind=AssignmentKind.LEAD)
    return list(Client.objects.filter(pk__in=leads.values("client"), erased_at=None).order_by("pk"))


def promises_run_from(client: Client, *, at: datetime.datetime) -> datetime.datetime:
    """When the hours of a promise begin: now, or when the lead is back from an absence that moves promises."""
    leads = Assignment.objects.current().filter(client=client, kind=AssignmentKind.LEAD).values("coach")
    away = Absence.objects.filter(
        coach__in=leads,
        promises=PromisesMeanwhile.MOVED,
        ended_at=None,
        from_at__lte=at,
        until_at__gt=at,
    )
    return max([at, *away.values_list("until_at", flat=True)])


def _tell(clients: list[Client], message: str) -> None:
    for client in clients:
        tell_client(client, subject=_("Your coach is away"), body=message)
