"""Pain, warning signs, and leaving for a while or for good."""

import datetime

from clients.choices import ClientState
from clients.domain.history import move_client
from clients.domain.pain import report_pain
from clients.domain.screening import report_red_flags
from clients.domain.telling_pain import answer_next_morning, answer_soreness
from clients.domain.warning_signs import open_warning_signs
from clients.models import Client, User
from coaching.demo.loading.arriving import clear, person_of
from coaching.demo.loading.days import Now
from coaching.demo.person import Pain, Person, Warned

EVENING, MORNING, NOON = datetime.time(19, 30), datetime.time(7, 40), datetime.time(12, 10)


def tell_health(client: Client, person: Person, coach: User, *, now: Now) -> None:
    for pain in sorted(person.pains, key=lambda pain: -pain.days):
        _tell_pain(client, pain, now=now)
    if person.warned:
        _warn(client, person.warned, coach, now=now)


def _warn(client: Client, warned: Warned, coach: User, *, now: Now) -> None:
    at = now.on(client, warned.days, NOON) if warned.days else now.hours_ago(3)
    report_red_flags(client, items=list(warned.items), source="pain", at=at)
    if warned.is_opened:
        open_warning_signs(client, by=coach, at=at + datetime.timedelta(minutes=20))
    if warned.cleared:
        clear(client, warned.cleared, coach, now=now)


def _tell_pain(client: Client, pain: Pain, *, now: Now) -> None:
    user = person_of(client)
    at = now.on(client, pain.days, EVENING)
    on = at.astimezone(client.zone).date()
    report = report_pain(
        client,
        area=pain.area,
        side=pain.side,
        since=pain.since,
        after_blow=False,
        pin_point=False,
        during=None if pain.is_soreness else pain.during,
        after=pain.after,
        flags_asked=None if pain.during is None else True,
        on=on,
        note=pain.note,
        by=user,
        at=at,
    )
    if pain.is_soreness:
        answer_soreness(report, is_usual=True, level=pain.during, in_joint=False, sharp=False, hours=48, by=user, at=at)
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
