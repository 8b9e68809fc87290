import datetime
from decimal import Decimal

import pytest

from clients.models import Practice
from programs.choices import GroupKind
from programs.domain import building
from programs.domain.rows import Row
from programs.domain.templates import (
    archive_template,
    bring_back_template,
    contents_of,
    describe_template,
    keep_as_template,
    replace_template,
    weeks_in_words,
)
from programs.models import BlockTemplate, HiddenMovement
from tests import factories as f

pytestmark = pytest.mark.django_db
MONDAY = f.MONDAY.replace(year=2099)


@pytest.fixture
def movements():
    names = {"push-up": "Push-up", "pull-up": "Pull-up", "plank": "Plank"}
    return {slug: f.MovementFactory(slug=slug, revision__name=name).current for slug, name in names.items()}


def write_block(cast, rows, *, weeks=2, client=None):
    block = building.create_block(client or cast.client, by=cast.coach, title="Winter", starts_on=MONDAY, weeks=weeks)
    session = building.add_session(block, version=0, name="Pull day", week=1, weekday=1)
    building.save_session(session, rows, version=1, name="Pull day", weekday=1, also_in_weeks=range(1, weeks + 1))
    block.refresh_from_db()
    return block


@pytest.fixture
def block(cast, movements):
    rows = [
        Row(movement=movements["pull-up"], joined=True, target_rir=Decimal("1.5"), cue="Long arms"),
        Row(movement=movements["push-up"]),
        Row(movement=movements["plank"], load_entered=Decimal("22.55"), load_unit="kg", load_kg=Decimal("22.55")),
    ]
    return write_block(cast, rows)


def keep(block, cast, **said):
    return keep_as_template(block, **{"by": cast.coach, "at": f.NOON, "title": "Three days"} | said)


def test_template_holds_what_the_block_holds_and_nothing_of_the_client(cast, block):
    template = keep(block, cast, about="For beginners")

    template.refresh_from_db()
    assert (template.practice, template.weeks, template.written_by) == (cast.practice, 2, cast.coach)
    assert cast.client.name not in str(template.document)
    assert str(cast.client.uuid) not in str(template.document)
    sessions = contents_of(template).sessions
    assert [(one.name, one.week, one.weekday) for one in sessions] == [("Pull day", 1, 1), ("Pull day", 2, 1)]
    rows = sessions[0].rows
    assert [row.movement.name for row in rows] == ["Pull-up", "Push-up", "Plank"]
    assert (rows[0].joined, rows[0].target_rir, rows[0].cue) == (True, Decimal("1.5"), "Long arms")
    assert rows[2].load_kg == Decimal("22.55")


def test_same_prescription_has_one_lineage_in_all_weeks(cast, block):
    first, second = contents_of(keep(block, cast)).sessions

    assert first.lineage == second.lineage
    assert [row.lineage for row in first.rows] == [row.lineage for row in second.rows]
    assert len({row.lineage for row in first.rows}) == 3


def test_options_steps_and_the_deload_week_are_kept(cast, movements):
    row = Row(
        movement=movements["push-up"], easier=movements["plank"], easier_below=5, harder=movements["pull-up"],
        harder_from=12, step_sets=1, step_rir=Decimal("-0.5"), and_or="And a walk",
    )  # fmt: skip
    block = write_block(cast, [row])
    building.edit_block(block, version=block.version, title="W", starts_on=MONDAY, weeks=2, deload_week=2)
    block.refresh_from_db()

    contents = contents_of(BlockTemplate.objects.get(pk=keep(block, cast).pk))

    assert contents.deload_week == 2
    read = contents.sessions[0].rows[0]
    assert (read.easier, read.easier_below, read.harder, read.harder_from) == (row.easier, 5, row.harder, 12)
    assert (read.step_sets, read.step_rir, read.and_or) == (1, Decimal("-0.5"), "And a walk")


def test_option_that_is_gone_is_told_and_the_movement_stays(cast, movements):
    template = keep(
        write_block(cast, [Row(movement=movements["push-up"], easier=movements["plank"], easier_below=5)]), cast
    )
    HiddenMovement.objects.create(
        practice=cast.practice, movement=movements["plank"].movement, by=cast.owner, at=f.NOON
    )

    contents = contents_of(template)

    assert [(row.movement.name, row.easier) for row in contents.sessions[0].rows] == [("Push-up", None)]
    assert len(contents.gone) == 1


def test_later_change_of_the_block_does_not_reach_the_template(cast, block):
    template = keep(block, cast)

    building.remove_session(block.sessions.get(week=1), version=block.version, in_all_weeks=True)

    assert len(contents_of(BlockTemplate.objects.get(pk=template.pk)).sessions) == 2


def test_replaced_template_is_the_same_row_with_another_block_in_it(cast, block, movements):
    template = keep(block, cast)
    other = write_block(cast, [Row(movement=movements["plank"])], weeks=4)
    later = f.NOON + datetime.timedelta(days=3)

    replace_template(template, other, by=cast.owner, at=later, title="Four weeks", about="New")

    found = BlockTemplate.objects.get()
    assert (found.pk, found.title, found.about, found.weeks) == (template.pk, "Four weeks", "New", 4)
    assert (found.written_by, found.written_at) == (cast.owner, later)
    assert [row.movement.name for row in contents_of(found).sessions[0].rows] == ["Plank"]


def test_describing_and_putting_away_touch_nothing_else(cast, block):
    template = keep(block, cast)
    before = template.document

    describe_template(template, title="Other", about="Words")
    archive_template(template, at=f.NOON)
    assert not BlockTemplate.objects.in_use().exists()
    bring_back_template(template)

    found = BlockTemplate.objects.in_use().get()
    assert (found.title, found.about, found.document, found.weeks) == ("Other", "Words", before, 2)


def test_templates_are_shared_with_the_team_and_nobody_else(cast, block):
    template = keep(block, cast)
    templates = BlockTemplate.objects

    for person in (cast.coach, cast.other_coach, cast.owner):
        assert templates.shared_with(person).get() == template
    for person in (cast.stranger_coach, cast.client_user):
        assert not templates.shared_with(person).exists()


def test_movement_that_the_practice_hid_is_told_once_and_its_pair_is_a_single(cast, block, movements):
    template = keep(block, cast)
    HiddenMovement.objects.create(
        practice=cast.practice, movement=movements["pull-up"].movement, by=cast.owner, at=f.NOON
    )

    contents = contents_of(template)

    assert [(told.session, told.movement, told.became) for told in contents.gone] == [("Pull day", "Pull-up", "")]
    assert "offer" in contents.gone[0].why
    for session in contents.sessions:
        assert [(row.movement.name, row.joined) for row in session.rows] == [("Push-up", False), ("Plank", False)]


def test_movement_that_is_measured_otherwise_now_is_told(cast, block, movements):
    template = keep(block, cast)
    movement = movements["plank"].movement
    movement.current = f.MovementRevisionFactory(movement=movement, number=2, name="Plank", measure="seconds")
    movement.save()

    assert [told.movement for told in contents_of(template).gone] == ["Plank"]


def test_rounds_keep_their_kind_when_one_of_them_is_gone(cast, movements):
    rows = [
        Row(movement=movements["pull-up"], joined=True, together=GroupKind.ROUNDS, minutes=10),
        Row(movement=movements["push-up"], joined=True),
        Row(movement=movements["plank"]),
    ]
    template = keep(write_block(cast, rows), cast)
    HiddenMovement.objects.create(
        practice=cast.practice, movement=movements["push-up"].movement, by=cast.owner, at=f.NOON
    )

    first, second = contents_of(template).sessions[0].rows

    assert (first.together, first.minutes, first.joined, second.joined) == (GroupKind.ROUNDS, 10, True, False)


def test_every_week_and_dose_is_told_in_words(cast, block):
    template = keep(block, cast)

    (number, sessions), (_second, _others) = weeks_in_words(template, contents_of(template))

    assert number == 1
    session = sessions[0]
    assert (session.written.name, session.day) == ("Pull day", "Tuesday")
    [(words, lines), (alone, _lines)] = session.parts[0].groups
    assert words.startswith("Pair")
    assert alone == ""
    assert lines[0].words.startswith("3 sets of 8–12 reps")
    assert "RIR 1.5" in lines[0].words


def test_contents_are_read_in_as_many_queries_however_much_there_is(cast, block, django_assert_num_queries):
    template = keep(block, cast)
    template.practice = Practice.objects.get(pk=template.practice_id)

    with django_assert_num_queries(1):
        weeks_in_words(template, contents_of(template))
