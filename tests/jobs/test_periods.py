"""When scheduled work is due."""

import datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.periods import Daily, Every

# Clocks that skip 02:00, repeat 01:00, move by half an hour, and an island that skipped a whole day.
ZONES = ["Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Pacific/Apia", "America/Sao_Paulo", "UTC"]
instants = st.datetimes(datetime.datetime(2005, 1, 1), datetime.datetime(2035, 1, 1), timezones=st.just(datetime.UTC))
schedules = st.one_of(
    st.builds(Daily, st.integers(0, 23), st.sampled_from(ZONES)),
    st.builds(Every, st.timedeltas(datetime.timedelta(seconds=1), datetime.timedelta(days=8))),
)


@given(schedules, instants)
def test_latest_period_has_begun(schedule, at):
    assert schedule.latest(at).starts <= at


@given(schedules, instants, st.timedeltas(datetime.timedelta(0), datetime.timedelta(days=400)))
def test_time_never_leads_back_to_an_earlier_period(schedule, at, sleep):
    earlier, later = schedule.latest(at), schedule.latest(at + sleep)

    assert earlier.starts <= later.starts
    assert (earlier.key <= later.key) or isinstance(schedule, Every)


@given(st.integers(0, 23), st.sampled_from(ZONES), instants)
def test_every_hourly_look_through_a_week_sees_each_date_once(hour, zone, at):
    keys = [Daily(hour, zone).latest(at + datetime.timedelta(hours=h)).key for h in range(24 * 7)]
    seen = list(dict.fromkeys(keys))
    first, last = (datetime.date.fromisoformat(key) for key in (seen[0], seen[-1]))

    assert keys == sorted(keys)
    # A date that a zone skipped has no hour of its own: then one fewer.
    assert (last - first).days + 1 - len(seen) in ([0, 1] if zone == "Pacific/Apia" else [0])


@given(st.integers(0, 23), st.sampled_from(ZONES), instants)
def test_daily_period_is_at_most_a_day_and_a_clock_change_old(hour, zone, at):
    longest = datetime.timedelta(hours=48 if zone == "Pacific/Apia" else 25)

    assert at - Daily(hour, zone).latest(at).starts < longest


@pytest.mark.parametrize(
    ("local", "key"),
    [
        ("2026-03-28T23:59", "2026-03-28"),
        ("2026-03-29T01:59", "2026-03-28"),  # 02:00 is skipped
        ("2026-03-29T03:00", "2026-03-29"),
        ("2026-03-29T23:00", "2026-03-29"),
    ],
)
def test_daily_at_an_hour_that_clocks_skip_is_due_when_they_have_skipped_it(local, key):
    at = datetime.datetime.fromisoformat(local).replace(tzinfo=ZoneInfo("Europe/Berlin"))

    assert Daily(2, "Europe/Berlin").latest(at).key == key


def test_daily_at_an_hour_that_clocks_repeat_has_one_key():
    first = datetime.datetime(2026, 10, 25, 0, 0, tzinfo=datetime.UTC)  # 02:00 in Berlin, and again an hour later
    keys = {Daily(2, "Europe/Berlin").latest(first + datetime.timedelta(minutes=m)).key for m in range(0, 180, 10)}

    assert keys == {"2026-10-25"}


def test_periods_of_a_length_count_from_the_epoch():
    at = datetime.datetime(2026, 3, 4, 12, 34, 56, tzinfo=datetime.UTC)

    assert Every(datetime.timedelta(minutes=5)).latest(at).key == "2026-03-04T12:30:00Z"
