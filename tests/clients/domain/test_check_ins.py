"""For which week a check-in is asked, on whatever calendar the client lives, and what is kept of it."""

import datetime
import uuid
from zoneinfo import ZoneInfo, available_timezones

import pytest
from django.db import IntegrityError, transaction
from hypothesis import given
from hypothesis import strategies as st

from clients.choices import ClientState
from clients.domain.check_ins import asked_check_in, index_of, latest_due_day, record_check_in, week_of
from clients.errors import ConsentMissing, NoCheckInAsked, ReplacedMeanwhile
from clients.library.check_ins import ITEMS
from clients.models import CheckIn
from methods.undefined import Undefined
from methods.wellness import MCLEAN_ANCHORS, MCLEAN_ITEMS
from tests import factories as f

SUNDAY = f.MONDAY + datetime.timedelta(days=6)
DAY = datetime.timedelta(days=1)
NOTHING = dict.fromkeys([*MCLEAN_ITEMS, "confidence"]) | {"activity": "", "note": "", "question": ""}
DAYS = st.dates(datetime.date(2024, 1, 1), datetime.date(2030, 12, 31))
ZONES = sorted(available_timezones())


def at(day: datetime.date) -> datetime.datetime:
    return datetime.datetime.combine(day, datetime.time(19), datetime.UTC)


def tell(client, *, on=SUNDAY, due_on=None, seen=None, **said):
    return record_check_in(client, NOTHING | said, due_on=due_on or on, seen=seen, on=on, at=at(on))


@pytest.fixture
def client_of_ours(db):
    client = f.ClientFactory()
    f.ConsentFactory(client=client)
    return client


def test_words_of_every_item_are_those_of_the_index():
    assert {item.code: (item.low, item.high) for item in ITEMS} == MCLEAN_ANCHORS


@given(today=DAYS, weekday=st.integers(0, 6))
def test_due_day_is_the_latest_of_its_weekday_and_less_than_a_week_ago(today, weekday):
    due_on = latest_due_day(today, weekday)

    assert due_on.weekday() == weekday
    assert datetime.timedelta(0) <= today - due_on < datetime.timedelta(days=7)
    assert week_of(due_on) <= due_on


@given(day=DAYS, weekday=st.integers(0, 6))
def test_from_day_to_day_the_asked_week_moves_only_on_the_check_in_day(day, weekday):
    before, after = latest_due_day(day - DAY, weekday), latest_due_day(day, weekday)

    assert (before != after) == (day.weekday() == weekday)
    assert after - before in {datetime.timedelta(0), datetime.timedelta(days=7)}


@given(
    moment=st.datetimes(datetime.datetime(2024, 1, 1), datetime.datetime(2030, 1, 1), timezones=st.just(datetime.UTC)),
    zone=st.sampled_from(ZONES),
    weekday=st.integers(0, 6),
)
def test_week_between_two_check_ins_has_seven_local_days_across_clock_changes(moment, zone, weekday):
    here = moment.astimezone(ZoneInfo(zone)).date()
    week_later = (moment + datetime.timedelta(days=7)).astimezone(ZoneInfo(zone)).date()

    weeks = {latest_due_day(here + n * DAY, weekday) for n in range(7)}

    assert len(weeks) <= 2
    assert abs((week_later - here).days - 7) <= 1


@pytest.mark.parametrize("state", sorted(set(ClientState) - {ClientState.ACTIVE}))
def test_only_the_active_are_asked(client_of_ours, state):
    client_of_ours.state = state

    assert asked_check_in(client_of_ours, on=SUNDAY) is None


@pytest.mark.parametrize(
    ("days", "overdue"), [(0, False), (1, True), (6, True)]
)  # on the day it is due, from the next on overdue
def test_check_in_is_due_on_its_day_and_overdue_after_it(client_of_ours, days, overdue):
    asked = asked_check_in(client_of_ours, on=SUNDAY + days * DAY)

    assert (asked.due_on, asked.is_overdue(SUNDAY + days * DAY)) == (SUNDAY, overdue)


@pytest.mark.parametrize(("came", "asked"), [(SUNDAY - DAY, True), (SUNDAY, False), (SUNDAY + DAY, False)])
def test_whoever_came_since_owes_nothing_for_the_days_before(client_of_ours, came, asked):
    f.ClientStateChangeFactory(client=client_of_ours, to_state=ClientState.ACTIVE, at=at(came))

    assert (asked_check_in(client_of_ours, on=SUNDAY + 2 * DAY) is not None) == asked


def test_late_answer_stays_of_its_week(client_of_ours):
    told = tell(client_of_ours, on=SUNDAY + 5 * DAY, due_on=SUNDAY, mood=4)

    assert (told.week, told.due_on, told.told_on) == (f.MONDAY, SUNDAY, SUNDAY + 5 * DAY)


def test_page_opened_before_midnight_of_the_check_in_day_answers_for_its_own_week(client_of_ours):
    told = tell(client_of_ours, on=SUNDAY, due_on=SUNDAY - 7 * DAY, mood=4)

    assert told.week == f.MONDAY - 7 * DAY
    assert asked_check_in(client_of_ours, on=SUNDAY).told is None


@pytest.mark.parametrize("days", [-14, -3, 1, 7])
def test_other_weeks_are_refused(client_of_ours, days):
    with pytest.raises(NoCheckInAsked):
        tell(client_of_ours, due_on=SUNDAY + days * DAY, mood=4)


def test_pressed_twice_is_kept_once(client_of_ours):
    first = tell(client_of_ours, mood=4)

    assert tell(client_of_ours, mood=4) == first
    assert CheckIn.objects.count() == 1


def test_correction_is_a_version_that_keeps_the_day(client_of_ours):
    first = tell(client_of_ours, mood=4)

    second = tell(client_of_ours, on=SUNDAY + DAY, due_on=SUNDAY, seen=first.uuid, mood=2)

    first.refresh_from_db()
    assert (second.replaces, second.told_on, first.is_current) == (first, SUNDAY, False)


@pytest.mark.parametrize("seen", [None, uuid.UUID(int=7)])
def test_second_tab_does_not_overwrite_the_first(client_of_ours, seen):
    tell(client_of_ours, mood=4)

    with pytest.raises(ReplacedMeanwhile):
        tell(client_of_ours, seen=seen, mood=2)

    assert CheckIn.objects.get().mood == 4


def test_without_consent_to_health_data_nothing_is_kept(db):
    with pytest.raises(ConsentMissing):
        tell(f.ClientFactory(), mood=4)


def test_database_keeps_one_current_check_in_of_a_week(client_of_ours):
    f.CheckInFactory(client=client_of_ours)

    with pytest.raises(IntegrityError), transaction.atomic():
        f.CheckInFactory(client=client_of_ours)


@pytest.mark.parametrize("said", [{"mood": 0}, {"sleep": 6}, {"confidence": 11}, {"told_on": SUNDAY - DAY}])
def test_database_refuses_what_no_scale_has(db, said):
    with pytest.raises(IntegrityError), transaction.atomic():
        f.CheckInFactory(**said)


@pytest.mark.parametrize(
    ("answers", "index"),
    # McLean et al. 2010, IJSPP 5:367 by a rugby union education page: five items of 1 to 5 are added, 5 to 25.
    [((1, 1, 1, 1, 1), 5), ((5, 5, 5, 5, 5), 25), ((4, 3, 4, 3, 4), 18)],
)
def test_sum_of_a_check_in_is_the_published_index(answers, index):
    check_in = CheckIn(**dict(zip(MCLEAN_ITEMS, answers, strict=True)))

    assert index_of(check_in) == index


@pytest.mark.parametrize("left_out", MCLEAN_ITEMS)
def test_answer_left_out_leaves_no_sum(left_out):
    check_in = CheckIn(**dict.fromkeys(MCLEAN_ITEMS, 3) | {left_out: None})

    assert isinstance(index_of(check_in), Undefined)
