"""Which day a log counts to, and moving sessions."""

import datetime

import pytest

from programs.choices import SessionState
from programs.domain.days import move_session, training_day
from programs.domain.logging import log_entries
from programs.errors import DayOutOfReach, NotMovable
from programs.models import ScheduledSession, SetLog
from tests import factories as f
from tests.programs.log import session_with, set_entry

WEDNESDAY = datetime.date(2026, 3, 4)


def day(on, device_at, zone):
    return training_day(on, datetime.datetime.fromisoformat(device_at), zone)


@pytest.mark.parametrize(
    ("device_at", "zone", "expected"),
    [
        ("2026-03-04T18:00:00+01:00", "Europe/Vienna", WEDNESDAY),
        # Past midnight, and the next evening: still Wednesday's session.
        ("2026-03-05T00:40:00+01:00", "Europe/Vienna", WEDNESDAY),
        ("2026-03-05T21:00:00+01:00", "Europe/Vienna", WEDNESDAY),
        ("2026-03-06T00:10:00+01:00", "Europe/Vienna", datetime.date(2026, 3, 6)),
        # Earlier than planned: the day it was.
        ("2026-03-03T18:00:00+01:00", "Europe/Vienna", datetime.date(2026, 3, 3)),
        # One instant, three days around the world.
        ("2026-03-04T10:30:00+00:00", "Pacific/Kiritimati", WEDNESDAY),
        ("2026-03-04T10:30:00+00:00", "Pacific/Pago_Pago", datetime.date(2026, 3, 3)),
    ],
)
def test_training_day_is_the_local_date_or_the_scheduled_day_before(device_at, zone, expected):
    assert day(WEDNESDAY, device_at, zone) == expected


@pytest.mark.parametrize(
    ("device_at", "expected"),
    [
        # Clocks go forward on 29 March 2026 at 02:00 and back on 25 October 2026 at 03:00 in Vienna.
        ("2026-03-28T23:30:00+00:00", datetime.date(2026, 3, 29)),
        ("2026-03-29T22:30:00+00:00", datetime.date(2026, 3, 30)),
        ("2026-10-24T22:30:00+00:00", datetime.date(2026, 10, 25)),
        ("2026-10-25T22:30:00+00:00", datetime.date(2026, 10, 25)),
        ("2026-10-25T23:30:00+00:00", datetime.date(2026, 10, 26)),
    ],
)
def test_training_day_follows_the_zones_own_clock_changes(device_at, expected):
    assert day(datetime.date(2026, 1, 1), device_at, "Europe/Vienna") == expected


def test_a_later_change_of_zone_moves_no_day(cast):
    scheduled, dose = session_with(cast)
    log_entries(cast.client, [set_entry(scheduled, dose)], at=f.NOON + datetime.timedelta(days=1))
    cast.client.time_zone = "Pacific/Kiritimati"
    cast.client.save()

    assert SetLog.objects.get().training_day == WEDNESDAY


def test_moving_keeps_the_lineage_and_leaves_a_trace(cast):
    scheduled, _dose = session_with(cast)

    moved = move_session(scheduled, to=WEDNESDAY + datetime.timedelta(days=2), at=f.NOON)

    scheduled.refresh_from_db()
    assert (moved.lineage, moved.moved_from, scheduled.state) == (scheduled.lineage, scheduled, SessionState.MOVED)


def test_moving_twice_to_the_same_day_moves_once(cast):
    scheduled, _dose = session_with(cast)
    to = WEDNESDAY + datetime.timedelta(days=2)

    assert move_session(scheduled, to=to, at=f.NOON) == move_session(scheduled, to=to, at=f.NOON)
    assert ScheduledSession.objects.count() == 2


def test_session_with_a_logged_set_does_not_move(cast):
    scheduled, dose = session_with(cast)
    log_entries(cast.client, [set_entry(scheduled, dose, device_at="2026-03-04T11:00:00+00:00")], at=f.NOON)

    with pytest.raises(NotMovable):
        move_session(scheduled, to=WEDNESDAY + datetime.timedelta(days=2), at=f.NOON)


@pytest.mark.parametrize("days", [-1, 0, 15])
def test_session_moves_neither_back_nor_nowhere_nor_far(cast, days):
    scheduled, _dose = session_with(cast)

    with pytest.raises(DayOutOfReach):
        move_session(scheduled, to=WEDNESDAY + datetime.timedelta(days=days), at=f.NOON)


def test_set_logged_on_the_old_day_of_a_moved_session_lands_on_the_new_one(cast):
    scheduled, dose = session_with(cast)
    moved = move_session(scheduled, to=WEDNESDAY + datetime.timedelta(days=2), at=f.NOON)

    log_entries(
        cast.client,
        [set_entry(scheduled, dose, device_at="2026-03-06T11:00:00+00:00")],
        at=f.NOON + datetime.timedelta(days=2),
    )

    moved.refresh_from_db()
    assert (SetLog.objects.get().scheduled, moved.state) == (moved, SessionState.PARTLY)
