"""Loading the demo: what matters goes through the verbs that people use, at the times they would have used them."""

import datetime
import time
from collections.abc import Callable, Iterable

from django.db import connection, transaction

from clients.choices import Role
from clients.models import Client, Membership, OutgoingMail, Practice, User
from coaching.demo import studio
from coaching.demo.cast import COACHES, ENQUIRIES, GIVEN_OUT, HOLIDAYS, PEOPLE, PRACTICE, WRITTEN
from coaching.demo.loading import (
    baseline,
    checking_in,
    giving_out,
    health,
    library,
    noting,
    planning,
    recording,
    talking,
    writing,
)
from coaching.demo.loading.arriving import arrive, renew_checks
from coaching.demo.loading.days import Now
from coaching.demo.person import Person, Plan
from coaching.demo.studio import Ready
from coaching.domain.rebuild import rebuild_client
from jobs.models import Job
from programs.domain.library import load_library
from programs.domain.logging import log_entries
from programs.models import Block
from submissions.domain.queueing import raise_all_lanes

# Letters older than this would be noise in the mailbox.
NEW_LETTERS = datetime.timedelta(days=3)
Clips = Callable[[], dict[str, Ready]]


def load_demo(*, at: datetime.datetime, people: Iterable[Person] = PEOPLE, one_by_one: bool = False) -> None:
    """Fill an empty database with the invented practice, with dates anchored to `at`.

    `one_by_one` tells every set through the verb of the phone's API, where otherwise a client's weeks are kept at
    once: slower, and the same rows.
    """
    now, started = Now(at), time.monotonic()
    # Those who sent clips come last: by then the clips are drawn.
    in_order = sorted(people, key=lambda person: len(person.filmed) > 0)
    figures = {filmed.figure for person in in_order for filmed in person.filmed}
    with studio.making(figures) as clips, transaction.atomic():
        load_library()
        coaches = _practice()
        library.make_it_theirs(coaches["mara"].practice)
        for person in in_order:
            _person(person, coaches, clips, now=now, one_by_one=one_by_one)
            _tell_planner()
        for enquiry in ENQUIRIES:
            noting.enquire(coaches["mara"].practice, enquiry, coaches["mara"].user, now=now)
        for written in WRITTEN:
            writing.keep_written(written, now=now)
        for given_out in GIVEN_OUT:
            giving_out.give_out(given_out, now=now)
        for holiday in HOLIDAYS:
            noting.go_on_holiday(holiday, coaches, now=now)
        raise_all_lanes(at=at)
        _tidy_letters(now)
        for client in Client.objects.all():
            # As late as it really is, so that nothing written meanwhile counts as news.
            rebuild_client(client, at=at + datetime.timedelta(seconds=time.monotonic() - started))


def _tell_planner() -> None:
    """PostgreSQL counts for itself only what is committed: tables filled by one long transaction would stay empty to
    its planner, and a query over five of them took minutes."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")


def _practice() -> dict[str, Membership]:
    practice = Practice.objects.create(**PRACTICE)
    members = {}
    for key, coach in COACHES.items():
        user = User.objects.create_user(coach.email, None, name=coach.name, is_demo=True)
        members[key] = Membership.objects.create(practice=practice, user=user, role=Role(coach.role))
    return members


def _person(person: Person, coaches: dict[str, Membership], clips: Clips, *, now: Now, one_by_one: bool) -> None:
    coach = coaches[person.coach]
    client = arrive(person, coach, now=now)
    baseline.go_through_early(client, person, coach.user, now=now)
    if person.plan is not None:
        _train(client, person, coach.user, now=now, one_by_one=one_by_one)
    baseline.go_through_late(client, person, coach.user, now=now)
    baseline.set_maxima(client, person, coach.user, now=now)
    talking.talk(client, person, coaches, clips, now=now)
    checking_in.check_in(client, person, coaches[person.coach].user, now=now)
    noting.keep_in_mind(client, person, coach.user, coaches["mara"].user, now=now)
    health.tell_health(client, person, coach.user, now=now)
    health.leave(client, person, coach.user, now=now)


def _train(client: Client, person: Person, coach: User, *, now: Now, one_by_one: bool) -> None:
    if person.plan is None:
        return
    first = planning.first_block(client, person, person.plan, coach, now=now)
    _record(client, person, person.plan, first, now=now, one_by_one=one_by_one)
    second = planning.second_block(client, person, first, coach)
    renew_checks(client, person, now=now)
    _record(client, person, person.plan, second, now=now, one_by_one=one_by_one)


def _record(client: Client, person: Person, plan: Plan, block: Block, *, now: Now, one_by_one: bool) -> None:
    sessions = recording.sessions_of(client, person, plan, block, now=now)
    if not one_by_one:
        recording.keep(client, sessions)
        return
    for session in sessions:
        received = max(told["device_at"] for told in session.entries)
        answers = log_entries(client, [recording.as_sent(told) for told in session.entries], at=received)
        if refused := [answer for answer in answers if answer.status != "stored"]:
            raise RuntimeError(f"demo log refused: {refused[0].errors}")


def _tidy_letters(now: Now) -> None:
    """Leave the open invitation and the newest answers; all is marked as sent, and no job waits to send it."""
    OutgoingMail.objects.exclude(to__in=[person.email for person in PEOPLE if not person.accepts]).delete()
    letters = set(OutgoingMail.objects.values_list("pk", flat=True))
    for job in Job.objects.filter(name="clients.send_mail"):
        if job.args[0] not in letters:
            job.delete()


def demo_is_loaded() -> bool:
    return User.objects.filter(is_demo=True).exists()
