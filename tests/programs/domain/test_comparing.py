import pytest

from methods.dose import Dose
from programs.domain.comparing import Change, base_of, difference
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


def test_difference_costs_two_queries(cast, was, row, django_assert_num_queries):
    now = follow(was, cast)

    with django_assert_num_queries(2):
        difference(was, now)
