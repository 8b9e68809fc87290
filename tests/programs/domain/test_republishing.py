"""What a later revision, or another block, does to the days that stand: moved, trained, put off, given way."""

import datetime
import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.domain.leaving import leave_practice
from programs.choices import SessionState
from programs.domain import building
from programs.domain.days import move_session
from programs.domain.drafting import new_revision
from programs.domain.excusing import excuse_days
from programs.domain.logging import log_entries
from programs.domain.publishing import giving_way, publish_block
from programs.domain.repeating import Repeat, repeat_week
from programs.domain.sheet import sheet
from programs.errors import ClientHasLeft
from programs.models import Prescription, ScheduledSession, SetLog
from tests import factories as f
from tests.programs.at_once import at_once
from tests.programs.domain.test_publishing import DAY, MONDAY, days, draft, publish, ready

__all__ = ["ready"]
pytestmark = pytest.mark.django_db
SATURDAY = MONDAY + 5 * DAY


def plan(client):
    return [(row.on - MONDAY).days for row in ScheduledSession.objects.of(client).on_the_plan()]


def revised(block, cast, **how):
    return publish(new_revision(block, by=cast.coach), cast, **how)


def test_chosen_day_stays_over_two_revisions(cast, ready):
    block = publish(draft(cast), cast)
    move_session(ScheduledSession.objects.get(on=SATURDAY), to=SATURDAY + DAY, at=f.NOON)

    twice = revised(revised(block, cast), cast)

    assert days(twice) == [6, 8, 12]


def test_missed_session_that_was_moved_stays_over_two_repetitions(cast, ready):
    block = publish(draft(cast), cast, at=f.NOON - 2 * DAY)
    move_session(ScheduledSession.objects.get(on=MONDAY + DAY), to=MONDAY + 4 * DAY, at=f.NOON)

    for _time in range(2):
        block = repeat_week(block, Repeat(block.weeks, at_the_end=True), by=cast.coach, at=f.NOON)

    assert plan(ready) == [4, 5, 8, 12, 15, 19, 22, 26]


@pytest.mark.parametrize("first", [0, 14])
def test_block_that_is_put_off_stands_in_its_new_weeks_alone(cast, ready, first):
    block = publish(draft(cast, starts_on=MONDAY + 7 * DAY), cast)
    revision = new_revision(block, by=cast.coach)
    later = building.edit_block(revision, version=revision.version, title="Later", starts_on=MONDAY + 14 * DAY, weeks=2)

    publish(later, cast, first_day=MONDAY + first * DAY)

    assert plan(ready) == [15, 19, 22, 26]


def test_chosen_day_follows_a_block_that_is_put_off_only_within_its_week(cast, ready):
    block = publish(draft(cast, starts_on=MONDAY + 7 * DAY), cast)
    move_session(ScheduledSession.objects.get(on=MONDAY + 12 * DAY), to=MONDAY + 13 * DAY, at=f.NOON)
    revision = new_revision(block, by=cast.coach)
    later = building.edit_block(revision, version=revision.version, title="Later", starts_on=MONDAY + 14 * DAY, weeks=2)

    publish(later, cast)

    assert plan(ready) == [15, 19, 22, 26]


# Other blocks


def test_revision_leaves_the_block_after_it_alone(cast, ready):
    running = publish(draft(cast), cast)
    following = publish(draft(cast, starts_on=MONDAY + 14 * DAY), cast)

    revised(running, cast)

    assert days(following) == [15, 19, 22, 26]


def test_revision_takes_no_days_that_a_later_block_has(cast, ready):
    running = publish(draft(cast, weeks=3), cast)
    following = publish(draft(cast, starts_on=MONDAY + 14 * DAY), cast)

    again = revised(running, cast)

    assert (days(again), days(following)) == ([5, 8, 12], [15, 19, 22, 26])


def test_new_block_takes_days_only_while_it_lasts(cast, ready):
    running = publish(draft(cast, weeks=3), cast)
    lighter = draft(cast, weeks=1, starts_on=MONDAY + 7 * DAY)
    assert [row.on for row in giving_way(lighter, from_day=lighter.starts_on)] == [MONDAY + 8 * DAY, MONDAY + 12 * DAY]

    publish(lighter, cast)

    assert (days(running), days(lighter)) == ([5, 15, 19], [8, 12])


def test_session_that_another_block_took_is_the_same_appointment_when_it_is_back(cast, ready):
    block = publish(draft(cast), cast)
    was = ScheduledSession.objects.get(on=MONDAY + 8 * DAY)
    without = new_revision(block, by=cast.coach)
    building.remove_session(without.sessions.get(week=2, name="A"), version=without.version)
    gone = publish(without, cast)
    back = new_revision(gone, by=cast.coach)
    building.copy_week(back, from_week=1, to_weeks=[2], version=back.version)

    publish(back, cast)

    now = ScheduledSession.objects.get(on=MONDAY + 8 * DAY, state=SessionState.PLANNED)
    assert (now.lineage, now.pk == was.pk) == (was.lineage, False)
    assert now.changes > was.changes + 1


def test_sheet_names_days_that_stand_and_no_others(cast, ready):
    block = publish(draft(cast, weeks=3), cast)
    tuesday = ScheduledSession.objects.get(on=MONDAY + 8 * DAY)
    move_session(tuesday, to=MONDAY + 6 * DAY, at=f.NOON)
    again = revised(block, cast, first_day=MONDAY + 7 * DAY)
    publish(draft(cast, starts_on=MONDAY + 14 * DAY), cast)

    on = {week: [entry.on for entry in sheet(again, week=week).sessions] for week in (2, 3)}

    assert on == {2: [MONDAY + 6 * DAY, MONDAY + 12 * DAY], 3: [None, None]}


# What was trained from an older page


def said(scheduled, **more):
    when = datetime.datetime.combine(scheduled.on, datetime.time(12), tzinfo=datetime.UTC)
    return {
        "kind": "session",
        "uuid": str(uuid.uuid4()),
        "scheduled": str(scheduled.uuid),
        "outcome": "as_planned",
        "device_at": when.isoformat(),
        "time_zone": "UTC",
    } | more


def test_log_of_a_session_revised_meanwhile_is_on_the_plan(cast, ready):
    block = publish(draft(cast), cast)
    saturday = ScheduledSession.objects.get(on=SATURDAY)
    dose = Prescription.objects.get(group__section__session=saturday.session)
    again = revised(block, cast)
    one_set = said(saturday, kind="set", prescription=str(dose.uuid), number=1, repetitions=8)
    del one_set["outcome"]

    answers = log_entries(ready, [one_set, said(saturday)], at=f.NOON + 3 * DAY)

    assert [answer.status for answer in answers] == ["stored", "stored"]
    standing = ScheduledSession.objects.of(ready).on_the_plan().get(on=SATURDAY)
    assert (standing.state, standing.session.block) == (SessionState.AS_PLANNED, again)
    stored = SetLog.objects.get()
    assert (stored.scheduled, stored.prescription, stored.lineage) == (standing, dose, dose.lineage)


def test_log_of_a_session_that_was_taken_off_meanwhile_puts_it_back(cast, ready):
    block = publish(draft(cast), cast)
    saturday = ScheduledSession.objects.get(on=SATURDAY)
    revision = new_revision(block, by=cast.coach)
    building.remove_session(revision.sessions.get(week=1, name="B"), version=revision.version)
    publish(revision, cast)
    assert plan(ready) == [8, 12]

    log_entries(ready, [said(saturday)], at=f.NOON + 3 * DAY)

    saturday.refresh_from_db()
    assert (plan(ready), saturday.state) == ([5, 8, 12], SessionState.AS_PLANNED)


def test_excuse_brings_no_session_back_that_was_taken_off(cast, ready):
    block = publish(draft(cast), cast)
    revised(block, cast)

    excuse_days(ready, first_on=SATURDAY, last_on=SATURDAY, reason="ill", by=cast.client_user, at=f.NOON)

    assert plan(ready) == [5, 8, 12]


@pytest.mark.django_db(transaction=True)
def test_skip_and_revision_at_once_leave_one_session_that_was_skipped(cast, ready):
    block = publish(draft(cast), cast, at=f.NOON - 2 * DAY)
    revision = new_revision(block, by=cast.coach)
    saturday = ScheduledSession.objects.get(on=SATURDAY)
    skipped = said(saturday, outcome="skipped", skip_reason="time", device_at=f.NOON.isoformat())

    at_once(lambda: log_entries(ready, [skipped], at=f.NOON), lambda: publish(revision, cast))

    rows = ScheduledSession.objects.of(ready).on_the_plan().filter(on=SATURDAY)
    assert [row.state for row in rows] == [SessionState.SKIPPED]


@pytest.fixture
def old_and_new(cast, ready):
    """A session of today's page, and where a revision put it."""
    now = timezone.now()
    monday = building.monday_of(now.date()) + 7 * DAY
    block = publish_block(draft(cast, starts_on=monday), by=cast.coach, at=now, first_day=monday)
    old = ScheduledSession.objects.order_by("on").first()
    publish_block(new_revision(block, by=cast.coach), by=cast.coach, at=now, first_day=monday)
    return old, ScheduledSession.objects.of(ready).on_the_plan().get(on=old.on)


def test_link_to_a_session_leads_to_where_it_stands_now(cast, old_and_new, signed_in):
    old, new = old_and_new

    answer = signed_in(cast.client_user).get(reverse("train", args=[old.uuid]))

    assert answer.url == reverse("train", args=[new.uuid])


def test_form_of_an_older_page_is_kept(cast, old_and_new, signed_in):
    old, new = old_and_new
    sent = {"kind": "session", "uuid": str(uuid.uuid4()), "outcome": "skipped", "skip_reason": "time"}

    answer = signed_in(cast.client_user).post(reverse("train-log", args=[old.uuid]), sent)

    new.refresh_from_db()
    assert (answer.status_code, new.state) == (302, SessionState.SKIPPED)


# Who, and from what


def test_nothing_is_published_or_repeated_for_a_client_who_has_left(cast, ready):
    block = publish(draft(cast), cast, at=f.NOON - 2 * DAY)
    waiting = draft(cast, starts_on=MONDAY + 14 * DAY)
    leave_practice(ready, by=cast.client_user, at=f.NOON)

    with pytest.raises(ClientHasLeft):
        publish(waiting, cast)
    with pytest.raises(ClientHasLeft):
        repeat_week(block, Repeat(1), by=cast.coach, at=f.NOON)


def test_revision_begun_from_an_old_page_goes_on_from_the_newest(cast, ready):
    block = publish(draft(cast), cast)
    second = new_revision(block, by=cast.coach)
    second.sessions.filter(week=2, name="B").update(name="Newest")
    publish(second, cast)

    third = new_revision(block, by=cast.other_coach)

    assert third.sessions.filter(name="Newest").exists()


@pytest.mark.django_db(transaction=True)
def test_two_who_begin_a_revision_at_once_find_the_same_draft(cast, ready):
    block = publish(draft(cast), cast)

    first, second = at_once(*[lambda: new_revision(block, by=cast.coach)] * 2)

    assert (first, first.revision) == (second, 2)
