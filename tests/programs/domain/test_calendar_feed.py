"""The calendar feed against RFC 5545, read by two parsers that were written apart: icalendar and vobject."""

import datetime
import re
import unicodedata
from zoneinfo import ZoneInfo

import icalendar
import pytest
import pytz
import vobject
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clients.choices import ClientState
from programs.choices import SessionState, SkipReason
from programs.domain.calendar_feed import end_feed, feed_behind, feed_of, new_feed, starts_at, write_calendar
from programs.domain.days import move_session
from programs.domain.drafting import new_revision
from programs.domain.excusing import excuse_days, take_back
from programs.domain.logging import log_entries
from programs.errors import FeedNotThere, ProgramsError
from programs.models import CalendarFeed, Excuse, ScheduledSession
from tests import factories as f
from tests.programs.domain.test_publishing import draft, publish, ready
from tests.programs.log import session_entry

__all__ = ["ready"]
pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)
TODAY = f.NOON.date()
# By their own rules: the second goes back before the first does, the third changes by half an hour, in the south.
ZONES = ["Europe/Vienna", "America/New_York", "Australia/Lord_Howe"]


def feed(client, **given):
    return f.CalendarFeedFactory(client=client, **given)


def written(client, **given):
    return write_calendar(feed_of(client) or feed(client, **given), today=TODAY)


def by_icalendar(content):
    return {str(event["UID"]): event for event in icalendar.Calendar.from_ical(content).walk("VEVENT")}


def by_vobject(content):
    return {event.uid.value: event for event in vobject.readOne(content.decode()).contents.get("vevent", [])}


def check_lines(content):
    """RFC 5545, 3.1: lines end in CRLF, have 75 octets at most, and no character is cut in two."""
    assert content.endswith(b"\r\n")
    lines = content[:-2].split(b"\r\n")
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    assert max(len(line) for line in lines) <= 75
    for line in lines:
        line.decode()
    unfolded = content.decode().replace("\r\n ", "").split("\r\n")
    assert all(re.match(r"[A-Z-]+[;:]", line) for line in unfolded if line)


# What a calendar has to have


def test_both_parsers_read_the_same_whole_days(cast):
    session = f.BlockSessionFactory(block__client=cast.client, name="Squat, push; and \\ more")
    scheduled = f.ScheduledSessionFactory(client=cast.client, session=session)

    content = written(cast.client)

    check_lines(content)
    one, other = by_icalendar(content)[str(scheduled.lineage)], by_vobject(content)[str(scheduled.lineage)]
    assert one["SUMMARY"] == other.summary.value == "Training: Squat, push; and \\ more"
    assert one.decoded("DTSTART") == other.dtstart.value == TODAY
    assert one.decoded("DTEND") == other.dtend.value == TODAY + DAY
    assert one["STATUS"] == other.status.value == "CONFIRMED"
    assert int(one["SEQUENCE"]) == int(other.sequence.value) == 0
    assert b"DTSTART;VALUE=DATE:20260304\r\n" in content


def test_calendar_has_what_the_standard_asks_of_it(cast):
    f.ScheduledSessionFactory(client=cast.client)

    calendar = icalendar.Calendar.from_ical(written(cast.client))

    assert (calendar["VERSION"], calendar["CALSCALE"]) == ("2.0", "GREGORIAN")
    assert calendar["PRODID"]
    (event,) = calendar.walk("VEVENT")
    assert {"UID", "DTSTAMP", "DTSTART"} <= set(event)
    assert event.decoded("DTSTAMP").utcoffset() == event.decoded("LAST-MODIFIED").utcoffset() == datetime.timedelta(0)
    vobject.readOne(written(cast.client).decode()).validate(raiseException=True)


def test_calendar_without_sessions_is_still_one(cast):
    content = written(cast.client)

    check_lines(content)
    assert [part.name for part in icalendar.Calendar.from_ical(content).subcomponents] == ["VTIMEZONE"]
    assert by_vobject(content) == {}


def test_same_rows_give_the_same_bytes(cast):
    f.ScheduledSessionFactory(client=cast.client)

    assert written(cast.client) == written(cast.client)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=st.text(st.characters(exclude_characters="\0", codec="utf-8"), min_size=1, max_size=120))
def test_any_title_arrives_whole_with_both_parsers(cast, name):
    with transaction.atomic():
        session = f.BlockSessionFactory(block__client=cast.client, name=name)
        scheduled = f.ScheduledSessionFactory(client=cast.client, session=session)
        content = written(cast.client)
        transaction.set_rollback(True)

    check_lines(content)
    # Control characters and separators of lines cannot be in a text: each is a space.
    kept = "".join(" " if unicodedata.category(one) in {"Cc", "Zl", "Zp"} else one for one in name)
    uid = str(scheduled.lineage)
    assert by_icalendar(content)[uid]["SUMMARY"] == f"Training: {kept}"
    assert by_vobject(content)[uid].summary.value == f"Training: {kept}"


def test_nothing_about_health_or_doses_is_in_it(cast):
    f.PainReportFactory(client=cast.client, note="kestrel")
    session = f.BlockSessionFactory(block__client=cast.client)
    f.PrescriptionFactory(group__section__session=session, cue="wheatear", change_reason="redstart")
    given = {"state": SessionState.EXCUSED, "reason": SkipReason.ILL}
    f.ScheduledSessionFactory(client=cast.client, session=session, **given)

    text = written(cast.client, starts_at=datetime.time(18)).decode().lower()

    told = {"kestrel", "wheatear", "redstart", "ill", "excused", "pain", "reps"}
    assert told & set(re.split(r"[^a-z]+", text)) == set()


def test_only_the_clients_own_sessions_are_in_it(cast):
    f.ScheduledSessionFactory(client=cast.other_client)

    assert by_icalendar(written(cast.client)) == {}


def test_months_old_sessions_are_left_out(cast):
    f.ScheduledSessionFactory(client=cast.client, on=TODAY - 85 * DAY)
    kept = f.ScheduledSessionFactory(client=cast.client, on=TODAY - 84 * DAY)

    assert set(by_icalendar(written(cast.client))) == {str(kept.lineage)}


# Hours


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("hour", [0, 1, 2, 3, 7, 18, 23])
def test_hour_stays_the_same_on_the_clients_clock_over_a_whole_year(cast, zone, hour):
    """Against pytz, which carries rules and arithmetic of its own."""
    time, theirs = datetime.time(hour, 30), pytz.timezone(zone)

    wrong = []
    for number in range(366):
        day = datetime.date(2026, 1, 1) + number * DAY
        instant = starts_at(day, time, ZoneInfo(zone))
        local = datetime.datetime.combine(day, time)
        if instant.astimezone(theirs).replace(tzinfo=None) != local:
            wrong.append((day, local))
    for _day, local in wrong:
        # Only times that the clock skips.
        with pytest.raises(pytz.NonExistentTimeError):
            theirs.localize(local, is_dst=None)
    assert len(wrong) <= 1


@pytest.mark.parametrize(
    ("zone", "day", "time", "utc"),
    [
        # Clocks go forward on 29 March 2026 at 02:00 and back on 25 October at 03:00.
        ("Europe/Vienna", "2026-03-28", "18:00", "20260328T170000Z"),
        ("Europe/Vienna", "2026-03-29", "18:00", "20260329T160000Z"),
        ("Europe/Vienna", "2026-03-29", "02:30", "20260329T013000Z"),
        ("Europe/Vienna", "2026-10-25", "02:30", "20261025T003000Z"),
        ("Europe/Vienna", "2026-10-25", "18:00", "20261025T170000Z"),
        # 8 March at 02:00 and 1 November at 02:00.
        ("America/New_York", "2026-03-07", "18:00", "20260307T230000Z"),
        ("America/New_York", "2026-03-08", "18:00", "20260308T220000Z"),
        ("America/New_York", "2026-03-08", "02:30", "20260308T073000Z"),
        ("America/New_York", "2026-11-01", "01:30", "20261101T053000Z"),
        # By half an hour: back on 5 April at 02:00, forward on 4 October at 02:00.
        ("Australia/Lord_Howe", "2026-04-04", "18:00", "20260404T070000Z"),
        ("Australia/Lord_Howe", "2026-04-05", "18:00", "20260405T073000Z"),
        ("Australia/Lord_Howe", "2026-04-05", "01:45", "20260404T144500Z"),
        ("Australia/Lord_Howe", "2026-10-04", "02:15", "20261003T154500Z"),
        ("Australia/Lord_Howe", "2026-10-04", "18:00", "20261004T070000Z"),
    ],
)
def test_hour_at_a_change_of_clocks_is_what_both_parsers_read(cast, zone, day, time, utc):
    """Worked by hand from the zones' rules of 2026 and RFC 5545, 3.3.5 (skipped and doubled times); from memory."""
    f.ScheduledSessionFactory(client=cast.client, on=datetime.date.fromisoformat(day))

    content = written(cast.client, starts_at=datetime.time.fromisoformat(time), time_zone=zone)

    assert f"DTSTART:{utc}\r\n".encode() in content
    (one,), (other,) = by_icalendar(content).values(), by_vobject(content).values()
    assert one.decoded("DTSTART") == other.dtstart.value == datetime.datetime.fromisoformat(utc)
    assert other.dtend.value - other.dtstart.value == datetime.timedelta(minutes=15)


@pytest.mark.parametrize("zone", ZONES)
def test_whole_day_is_the_same_day_in_every_zone(cast, zone):
    for day in ("2026-03-29", "2026-10-25", "2026-03-08", "2026-11-01", "2026-04-05", "2026-10-04"):
        f.ScheduledSessionFactory(client=cast.client, on=datetime.date.fromisoformat(day), time_zone=zone)

    events = by_vobject(written(cast.client, time_zone=zone)).values()

    assert {(event.dtend.value - event.dtstart.value).days for event in events} == {1}
    assert len({event.dtstart.value for event in events}) == 6


# Changes


def shown(content):
    """What a calendar shows of each event, and its number of the change."""
    return {
        uid: ((event.decoded("DTSTART"), str(event["SUMMARY"]), str(event["STATUS"])), int(event["SEQUENCE"]))
        for uid, event in by_icalendar(content).items()
    }


def test_moved_session_keeps_its_id_and_is_a_later_version(cast):
    scheduled = f.ScheduledSessionFactory(client=cast.client)
    before = by_icalendar(written(cast.client))[str(scheduled.lineage)]

    move_session(scheduled, to=TODAY + 2 * DAY, at=f.NOON)

    ((uid, after),) = by_icalendar(written(cast.client)).items()
    assert uid == str(scheduled.lineage)
    assert after.decoded("DTSTART") == TODAY + 2 * DAY
    assert after["SEQUENCE"] > before["SEQUENCE"]
    assert after.decoded("LAST-MODIFIED") >= before.decoded("LAST-MODIFIED")


def test_session_that_a_revision_withdrew_is_cancelled_and_the_others_keep_their_ids(cast, ready):
    block = publish(draft(cast), cast)
    before = shown(written(ready))
    revision = new_revision(block, by=cast.coach)
    revision.sessions.get(week=2, weekday=5).delete()
    publish(revision, cast)

    after = shown(written(ready))

    assert set(after) == set(before)
    gone = [uid for uid, (seen, _number) in after.items() if seen[2] == "CANCELLED"]
    assert len(gone) == 1
    assert after[gone[0]][1] > before[gone[0]][1]


def test_excused_session_is_cancelled_until_the_excuse_is_taken_back(cast):
    f.ScheduledSessionFactory(client=cast.client)
    days = {"first_on": TODAY, "last_on": TODAY, "reason": "ill"}
    excuse = excuse_days(cast.client, **days, by=cast.client_user, at=f.NOON)
    ((excused, first),) = shown(written(cast.client)).values()

    take_back(excuse, by=cast.client_user, at=f.NOON)

    ((planned, second),) = shown(written(cast.client)).values()
    assert (excused[2], planned[2]) == ("CANCELLED", "CONFIRMED")
    assert 0 < first < second


STEPS = st.lists(
    st.tuples(st.sampled_from(["move", "excuse", "back", "skip", "rename", "drop", "again"]), st.integers(0, 13)),
    min_size=1,
    max_size=6,
)


@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=STEPS)
def test_whatever_happens_no_event_vanishes_and_each_visible_change_has_a_higher_number(cast, ready, steps):
    with transaction.atomic():
        state = {"block": publish(draft(cast), cast)}
        before = shown(written(ready))
        for what, number in steps:
            try:
                with transaction.atomic():
                    _step(cast, state, what, number)
            except ProgramsError:
                continue
            after = shown(written(ready))
            assert set(before) <= set(after)
            for uid, (seen, changes) in before.items():
                assert after[uid][1] >= changes
                assert after[uid][0] == seen or after[uid][1] > changes, (what, seen, after[uid])
            before = after
        transaction.set_rollback(True)


def _step(cast, state, what, number):
    day = TODAY + number * DAY
    planned = ScheduledSession.objects.of(cast.client).filter(state=SessionState.PLANNED, on__gte=TODAY)
    one = planned[number % len(planned)] if planned else None
    if what == "move" and one:
        move_session(one, to=day, at=f.NOON)
    elif what == "excuse":
        excuse_days(cast.client, first_on=day, last_on=day, reason="travel", by=cast.coach, at=f.NOON)
    elif what == "back" and (excuse := Excuse.objects.counting().first()):
        take_back(excuse, by=cast.coach, at=f.NOON)
    elif what == "skip" and one:
        log_entries(cast.client, [session_entry(one, outcome="skipped", skip_reason="time")], at=f.NOON)
    elif what in {"rename", "drop", "again"}:
        revision = new_revision(state["block"], by=cast.coach)
        if what == "rename":
            revision.sessions.filter(weekday=5).update(name=f"Named {number}")
        elif what == "drop":
            revision.sessions.filter(week=2, weekday=5).delete()
        state["block"] = publish(revision, cast)


# The token


def test_token_is_kept_as_its_hash_alone_and_a_new_one_ends_the_old(cast):
    first = new_feed(cast.client, starts_at=None, at=f.NOON)
    second = new_feed(cast.client, starts_at=None, at=f.NOON)

    assert first != second
    assert len(first) >= 43  # 256 bits
    assert not any(token in str(row) for token in (first, second) for row in CalendarFeed.objects.values_list())
    with pytest.raises(FeedNotThere):
        feed_behind(first, at=f.NOON)
    assert feed_behind(second, at=f.NOON).client == cast.client


def test_ended_feed_opens_nothing(cast):
    token = new_feed(cast.client, starts_at=None, at=f.NOON)

    assert end_feed(cast.client, at=f.NOON)
    assert not end_feed(cast.client, at=f.NOON)
    with pytest.raises(FeedNotThere):
        feed_behind(token, at=f.NOON)


@pytest.mark.parametrize("change", [{"state": ClientState.ENDED}, {"erased_at": f.NOON}])
def test_feed_of_somebody_who_has_left_opens_nothing(cast, change):
    token = new_feed(cast.client, starts_at=None, at=f.NOON)
    type(cast.client).objects.filter(pk=cast.client.pk).update(**change)

    with pytest.raises(FeedNotThere):
        feed_behind(token, at=f.NOON)


def test_reading_is_noted_once_an_hour(cast):
    token = new_feed(cast.client, starts_at=None, at=f.NOON)
    for minutes in (0, 30, 61):
        feed_behind(token, at=f.NOON + datetime.timedelta(minutes=minutes))

    assert CalendarFeed.objects.get().read_at == f.NOON + datetime.timedelta(minutes=61)
