"""Daily work around every clock change of every zone since 1970: once per date, whatever clocks do."""

import datetime
import functools
import itertools
import zoneinfo
from zoneinfo import ZoneInfo

import pytest
from hypothesis import assume, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from jobs.periods import Daily

DAY = datetime.timedelta(days=1)
QUARTER = datetime.timedelta(minutes=15)
FIRST = datetime.datetime(1970, 1, 2, tzinfo=datetime.UTC)
LAST = datetime.datetime(2037, 12, 1, tzinfo=datetime.UTC)
ZONES = sorted(zoneinfo.available_timezones())
# Zones that went to the other side of the date line, so that a whole date never was.
SKIPPED = {
    "Pacific/Apia": datetime.date(2011, 12, 30),
    "Pacific/Fakaofo": datetime.date(2011, 12, 30),
    "Pacific/Enderbury": datetime.date(1994, 12, 31),
    "Pacific/Kiritimati": datetime.date(1994, 12, 31),
    "Pacific/Kwajalein": datetime.date(1993, 8, 21),
}


@functools.cache
def clock_changes(zone: str) -> list[datetime.datetime]:
    """To the second. Two changes within one week that undo each other are not seen."""
    local, week = ZoneInfo(zone), datetime.timedelta(days=7)
    found, at = [], FIRST
    while at < LAST:
        before, after = at, at + week
        if _offset(before, local) != _offset(after, local):
            while after - before > datetime.timedelta(seconds=1):
                middle = before + (after - before) / 2
                before, after = (middle, after) if _offset(middle, local) == _offset(at, local) else (before, middle)
            found.append(after.replace(microsecond=0))
        at += week
    return found


def _offset(at: datetime.datetime, zone: ZoneInfo) -> datetime.timedelta | None:
    return at.astimezone(zone).utcoffset()


@st.composite
def changes(draw) -> tuple[str, datetime.datetime]:
    zone = draw(st.sampled_from(ZONES))
    assume(clock_changes(zone))
    return zone, draw(st.sampled_from(clock_changes(zone)))


def looks_around(change: datetime.datetime) -> list[datetime.datetime]:
    """Every quarter of an hour for six days, and just before and after the change."""
    second = datetime.timedelta(seconds=1)
    steady = [change - 3 * DAY + n * QUARTER for n in range(6 * 96)]
    return sorted([*steady, change - second, change, change + second])


def dates_between(first: datetime.date, last: datetime.date) -> list[datetime.date]:
    return [first + n * DAY for n in range((last - first).days + 1)]


hours = st.integers(0, 23)
thorough = hypothesis_settings(max_examples=300)


@thorough
@given(changes(), hours)
def test_period_named_around_a_clock_change_has_begun(zoned, hour):
    zone, change = zoned
    periods = [(Daily(hour, zone).latest(at), at) for at in looks_around(change)]

    assert [at for period, at in periods if period.starts > at] == []


@thorough
@given(changes(), hours)
def test_clock_change_leads_back_to_no_earlier_period(zoned, hour):
    zone, change = zoned
    periods = [Daily(hour, zone).latest(at) for at in looks_around(change)]

    assert [period.key for period in periods] == sorted(period.key for period in periods)
    assert [period.starts for period in periods] == sorted(period.starts for period in periods)


@thorough
@given(changes(), hours)
def test_every_date_the_clock_showed_has_one_period(zoned, hour):
    zone, change = zoned
    looks = looks_around(change)
    names = (Daily(hour, zone).latest(at).key for at in looks)
    keys = [datetime.date.fromisoformat(name) for name, _ in itertools.groupby(names)]
    shown = {at.astimezone(ZoneInfo(zone)).date() for at in looks}

    assert keys == [day for day in dates_between(keys[0], keys[-1]) if day in shown or day < min(shown)]


@pytest.mark.parametrize(("zone", "date"), SKIPPED.items())
def test_date_that_never_was_has_no_period(zone, date):
    noon = datetime.datetime.combine(date, datetime.time(12), datetime.UTC)
    keys = {Daily(hour, zone).latest(at).key for at in looks_around(noon) for hour in range(24)}

    assert date.isoformat() not in keys
    assert {(date - DAY).isoformat(), (date + DAY).isoformat()} <= keys


def test_date_that_a_zone_returned_to_after_midnight_is_not_due_again():
    """St John's put its clocks back at 00:01, to 23:01 of a date that was over."""
    change = datetime.datetime(2010, 11, 7, 2, 31, tzinfo=datetime.UTC)
    looks = [change + datetime.timedelta(minutes=m) for m in (-2, -1, 0, 30, 59, 61)]

    assert [Daily(0, "America/St_Johns").latest(at).key[-2:] for at in looks] == ["06", "07", "07", "07", "07", "07"]
