"""Documents that were stored, read back as rows without a block."""

import json
import uuid
from decimal import Decimal

import pytest

from programs.choices import GroupKind, SectionKind, SetKind
from programs.domain import building
from programs.domain.exchange.sessions import Miss, offered_movements, sessions_in
from programs.domain.exchange.writing import document_of, session_document
from programs.domain.rows import Row, rows_of, together
from programs.models import Block, BlockSession
from tests import factories as f

pytestmark = pytest.mark.django_db

GONE = "You do not offer it any more."
OTHERWISE = "It is measured in another way now."


@pytest.fixture
def dip():
    return f.MovementFactory(slug="dip", revision__name="Dip").current


@pytest.fixture
def row_up():
    return f.MovementFactory(slug="row-up", revision__name="Row-up").current


@pytest.fixture
def hold():
    return f.MovementFactory(slug="hold", revision__name="Hold", revision__measure="seconds").current


def block_with(cast, *rows, weeks=(1,), deload_week=None):
    block = building.create_block(
        cast.client, by=cast.coach, title="Invented", starts_on=f.MONDAY, weeks=max(weeks), deload_week=deload_week
    )
    lineage = uuid.uuid4()
    for week in weeks:
        building.add_filled_session(block, rows, lineage=lineage, week=week, weekday=3, position=0, name="Push")
    return block


def stored(document):
    """As a JSON column gives it back."""
    return json.loads(json.dumps(document))


def read(cast, block):
    return sessions_in(stored(document_of(block)), offered_movements(cast.client.practice))


def hide(cast, movement):
    f.HiddenMovementFactory(practice=cast.client.practice, movement=movement.movement, by=cast.coach)


def full_row(movement, **more):
    return Row(
        movement=movement,
        lineage=uuid.uuid4(),
        kind=SetKind.CLUSTER,
        sets=4,
        amount_low=6,
        amount_high=6,
        cluster_reps=2,
        rest_within_s=15,
        load_entered=Decimal("22.5"),
        load_unit="kg",
        load_kg=Decimal("22.5"),
        target_rir=Decimal("1.5"),
        tempo="3-1-X-0",
        grip="pronated,neutral",
        cue="Long arms",
        and_or="or the same slower",
        easier=movement,
        easier_below=3,
        harder=movement,
        harder_from=9,
        step_sets=1,
        step_amount=-1,
        step_rir=Decimal("-0.5"),
        step_load=Decimal("1.25"),
        **more,
    )


def test_rows_of_a_stored_document_are_the_rows_that_went_in(cast, dip):
    block = block_with(cast, full_row(dip))

    [session] = read(cast, block)

    [row], [before] = session.rows, rows_of(BlockSession.objects.get(block=block))
    assert (session.name, session.week, session.weekday, session.misses) == ("Push", 1, 3, [])
    assert {name: value for name, value in vars(row).items() if name != "lineage"} == {
        name: value for name, value in vars(before).items() if name != "lineage"
    }


def test_reading_writes_nothing(cast, dip):
    block = block_with(cast, full_row(dip))
    before = Block.objects.count(), BlockSession.objects.count()

    read(cast, block)

    assert (Block.objects.count(), BlockSession.objects.count()) == before


def test_lineages_of_a_reading_are_new_and_join_its_weeks(cast, dip):
    block = block_with(cast, Row(movement=dip, lineage=uuid.uuid4()), weeks=(1, 2))
    known = set(block.sessions.values_list("lineage", flat=True))

    first, second = read(cast, block)
    [again, _second] = read(cast, block)

    assert first.lineage == second.lineage
    assert first.rows[0].lineage == second.rows[0].lineage
    assert first.lineage not in {again.lineage, *known}


def test_movement_that_went_is_missed_and_the_rest_is_read(cast, dip, row_up):
    block = block_with(cast, Row(movement=dip), Row(movement=row_up))
    hide(cast, dip)

    [session] = read(cast, block)

    assert [row.movement for row in session.rows] == [row_up]
    assert session.misses == [Miss("Push", "Dip", GONE)]


def test_movement_measured_otherwise_since_then_is_missed(cast, dip):
    block = block_with(cast, Row(movement=dip))
    dip.movement.current = f.MovementRevisionFactory(movement=dip.movement, name="Dip", measure="seconds")
    dip.movement.save(update_fields=["current"])

    [session] = read(cast, block)

    assert (session.rows, session.misses) == ([], [Miss("Push", "Dip", OTHERWISE)])


def test_option_that_went_leaves_its_row_without_it(cast, dip, row_up):
    block = block_with(cast, Row(movement=dip, easier=row_up, easier_below=3, harder=dip, harder_from=9))
    hide(cast, row_up)

    [session] = read(cast, block)

    [row] = session.rows
    assert (row.easier, row.easier_below, row.harder, row.harder_from) == (None, None, dip, 9)
    assert session.misses == [Miss("Push", "row-up", GONE)]


@pytest.mark.parametrize(
    ("bracket", "kind"),
    [
        ({}, GroupKind.SINGLE),
        ({"together": "circuit"}, GroupKind.SINGLE),
        ({"together": "rounds", "minutes": 8}, GroupKind.ROUNDS),
        ({"together": "every", "interval_s": 90}, GroupKind.EVERY_MINUTE),
    ],
)
def test_one_that_is_left_of_two_is_alone_or_goes_on_by_the_clock(cast, dip, row_up, bracket, kind):
    block = block_with(cast, Row(movement=dip, joined=True, **bracket), Row(movement=row_up))
    hide(cast, dip)

    [session] = read(cast, block)

    [group] = together(session.rows)
    assert (group.kind, group.minutes, group.interval_s) == (kind, bracket.get("minutes"), bracket.get("interval_s"))


def test_two_that_are_left_of_a_circuit_stay_one(cast, dip, row_up, hold):
    block = block_with(cast, Row(movement=dip, joined=True), Row(movement=hold, joined=True), Row(movement=row_up))
    hide(cast, row_up)

    [session] = read(cast, block)

    [group] = together(session.rows)
    assert (group.kind, [row.movement for row in group]) == (GroupKind.CIRCUIT, [dip, hold])


def test_row_after_one_that_went_does_not_join_the_next_group(cast, dip, row_up, hold):
    block = block_with(cast, Row(movement=dip, joined=True), Row(movement=row_up), Row(movement=hold))
    hide(cast, row_up)

    [session] = read(cast, block)

    assert [len(group) for group in together(session.rows)] == [1, 1]


def test_session_alone_is_a_block_of_one_week(cast, dip, hold):
    block = block_with(
        cast,
        full_row(dip, section=SectionKind.RAMP),
        Row(movement=hold, section=SectionKind.CORE),
        weeks=(1, 3),
        deload_week=3,
    )
    last = BlockSession.objects.get(block=block, week=3)

    found = session_document(last)

    assert {name: found[name] for name in found if name != "sessions"} == {
        "format": "purlin-block",
        "version": 1,
        "title": "Push",
        "weeks": 1,
    }
    assert found["sessions"] == [{**document_of(block)["sessions"][1], "week": 1}]
    [session] = sessions_in(stored(found), offered_movements(cast.client.practice))
    assert [row.movement for row in session.rows] == [dip, hold]


def test_own_movement_comes_before_the_shared_one(cast, dip):
    own = f.MovementFactory(slug="dip", practice=cast.client.practice).current

    assert offered_movements(cast.client.practice)["dip"] == own
