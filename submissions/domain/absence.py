"""A coach goes away: besides access and letters, what was promised to their clients."""

import datetime

from django.db import transaction

from clients.choices import PromisesMeanwhile
from clients.domain.absences import clients_led_by, go_away
from clients.domain.working_time import working_time
from clients.models import Absence, Client, Membership, User
from submissions.choices import Lane, SubmissionKind
from submissions.domain.queueing import promise_hours_of
from submissions.models import Submission

# Pain and warning signs are never put off.
CAN_WAIT = (Lane.FORM, Lane.ROUTINE)


def start_absence(
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
    """Keep the absence (clients.domain.absences.go_away) and, by the coach's choice, move what falls due in it."""
    with transaction.atomic():
        absence = go_away(
            coach,
            from_at=from_at,
            until_at=until_at,
            cover=cover,
            promises=promises,
            message=message,
            by=by,
            at=at,
        )
        if promises == PromisesMeanwhile.MOVED:
            for client in clients_led_by(coach):
                _move_promises(client, absence)
    return absence


def due_meanwhile(coach: Membership, *, from_at: datetime.datetime, until_at: datetime.datetime) -> int:
    """How many waiting things fall due while the coach is away."""
    return (
        Submission.objects.waiting().filter(client__in=clients_led_by(coach), due_at__range=(from_at, until_at)).count()
    )


def _move_promises(client: Client, absence: Absence) -> None:
    rows = Submission.objects.of(client).waiting().filter(lane__in=CAN_WAIT)
    for row in rows.filter(due_at__range=(absence.from_at, absence.until_at)):
        hours = promise_hours_of(client.practice, SubmissionKind(row.kind))
        later = working_time(client.practice).promised_by(absence.until_at, hours)
        # Compare-and-set: a lane that rises meanwhile keeps its earlier promise.
        Submission.objects.waiting().filter(pk=row.pk, lane=row.lane).update(due_at=later)
