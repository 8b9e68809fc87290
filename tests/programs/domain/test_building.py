import datetime
import uuid
from dataclasses import replace

import pytest

from programs.choices import GroupKind, SectionKind
from programs.domain import building
from programs.domain.rows import Row, chained, rows_of
from programs.errors import DraftGone, EditedMeanwhile, EmptyWeek, NotADraft, WeekOutsideBlock, WeeksHoldSessions
from programs.models import Group, Prescription
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cast):
    return building.create_block(cast.client, by=cast.coach, title="One", starts_on=datetime.date(2026, 3, 4), weeks=3)


@pytest.fixture
def movement():
    return f.MovementFactory().current


@pytest.fixture
def session(block):
    return building.add_session(block, version=block.version, name="A", week=1, weekday=1)


def save(session, *rows, version=None):
    version = session.block.version if version is None else version
    building.save_session(session, rows, version=version, name="A", weekday=1)


def lineages(session):
    return list(building.prescriptions_of(session).order_by("pk").values_list("lineage", flat=True))


def test_block_begins_on_the_monday_of_its_week(block):
    assert block.starts_on == datetime.date(2026, 3, 2)


def test_second_edit_of_the_same_version_is_told_and_changes_nothing(session, movement):
    seen = session.block.version
    save(session, Row(movement=movement, sets=3), version=seen)

    with pytest.raises(EditedMeanwhile) as told:
        save(session, Row(movement=movement, sets=5), version=seen)

    assert told.value.version == seen + 1
    assert Prescription.objects.get().sets == 3


def test_published_block_refuses_edits(session, movement):
    f.publish(session.block)

    with pytest.raises(NotADraft):
        save(session, Row(movement=movement))


def test_rows_become_sections_and_groups_in_order(session, movement):
    warm = Row(movement=movement, section=SectionKind.MOBILITY)
    work = Row(movement=movement)

    save(session, warm, replace(work, joined=True), work, work)

    assert [s.kind for s in session.sections.all()] == [SectionKind.MOBILITY, SectionKind.STRENGTH]
    assert list(Group.objects.order_by("pk").values_list("kind", flat=True)) == [
        GroupKind.SINGLE,
        GroupKind.PAIR,
        GroupKind.SINGLE,
    ]


def test_rows_come_back_as_they_were_saved(session, movement):
    first, second = Row(movement=movement, joined=True, cue="Slow"), Row(movement=movement, sets=5)
    save(session, first, second)

    rows = rows_of(session)

    assert [replace(row, lineage=None) for row in rows] == [first, second]


def test_saving_again_keeps_the_lineage_of_known_rows(session, movement):
    save(session, Row(movement=movement))
    before = lineages(session)

    save(session, Row(movement=movement), replace(rows_of(session)[0], sets=4))

    after = lineages(session)
    assert after[1] == before[0]
    assert after[0] != before[0]


def test_a_lineage_from_elsewhere_or_used_twice_is_not_taken_over(session, movement):
    save(session, Row(movement=movement))
    known = lineages(session)[0]

    save(session, *(Row(movement=movement, lineage=lineage) for lineage in [known, known, uuid.uuid4()]))

    assert len(set(lineages(session))) == 3
    assert known in lineages(session)


def test_copied_week_keeps_lineages(block, session, movement):
    save(session, Row(movement=movement))

    building.copy_week(block, from_week=1, to_weeks=[1, 2, 3], version=session.block.version)

    copies = list(block.sessions.all())
    assert [s.week for s in copies] == [1, 2, 3]
    assert {s.lineage for s in copies} == {session.lineage}
    assert set(Prescription.objects.values_list("lineage", flat=True)) == set(lineages(session))


def test_edit_in_one_week_leaves_the_others(block, session, movement):
    save(session, Row(movement=movement, sets=3))
    building.copy_week(block, from_week=1, to_weeks=[2], version=session.block.version)
    second = block.sessions.get(week=2)

    save(second, replace(rows_of(second)[0], sets=4), version=second.block.version)

    assert [rows_of(s)[0].sets for s in block.sessions.all()] == [3, 4]


def test_copied_session_replaces_itself_only(block, session, movement):
    other = building.add_session(block, version=session.block.version, name="B", week=2, weekday=3)
    save(session, Row(movement=movement), version=other.block.version)

    building.copy_session(session, to_weeks=[2], version=session.block.version)
    building.copy_session(session, to_weeks=[2], version=session.block.version)

    assert sorted(s.name for s in block.sessions.filter(week=2)) == ["A", "B"]


def test_weeks_outside_the_block_are_refused(block):
    with pytest.raises(WeekOutsideBlock):
        building.add_session(block, version=block.version, name="A", week=4, weekday=0)


def test_session_removed_in_all_weeks(block, session):
    building.copy_week(block, from_week=1, to_weeks=[2, 3], version=session.block.version)

    building.remove_session(session, version=block.version, in_all_weeks=True)

    assert not block.sessions.exists()


def test_shorter_block_loses_the_weeks_cut_off(block, session):
    building.copy_week(block, from_week=1, to_weeks=[2, 3], version=session.block.version)

    shorter = {"title": "One", "starts_on": block.starts_on, "weeks": 2}

    with pytest.raises(WeeksHoldSessions):
        building.edit_block(block, version=block.version, **shorter)
    building.edit_block(block, version=block.version, **shorter, drops_sessions=True)

    assert [s.week for s in block.sessions.all()] == [1, 2]


@pytest.mark.parametrize("steps", [False, True])
def test_what_stands_only_in_another_week_stays_when_weeks_are_copied(block, session, steps):
    building.add_session(block, version=block.version, name="Test day", week=3, weekday=1)

    building.copy_week(block, from_week=1, to_weeks=[1, 2, 3], version=block.version, steps=steps)

    names = list(block.sessions.order_by("week", "name").values_list("week", "name"))
    assert names == [(1, "A"), (2, "A"), (3, "A"), (3, "Test day")]


def test_empty_week_is_copied_nowhere(block, session):
    with pytest.raises(EmptyWeek):
        building.copy_week(block, from_week=2, to_weeks=[1, 3], version=session.block.version)

    assert [row.week for row in block.sessions.all()] == [1]


def test_verbs_on_a_removed_draft_say_so(block):
    same = block.__class__.objects.get()
    building.discard_draft(block, version=block.version)

    with pytest.raises(DraftGone):
        building.add_session(same, version=same.version, name="A", week=1, weekday=0)


def test_what_is_done_together_ends_where_nobody_asks_for_the_next():
    assert chained([1, 2, 3, 4], joins_next=lambda n: n < 3) == [[1, 2, 3], [4]]
