"""Pain, warning signs, and leaving for a while or for good."""

import datetime

from clients.choices import ClientState
from clients.domain.history import move_client
from clients.domain.pain import report_pain
from clients.domain.screening import report_red_flags
from clients.domain.telling_pain import answer_next_morning
from clients.models import Client, User
from coaching.demo.loading.arriving import person_of
from coaching.demo.loading.days import Now
from coaching.demo.person import Pain, Person

EVENING, MORNING = datetime.time(19, 30), datetime.time(7, 40)


def tell_health(client: Client, person: Person, *, now: Now) -> None:
    for pain in sorted(person.pains, key=lambda pain: -pain.days):
        _tell_pain(client, pain, now=now)
    if person.warning:
        report_red_flags(client, items=list(person.warning), source="pain", at=now.hours_ago(3))


def _tell_pain(client: Client, pain: Pain, *, now: Now) -> None:
    user = person_of(client)
    at = now.on(client, pain.days, EVENING)
    on = at.astimezone(client.zone).date()
    report = report_pain(
        client,
        area=pain.area,
        side=pain.side,
        since="days",
        after_blow=False,
        pin_point=False,
        during=pain.during,
        after=pain.after,
        flags_asked=True,
        on=on,
        note=pain.note,
        by=user,
        at=at,
    )
    if pain.morning:
        answer_next_morning(
            report,
            after=pain.after,
            next_morning=pain.morning,
            by=user,
            at=now.on(client, pain.days - 1, MORNING),
        )


def leave(client: Client, person: Person, coach: User, *, now: Now) -> None:
    if person.left is not None:
        at = now.on(client, person.left.days, datetime.time(16, 0))
        client.refresh_from_db()
        move_client(client, to=ClientState(person.left.to), by=coach, at=at, reason=person.left.reason)
