import datetime

import pytest

from methods.dose import Dose
from programs.choices import GroupKind
from programs.domain.comparing import Change, base_of, difference, follows_nothing
from programs.domain.drafting import apply_dose, draft_from_block, in_block, new_revision
from tests import factories as f

pytestmark = pytest.mark.django_db


def _prescribe(block, week=1, **extra):
    session = block.sessions.filter(week=week).first() or f.BlockSessionFactory(block=block, week=week)
    return f.PrescriptionFactory(group=f.GroupFactory(section=f.SectionFactory(session=session)), **extra)


@pytest.fixture
def was(cast):
    return f.BlockFactory(client=cast.client, weeks=2)


@pytest.fixture
def row(was):
    first = _prescribe(was)
    _prescribe(was, week=2, lineage=first.lineage, movement=first.movement)
    return first


def follow(block, cast):
    return draft_from_block(block, starts_on=f.MONDAY, by=cast.coach)


def test_a_copy_has_no_difference(cast, was, row):
    assert not difference(was, follow(was, cast))


def test_a_revision_that_begins_at_another_time_says_so(cast, was, row):
    f.publish(was)
    later = new_revision(was, by=cast.coach)
    later.starts_on += datetime.timedelta(weeks=1)

    (change,) = difference(was, later).frame

    assert (change.part, change.was, change.now) == ("first week", "2 March 2026", "9 March 2026")


def test_a_block_written_anew_is_the_first_only_without_an_earlier_one(cast, was):
    new = f.BlockFactory(client=cast.client, starts_on=was.starts_on + datetime.timedelta(weeks=2))
    assert follows_nothing(new)

    f.publish(was)

    assert (follows_nothing(was), follows_nothing(new)) == (True, False)


def test_of_two_blocks_of_the_same_week_the_earlier_written_comes_first(cast, was):
    f.publish(was)
    new = f.publish(f.BlockFactory(client=cast.client, starts_on=was.starts_on))

    assert (follows_nothing(was), follows_nothing(new)) == (True, False)


def test_first_block_of_a_client_follows_none_of_others(cast, was):
    f.publish(f.BlockFactory(client=cast.other_client, starts_on=was.starts_on - datetime.timedelta(weeks=2)))

    assert follows_nothing(was)


def test_change_in_all_weeks_is_said_once_with_its_reason(cast, was, row):
    now = follow(was, cast)
    for prescription in in_block(now, row.lineage):
        apply_dose(prescription, Dose(sets=4, load_kg=5), reason="Over the range twice.")

    (changed,) = difference(was, now).changed

    assert changed.movement == row.movement.name
    assert changed.reason == "Over the range twice."
    assert changed.changes == (Change("sets", "3 sets", "4 sets"), Change("load", "not set", "5 kg"))


def test_change_in_one_week_names_the_week(cast, was, row):
    now = follow(was, cast)
    apply_dose(in_block(now, row.lineage).get(group__section__session__week=2), Dose(sets=2))

    assert difference(was, now).changed[0].changes == (Change("sets", "3 sets", "2 sets", weeks=(2,)),)


def test_rest_by_the_clock_is_what_the_clock_leaves(cast, was, row):
    now = follow(was, cast)
    for prescription in in_block(now, row.lineage):
        make_every_minute(prescription.group)

    assert difference(was, now).changed[0].changes == (Change("rest", "rest 90 s", "what the clock leaves"),)


def test_rest_that_no_clock_gives_is_no_change(cast, was, row):
    for prescription in in_block(was, row.lineage):
        make_every_minute(prescription.group)
    now = follow(was, cast)
    in_block(now, row.lineage).update(rest_s=30)

    assert not difference(was, now)


def test_new_movement_by_the_clock_is_listed_without_rest(cast, was):
    now = follow(was, cast)
    make_every_minute(_prescribe(now).group)

    assert difference(was, now).added[0].dose == "3 sets of 8–12 reps"


def make_every_minute(group):
    group.kind, group.interval_s = GroupKind.EVERY_MINUTE, 60
    group.save()


def test_added_and_removed_are_listed(cast, was, row):
    now = follow(was, cast)
    in_block(now, row.lineage).delete()
    new = _prescribe(now, change_reason="New this time.")

    found = difference(was, now)

    assert [(entry.movement, entry.dose) for entry in found.removed] == [
        (row.movement.name, "3 sets of 8–12 reps, rest 90 s")
    ]
    assert [(entry.movement, entry.reason) for entry in found.added] == [(new.movement.name, "New this time.")]
    assert not found.changed


def test_another_movement_at_the_same_place_is_a_change(cast, was, row):
    now = follow(was, cast)
    other = f.MovementFactory().current
    in_block(now, row.lineage).update(movement=other)

    assert difference(was, now).changed[0].changes[0] == Change("movement", row.movement.name, other.name)


def test_block_is_compared_with_the_revision_it_replaces_first(cast, was, row):
    f.publish(was)
    following = f.publish(follow(was, cast))
    revision = new_revision(following, by=cast.coach)

    assert base_of(following) == was
    assert base_of(revision) == following
    assert base_of(was) is None


def test_weeks_that_are_added_are_said_with_the_new_end(cast, was, row):
    now = follow(was, cast)
    now.weeks = 3
    now.save()

    assert difference(was, now).frame == [Change("weeks", "2", "3, until 22 March 2026")]


def test_session_on_another_day_names_the_days_and_the_weeks(cast, was, row):
    now = follow(was, cast)
    lineage = was.sessions.get(week=1).lineage
    was.sessions.filter(week=2).update(lineage=lineage)
    now.sessions.filter(week=2).update(lineage=lineage, weekday=4)

    assert difference(was, now).frame == [Change("Session A", "Wednesday", "Friday", weeks=(2,))]
    now.sessions.update(weekday=4)
    assert difference(was, now).frame == [Change("Session A", "Wednesday", "Friday")]


def test_session_that_is_new_or_gone_or_called_otherwise_is_said(cast, was, row):
    now = follow(was, cast)
    f.BlockSessionFactory(block=now, name="Easy day", weekday=6)
    now.sessions.filter(week=2).delete()
    now.sessions.filter(name="Session A").update(name="Pull day")

    assert difference(was, now).frame == [
        Change("session", "Session A", "Pull day"),
        Change("Easy day", "not in the plan", "Sunday"),
        Change("Session A", "Wednesday", "no longer in the plan"),
    ]


def test_week_that_was_cut_off_says_nothing_of_its_sessions(cast, was, row):
    now = follow(was, cast)
    f.BlockSessionFactory(block=now, name="Beyond the end", week=9)

    assert difference(was, now).frame == []


def test_difference_costs_three_queries(cast, was, row, django_assert_num_queries):
    now = follow(was, cast)

    with django_assert_num_queries(3):
        difference(was, now)
