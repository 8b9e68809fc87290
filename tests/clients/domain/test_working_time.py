import datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.domain.working_time import WorkingTime

UTC = ZoneInfo("UTC")
WEEKDAYS = frozenset(range(5))
ALWAYS = WorkingTime(UTC, frozenset(range(7)))
OFFICE = WorkingTime(UTC, WEEKDAYS, datetime.time(9), datetime.time(17))


def at(text: str, zone: ZoneInfo = UTC) -> datetime.datetime:
    return datetime.datetime.fromisoformat(text).replace(tzinfo=zone)


# 2026-03-06 is a Friday.
@pytest.mark.parametrize(
    ("time", "start", "hours", "by"),
    [
        (ALWAYS, "2026-03-06T12:00", 48, "2026-03-08T12:00"),
        (OFFICE, "2026-03-02T10:00", 24, "2026-03-03T10:00"),
        (OFFICE, "2026-03-06T12:00", 24, "2026-03-09T12:00"),
        (OFFICE, "2026-03-02T10:00", 12, "2026-03-03T09:00"),
        (OFFICE, "2026-03-06T16:00", 4, "2026-03-09T09:00"),
        (OFFICE, "2026-03-07T12:00", 0, "2026-03-09T09:00"),
        (WorkingTime(UTC, frozenset()), "2026-03-06T12:00", 48, "2026-03-08T12:00"),
        (WorkingTime(UTC, frozenset({2})), "2026-03-04T12:00", 24, "2026-03-11T12:00"),
    ],
)
def test_promise_counts_working_days_and_ends_in_opening_hours(time, start, hours, by):
    assert time.promised_by(at(start), hours) == at(by)


def test_promise_over_a_clock_change_counts_real_hours():
    berlin = WorkingTime(ZoneInfo("Europe/Berlin"), frozenset(range(7)))

    by = berlin.promised_by(at("2026-03-28T12:00", ZoneInfo("Europe/Berlin")), 24)

    assert by - at("2026-03-28T12:00", ZoneInfo("Europe/Berlin")).astimezone(datetime.UTC) == datetime.timedelta(
        hours=24
    )


times = st.builds(
    WorkingTime,
    st.sampled_from([UTC, ZoneInfo("Europe/Berlin"), ZoneInfo("America/New_York"), ZoneInfo("Australia/Lord_Howe")]),
    st.frozensets(st.integers(0, 6), min_size=1),
    st.times(datetime.time(0), datetime.time(11)).map(lambda time: time.replace(second=0, microsecond=0)),
    st.sampled_from([datetime.time(0), datetime.time(12), datetime.time(18, 30)]),
)
starts = st.datetimes(datetime.datetime(2026, 1, 1), datetime.datetime(2027, 1, 1), timezones=st.just(UTC))


@given(times, starts, st.integers(0, 200))
def test_promise_is_never_earlier_than_its_hours_and_falls_on_a_working_day(time, start, hours):
    by = time.promised_by(start, hours)

    assert by >= start + datetime.timedelta(hours=hours)
    # Midnight at the end of a working day is still that day's.
    last = (by - datetime.timedelta(microseconds=1)).astimezone(time.zone)
    assert {last.weekday(), by.astimezone(time.zone).weekday()} & time.days


@given(times, starts, st.integers(0, 100), st.integers(0, 100))
def test_longer_promise_is_never_kept_earlier(time, start, hours, more):
    assert time.promised_by(start, hours) <= time.promised_by(start, hours + more)
