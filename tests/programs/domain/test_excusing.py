"""Excused days: what they say of sessions, what logs know better, and two people at once."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.models import OutgoingMail
from programs.choices import Outcome, SessionState, SkipReason
from programs.domain.days import move_session
from programs.domain.drafting import new_revision
from programs.domain.excusing import excuse_days, move_for_client, take_back
from programs.domain.logging import log_entries
from programs.domain.states import state_from
from programs.errors import DayExcused, ExcusedAlready, ExcuseOutOfReach, ExcuseTakenBack
from programs.models import Excuse, ScheduledSession
from tests import factories as f
from tests.programs.at_once import at_once
from tests.programs.domain.test_publishing import draft, publish, ready
from tests.programs.log import session_entry, session_with, set_entry

__all__ = ["ready"]
pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)
WEDNESDAY = f.NOON.date()


def excuse(cast, *, by=None, at=f.NOON, **said):
    said = {"first_on": WEDNESDAY, "last_on": WEDNESDAY + 3 * DAY, "reason": "ill"} | said
    return excuse_days(cast.client, **said, by=by or cast.client_user, at=at)


def states(cast):
    rows = ScheduledSession.objects.of(cast.client).order_by("on", "pk")
    return [(row.state, row.reason) for row in rows]


def test_sessions_of_the_days_are_excused_with_the_reason_and_no_others(cast):
    for days in (-1, 0, 3, 4):
        f.ScheduledSessionFactory(client=cast.client, on=WEDNESDAY + days * DAY)
    theirs = f.ScheduledSessionFactory(client=cast.other_client, on=WEDNESDAY)

    excuse(cast)

    planned, excused = (SessionState.PLANNED, ""), (SessionState.EXCUSED, SkipReason.ILL)
    assert states(cast) == [planned, excused, excused, planned]
    theirs.refresh_from_db()
    assert theirs.state == SessionState.PLANNED


def test_day_that_passed_without_a_word_is_excused_afterwards(cast):
    passed = f.ScheduledSessionFactory(client=cast.client, on=WEDNESDAY - 5 * DAY)

    excuse(cast, first_on=WEDNESDAY - 6 * DAY, last_on=WEDNESDAY, reason="travel")

    passed.refresh_from_db()
    assert (passed.state, passed.reason) == (SessionState.EXCUSED, SkipReason.TRAVEL)


def test_taken_back_the_session_is_planned_again_and_the_excuse_is_kept_as_a_version(cast):
    f.ScheduledSessionFactory(client=cast.client)
    told = excuse(cast)

    taken = take_back(told, by=cast.coach, at=f.NOON)

    assert states(cast) == [(SessionState.PLANNED, "")]
    assert (taken.replaces, taken.by, Excuse.objects.counting().count()) == (told, cast.coach, 0)


def test_what_was_logged_stands_before_and_after_the_excuse(cast):
    scheduled, dose = session_with(cast)
    log_entries(cast.client, [set_entry(scheduled, dose, device_at="2026-03-04T11:00:00+00:00")], at=f.NOON)
    told = excuse(cast)
    assert states(cast) == [(SessionState.PARTLY, "")]

    take_back(told, by=cast.client_user, at=f.NOON)
    assert states(cast) == [(SessionState.PARTLY, "")]


def test_set_logged_on_an_excused_day_counts_and_taken_back_leaves_the_excuse(cast):
    scheduled, dose = session_with(cast)
    excuse(cast)
    entry = set_entry(scheduled, dose, device_at="2026-03-04T11:00:00+00:00")
    log_entries(cast.client, [entry], at=f.NOON)
    assert states(cast) == [(SessionState.PARTLY, "")]

    back = set_entry(scheduled, dose, device_at="2026-03-04T11:10:00+00:00", replaces=entry["uuid"], withdrawn=True)
    log_entries(cast.client, [back], at=f.NOON)
    assert states(cast) == [(SessionState.EXCUSED, SkipReason.ILL)]


def test_skip_with_a_reason_keeps_its_own_reason_under_an_excuse(cast):
    scheduled, _dose = session_with(cast)
    said = session_entry(scheduled, outcome="skipped", skip_reason="time", device_at="2026-03-04T11:00:00+00:00")
    log_entries(cast.client, [said], at=f.NOON)

    excuse(cast)

    assert states(cast) == [(SessionState.SKIPPED, SkipReason.TIME)]


def test_second_excuse_for_the_same_days_is_told(cast):
    excuse(cast)

    with pytest.raises(ExcusedAlready):
        excuse(cast, by=cast.coach, first_on=WEDNESDAY + 3 * DAY, last_on=WEDNESDAY + 5 * DAY)
    excuse(cast, by=cast.coach, first_on=WEDNESDAY + 4 * DAY, last_on=WEDNESDAY + 5 * DAY)


def test_second_to_take_back_is_told(cast):
    told = excuse(cast)
    taken = take_back(told, by=cast.client_user, at=f.NOON)

    for one in (told, taken):
        with pytest.raises(ExcuseTakenBack):
            take_back(one, by=cast.coach, at=f.NOON)


@pytest.mark.django_db(transaction=True)
def test_of_client_and_coach_at_the_same_moment_one_excuses_and_the_other_is_told(cast):
    f.ScheduledSessionFactory(client=cast.client)

    results = at_once(lambda: excuse(cast), lambda: excuse(cast, by=cast.coach, last_on=WEDNESDAY))

    assert {type(result) for result in results} == {Excuse, ExcusedAlready}
    assert Excuse.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_of_two_who_take_back_at_the_same_moment_one_is_told(cast):
    told = excuse(cast)

    results = at_once(*[lambda by=by: take_back(told, by=by, at=f.NOON) for by in (cast.client_user, cast.coach)])

    assert {type(result) for result in results} == {Excuse, ExcuseTakenBack}
    assert Excuse.objects.count() == 2


@pytest.mark.parametrize(("first", "last"), [(0, -1), (-29, 0), (0, 60), (123, 183)])
def test_days_out_of_reach_are_refused(cast, first, last):
    with pytest.raises(ExcuseOutOfReach):
        excuse(cast, first_on=WEDNESDAY + first * DAY, last_on=WEDNESDAY + last * DAY)


@pytest.mark.parametrize(("first", "last"), [(0, 0), (-28, 0), (0, 59), (123, 182)])
def test_days_just_within_reach_are_kept(cast, first, last):
    assert excuse(cast, first_on=WEDNESDAY + first * DAY, last_on=WEDNESDAY + last * DAY).pk


def test_session_does_not_move_to_an_excused_day(cast):
    scheduled, _dose = session_with(cast)
    excuse(cast, first_on=WEDNESDAY + 2 * DAY)

    with pytest.raises(DayExcused):
        move_session(scheduled, to=WEDNESDAY + 2 * DAY, at=f.NOON)


def test_client_hears_by_letter_what_a_coach_changed_and_not_why(cast):
    cast.client.email = "client@example.test"
    cast.client.save()
    scheduled, _dose = session_with(cast)

    told = excuse(cast, by=cast.client_user, first_on=WEDNESDAY + 9 * DAY, last_on=WEDNESDAY + 9 * DAY)
    assert not OutgoingMail.objects.exists()
    take_back(told, by=cast.coach, at=f.NOON)
    excuse(cast, by=cast.coach, first_on=WEDNESDAY + 9 * DAY, last_on=WEDNESDAY + 9 * DAY)
    move_for_client(scheduled, to=WEDNESDAY + DAY, by=cast.coach, at=f.NOON)

    letters = list(OutgoingMail.objects.all())
    assert [letter.to for letter in letters] == ["client@example.test"] * 3
    assert not any("ill" in letter.body.lower().split() for letter in letters)


def test_new_revision_replaces_an_excused_session_and_its_day_stays_excused(cast, ready):
    block = publish(draft(cast), cast)
    excuse(cast, first_on=WEDNESDAY, last_on=f.MONDAY + 6 * DAY)

    revision = publish(new_revision(block, by=cast.coach), cast)

    standing = ScheduledSession.objects.of(ready).on_the_plan()
    assert {row.session.block for row in standing} == {revision}
    assert [row.state for row in standing] == [SessionState.EXCUSED, SessionState.PLANNED, SessionState.PLANNED]
    take_back(Excuse.objects.counting().get(), by=cast.coach, at=f.NOON)
    assert {row.state for row in standing.all()} == {SessionState.PLANNED}


@given(
    outcome=st.sampled_from([None, *Outcome.values]),
    reason=st.sampled_from(SkipReason.values),
    sets=st.integers(0, 3),
)
def test_excuse_changes_only_a_session_about_which_nothing_was_logged(outcome, reason, sets):
    log = None
    if outcome is not None:
        log = f.TrainingLogFactory._meta.model(outcome=outcome, skip_reason=reason if outcome == "skipped" else "")
    logged = {("line", n): {"both"} for n in range(sets)}
    prescribed = {("line", n) for n in range(2)}

    without = state_from(log, logged, prescribed)
    excused = state_from(log, logged, prescribed, is_excused=True)

    if log is None and not logged:
        assert (without, excused) == (SessionState.PLANNED, SessionState.EXCUSED)
    else:
        assert excused == without
