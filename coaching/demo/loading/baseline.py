"""Baseline tests and reference maxima, through the verbs that clients and coaches use."""

import datetime
import uuid
from collections.abc import Iterable
from decimal import Decimal

from clients.models import Client, User
from coaching.demo.loading.days import DAY, Now
from coaching.demo.person import Baseline, Maximum, Person, Tested
from programs.choices import BaselineState, MaxOfWhat, MaxSource
from programs.domain.baseline import Told, ask_for_baseline, finish_run, start_run, tell_sex_for_norms, tell_test
from programs.domain.baseline_maxima import ToldMax, set_reference_max
from programs.library.battery import BY_CODE
from programs.library.battery_schema import Amount
from programs.models import BaselineRun, Movement

ASKED_AT, BEGUN_AT = datetime.time(9, 30), datetime.time(18, 10)
EACH = datetime.timedelta(minutes=4)


def go_through_early(client: Client, person: Person, coach: User, *, now: Now) -> None:
    """Those from before the set-up checks were renewed: a check counts from its day on."""
    for baseline in person.baselines:
        if baseline.days > _renewed(person):
            _go_through(client, person, coach, baseline, now=now)


def go_through_late(client: Client, person: Person, coach: User, *, now: Now) -> None:
    for baseline in person.baselines:
        if baseline.days <= _renewed(person):
            _go_through(client, person, coach, baseline, now=now)


def _renewed(person: Person) -> int:
    return max((place.renewed or 0 for place in person.places), default=0)


def _go_through(client: Client, person: Person, coach: User, baseline: Baseline, *, now: Now) -> None:
    by = client.user
    if by is None:
        raise ValueError(f"{person.name} has not come in yet")
    if baseline.asked is not None:
        asked_at = now.on(client, baseline.days + 2, ASKED_AT)
        ask_for_baseline(client, words=baseline.asked, by=coach, at=asked_at)
    at = now.on(client, baseline.days, BEGUN_AT)
    if person.sex_for_norms:
        tell_sex_for_norms(client, sex=person.sex_for_norms, by=by, at=at)
    run = start_run(client, uuid=uuid.uuid4(), by=by, at=at)
    for told in _told(baseline):
        at += EACH
        tell_test(run, told, by=by, at=at)
    if baseline.finished:
        finish_run(BaselineRun.objects.get(pk=run.pk), at=at + EACH)


def _told(baseline: Baseline) -> Iterable[Told]:
    yield from (_done(tested) for tested in baseline.tested)
    for test, reason in baseline.left_out.items():
        yield Told(uuid.uuid4(), test, state=BaselineState.SKIPPED.value, skip_reason=reason)


def _done(tested: Tested) -> Told:
    amount = BY_CODE[tested.test].amount
    return Told(
        uuid.uuid4(),
        tested.test,
        side=tested.side,
        planned_end=tested.planned,
        ended_by=tested.ended,
        way=tested.way,
        rir=None if tested.left is None else Decimal(tested.left),
        height_cm=tested.height,
        note=tested.note,
        repetitions=int(tested.amount) if amount is Amount.REPETITIONS else None,
        seconds=int(tested.amount) if amount is Amount.SECONDS else None,
        centimetres=Decimal(str(tested.amount)) if amount is Amount.CENTIMETRES else None,
    )


def set_maxima(client: Client, person: Person, coach: User, *, now: Now) -> None:
    for maximum in person.maxima:
        _set(client, maximum, coach, now=now)


def _set(client: Client, maximum: Maximum, coach: User, *, now: Now) -> None:
    current = Movement.objects.get(practice=None, slug=maximum.slug).current
    if current is None:
        raise ValueError(f"no movement {maximum.slug}")
    told = ToldMax(
        MaxOfWhat.SYSTEM.value, MaxSource.TESTED.value, Decimal(maximum.load), client.mass_unit, note=maximum.note
    )
    on = now.today(client) - maximum.days * DAY
    set_reference_max(client, current, told, on=on, by=coach, at=now.on(client, maximum.days, ASKED_AT))
