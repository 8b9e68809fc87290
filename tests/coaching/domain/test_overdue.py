"""When an overdue check-in is a reason on the coach's desk, and when it is none."""

import datetime

import pytest

from clients.choices import ClientState
from coaching.domain.rebuild import rebuild_client
from coaching.models import AttentionItem
from tests import factories as f

pytestmark = pytest.mark.django_db
SUNDAY = f.MONDAY + datetime.timedelta(days=6)
DAY = datetime.timedelta(days=1)


@pytest.fixture
def owing(cast):
    """Has told nothing yet, and may."""
    f.ConsentFactory(client=cast.client)
    cast.client.time_zone = "UTC"
    cast.client.save(update_fields=["time_zone"])
    return cast.client


def reasons(client, day):
    rebuild_client(client, at=datetime.datetime.combine(day, datetime.time(12), datetime.UTC))
    return list(AttentionItem.objects.of(client).filter(kind="check_in"))


@pytest.mark.parametrize(("days", "shown"), [(-1, SUNDAY - 7 * DAY), (0, None), (1, SUNDAY), (6, SUNDAY), (7, None)])
def test_overdue_check_in_is_on_the_desk_from_the_day_after_its_own(owing, days, shown):
    found = reasons(owing, SUNDAY + days * DAY)

    assert [item.since for item in found] == ([] if shown is None else [shown])


def test_it_is_gone_when_the_check_in_has_come_and_back_for_the_next_week(owing):
    assert reasons(owing, SUNDAY + 2 * DAY)

    f.CheckInFactory(client=owing, week=f.MONDAY, due_on=SUNDAY)

    assert reasons(owing, SUNDAY + 2 * DAY) == []
    assert [item.since for item in reasons(owing, SUNDAY + 8 * DAY)] == [SUNDAY + 7 * DAY]


def test_letters_that_are_turned_off_hide_nothing_from_the_coach(owing):
    owing.check_in_reminders = False
    owing.save(update_fields=["check_in_reminders"])

    assert reasons(owing, SUNDAY + DAY)


@pytest.mark.parametrize("state", sorted(set(ClientState) - {ClientState.ACTIVE}))
def test_whoever_is_not_active_owes_none(owing, state):
    owing.state = state
    owing.save(update_fields=["state"])

    assert reasons(owing, SUNDAY + DAY) == []


def test_whoever_may_not_tell_it_owes_none(cast):
    assert reasons(cast.client, SUNDAY + DAY) == []


@pytest.mark.parametrize(
    ("first", "last", "shown"), [(-3, -1, True), (-1, 0, False), (1, 1, False), (2, 4, False), (4, 6, True)]
)
def test_whoever_was_excused_since_it_was_asked_for_owes_none(owing, first, last, shown):
    f.ExcuseFactory(client=owing, first_on=SUNDAY + first * DAY, last_on=SUNDAY + last * DAY)

    assert bool(reasons(owing, SUNDAY + 2 * DAY)) is shown


def test_excuse_that_was_taken_back_excuses_nothing(owing):
    f.ExcuseFactory(client=owing, first_on=SUNDAY, last_on=SUNDAY, is_withdrawn=True)

    assert reasons(owing, SUNDAY + DAY)


def test_put_away_holds_for_its_own_week_only(owing):
    (this,), (following,) = reasons(owing, SUNDAY + DAY), reasons(owing, SUNDAY + 8 * DAY)

    assert this.key == following.key
    assert this.numbers != following.numbers
