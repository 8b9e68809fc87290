import datetime
import uuid
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients.choices import ClientState, ItemKind
from programs.choices import BlockState
from programs.domain import applying, building
from programs.domain.applying import active_clients, begin_from_template, first_free_week, open_drafts
from programs.domain.drafting import draft_from_block, new_revision
from programs.domain.library import load_library
from programs.domain.publishing import publish_block
from programs.domain.rows import Row, rows_of
from programs.domain.templates import archive_template, contents_of, keep_as_template
from programs.errors import BegunAlready, PlacedUnread
from programs.models import Block, BlockSession, HiddenMovement, Movement, Prescription
from tests import factories as f
from tests.programs.at_once import at_once

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)
MONDAY = f.MONDAY  # f.NOON is the Wednesday after
NEXT_MONDAY = MONDAY + 7 * DAY


@pytest.fixture
def library(cast):
    load_library()
    return {movement.slug: movement.current for movement in Movement.objects.select_related("current")}


def may_start(client):
    f.ConsentFactory(client=client)
    f.ScreeningFactory(client=client)
    return client


def at_home(client, *kinds):
    place = f.PlaceFactory(client=client)
    for kind in kinds:
        f.EquipmentItemFactory(place=place, kind=kind, set_up_checked_on=MONDAY)
    return client


def template_of(cast, library, slugs=("pull-up", "push-up"), *, sessions=1, weeks=2):
    block = building.create_block(cast.other_client, by=cast.other_coach, title="Winter", starts_on=MONDAY, weeks=weeks)
    for number in range(sessions):
        session = building.add_session(block, version=block.version, name=f"Day {number}", week=1, weekday=number)
        rows = [Row(movement=library[slug], target_rir=Decimal(2)) for slug in slugs]
        building.save_session(session, rows, version=session.block.version, name=session.name, weekday=number)
        block.refresh_from_db()
    building.copy_week(block, from_week=1, to_weeks=range(1, weeks + 1), version=block.version)
    return keep_as_template(block, by=cast.other_coach, at=f.NOON, title="Winter, for many")


@pytest.fixture
def template(cast, library):
    return template_of(cast, library)


def begin(template, client, cast, **said):
    told = {"by": cast.coach, "starts_on": NEXT_MONDAY, "today": f.NOON.date()} | said
    return begin_from_template(template, contents_of(template), client, **told)


def movements(block):
    return [[row.movement.movement.slug for row in rows_of(session)] for session in block.sessions.all()]


def coached(cast, *kinds):
    client = may_start(f.ClientFactory(practice=cast.practice))
    f.AssignmentFactory(client=client, coach=cast.coach_membership)
    return at_home(client, *kinds)


def test_draft_holds_what_the_client_can_do_and_tells_the_rest(cast, template, library):
    at_home(may_start(cast.client), ItemKind.STRAPS)

    block = begin(template, cast.client, cast).block

    block = Block.objects.get(pk=block.pk)
    assert (block.state, block.title, block.weeks) == (BlockState.DRAFT, "Winter, for many", 2)
    assert (block.starts_on, block.template, block.written_by) == (NEXT_MONDAY, template, cast.coach)
    assert movements(block) == [["ring-row-75deg", "push-up"]] * 2
    ring_row = library["ring-row-75deg"].name
    assert [(told["session"], told["movement"], told["became"]) for told in block.placed] == [
        ("Day 0", "Pull-up", ring_row),
    ]
    assert block.placed[0]["why"].startswith("Not at this place")


def test_what_has_no_place_with_this_client_is_told_and_left_out(cast, template):
    at_home(may_start(cast.client))

    block = begin(template, cast.client, cast).block

    assert movements(block) == [["push-up"]] * 2
    assert [(told["movement"], told["became"]) for told in block.placed] == [("Pull-up", "")]


def test_draft_as_written_has_nothing_to_read(cast, template):
    at_home(may_start(cast.client), ItemKind.BAR)

    block = begin(template, cast.client, cast, title="Mine").block

    assert (block.title, block.placed) == ("Mine", [])
    assert movements(block) == [["pull-up", "push-up"]] * 2


def test_draft_keeps_the_deload_week(cast, template):
    template.document["deload_week"] = 2
    template.save()

    assert begin(template, at_home(may_start(cast.client)), cast).block.deload_week == 2


def test_movement_that_left_the_library_is_told_with_the_draft(cast, template, library):
    at_home(may_start(cast.client), ItemKind.BAR)
    HiddenMovement.objects.create(
        practice=cast.practice, movement=library["push-up"].movement, by=cast.owner, at=f.NOON
    )

    block = begin(template, cast.client, cast).block

    assert movements(block) == [["pull-up"]] * 2
    assert [told["movement"] for told in block.placed] == ["Push-up"]


def test_each_client_gets_lineages_of_their_own_that_join_their_weeks(cast, template):
    first, second = coached(cast, ItemKind.BAR), coached(cast, ItemKind.BAR)

    blocks = [begin(template, client, cast).block for client in (first, second)]

    lineages = [set(_prescriptions(block).values_list("lineage", flat=True)) for block in blocks]
    assert [len(ours) for ours in lineages] == [2, 2]
    assert not lineages[0] & lineages[1]
    sessions = [set(block.sessions.values_list("lineage", flat=True)) for block in blocks]
    assert [len(ours) for ours in sessions] == [1, 1]
    assert not sessions[0] & sessions[1]


def _prescriptions(block):
    return Prescription.objects.filter(group__section__session__block=block)


def test_set_up_check_has_to_hold_when_the_block_starts(cast, template):
    at_home(may_start(cast.client), ItemKind.BAR)

    later = begin(template, cast.client, cast, starts_on=MONDAY + 200 * DAY).block

    assert "set-up check" in later.placed[0]["why"]


def test_week_that_has_begun_counts_from_today(cast, template):
    place = f.PlaceFactory(client=may_start(cast.client))
    f.EquipmentItemFactory(place=place, kind=ItemKind.BAR, set_up_checked_on=f.NOON.date())

    block = begin(template, cast.client, cast, starts_on=f.NOON.date()).block

    assert (block.starts_on, block.placed) == (MONDAY, [])


def test_who_may_not_start_gets_a_draft_and_the_reason(cast, template):
    at_home(cast.client, ItemKind.BAR)

    begun = begin(template, cast.client, cast)

    assert begun.no_start
    assert movements(begun.block) == [["pull-up", "push-up"]] * 2


def test_same_wish_again_makes_no_second_draft(cast, template):
    at_home(may_start(cast.client), ItemKind.BAR)
    first = begin(template, cast.client, cast).block

    with pytest.raises(BegunAlready) as refused:
        begin(template, cast.client, cast, starts_on=NEXT_MONDAY + 2 * DAY)

    assert refused.value.block_uuid == first.uuid
    assert Block.objects.of(cast.client).count() == 1


@pytest.mark.django_db(transaction=True)
def test_same_form_twice_at_the_same_moment_makes_one_draft(cast, template):
    at_home(may_start(cast.client), ItemKind.BAR)
    contents = contents_of(template)

    def ask():
        said = {"by": cast.coach, "starts_on": NEXT_MONDAY, "today": f.NOON.date()}
        return begin_from_template(template, contents, cast.client, **said)

    results = at_once(ask, ask)

    assert sorted(type(one).__name__ for one in results) == ["Begun", "BegunAlready"]
    assert Block.objects.of(cast.client).count() == 1


@pytest.mark.parametrize("after", ["another week", "another template", "edited", "another client"])
def test_another_wish_makes_another_draft(cast, template, library, after):
    at_home(may_start(cast.client), ItemKind.BAR)
    first = begin(template, cast.client, cast).block
    client, said = cast.client, {}
    if after == "another week":
        said = {"starts_on": NEXT_MONDAY + 7 * DAY}
    elif after == "another template":
        template = template_of(cast, library)
    elif after == "edited":
        building.edit_block(first, version=0, title="Mine", starts_on=first.starts_on, weeks=2)
    else:
        client = coached(cast, ItemKind.BAR)

    assert begin(template, client, cast, **said).block.pk != first.pk


def test_failure_half_way_leaves_nothing_of_that_draft(cast, template, monkeypatch):
    def fails(*args, **kwargs):
        raise RuntimeError

    monkeypatch.setattr(applying, "add_filled_sessions", fails)
    with pytest.raises(RuntimeError):
        begin(template, at_home(may_start(cast.client)), cast)

    assert not Block.objects.of(cast.client).exists()


def queries_for(template, cast, clients):
    contents = contents_of(template)
    begin_from_template(
        template, contents, coached(cast), by=cast.coach, starts_on=NEXT_MONDAY, today=f.NOON.date()
    )  # Reads the library into memory.
    with CaptureQueriesContext(connection) as queries:
        for client in clients:
            begin_from_template(template, contents, client, by=cast.coach, starts_on=NEXT_MONDAY, today=f.NOON.date())
    return len(queries)


def test_queries_grow_with_clients_alone(cast, library):
    small = template_of(cast, library, sessions=1)
    large = template_of(cast, library, sessions=5)
    clients = [coached(cast, ItemKind.STRAPS) for _n in range(3)]

    one = queries_for(small, cast, clients[:1])
    more_sessions = queries_for(large, cast, clients[:1])
    all_three = queries_for(large, cast, [coached(cast, ItemKind.STRAPS) for _n in range(3)])

    assert more_sessions == one
    assert all_three == 3 * one
    assert one <= 34


# Publishing


@pytest.fixture
def unread(cast, template):
    at_home(may_start(cast.client), ItemKind.STRAPS)
    return begin(template, cast.client, cast).block


def publish(block, cast, **said):
    return publish_block(block, by=cast.coach, at=f.NOON, first_day=NEXT_MONDAY, **said)


def test_what_was_placed_and_not_read_is_not_published(cast, unread):
    with pytest.raises(PlacedUnread):
        publish(unread, cast)

    unread.refresh_from_db()
    assert unread.is_draft


def test_what_was_placed_and_read_is_published_with_what_changed(cast, unread):
    block = publish(unread, cast, has_read_placed=True)

    block.refresh_from_db()
    assert block.state == BlockState.PUBLISHED
    assert len(block.placed) == 1


def test_nothing_placed_needs_no_reading(cast, template):
    at_home(may_start(cast.client), ItemKind.BAR)

    assert publish(begin(template, cast.client, cast).block, cast).state == BlockState.PUBLISHED


def test_later_drafts_of_a_placed_block_have_nothing_to_read(cast, unread):
    block = publish(unread, cast, has_read_placed=True)

    assert new_revision(block, by=cast.coach).placed == []
    assert draft_from_block(block, starts_on=NEXT_MONDAY + 14 * DAY, by=cast.coach).placed == []


# Whom it can be given to


def test_only_active_clients_of_the_coach_can_be_given_it(cast, template):
    for state in (ClientState.PAUSED, ClientState.ENDED, ClientState.INTAKE):
        client = coached(cast)
        client.state = state
        client.save()
    cast.client.state = cast.other_client.state = ClientState.ACTIVE
    cast.client.save()
    cast.other_client.save()

    assert active_clients(cast.coach, template) == [cast.client]
    assert cast.other_client in active_clients(cast.owner, template)
    assert active_clients(cast.stranger_coach, template) == []


def test_open_drafts_are_those_of_the_coachs_clients(cast, template):
    mine = begin(template, at_home(may_start(cast.client)), cast).block
    begin(template, at_home(may_start(cast.other_client)), cast)

    assert open_drafts(cast.coach, template) == [mine]
    assert len(open_drafts(cast.owner, template)) == 2


def test_first_week_follows_the_block_that_runs(cast):
    today = f.NOON.date()
    assert first_free_week(cast.client, today=today) == NEXT_MONDAY
    assert first_free_week(cast.client, today=MONDAY) == MONDAY

    f.publish(f.BlockFactory(client=cast.client, starts_on=MONDAY, weeks=3))

    assert first_free_week(cast.client, today=today) == MONDAY + 21 * DAY
    assert first_free_week(cast.client, today=MONDAY + 62 * DAY) == MONDAY + 63 * DAY


def test_putting_a_template_away_keeps_the_drafts_that_came_from_it(cast, template):
    block = begin(template, at_home(may_start(cast.client)), cast).block

    archive_template(template, at=f.NOON)

    block.refresh_from_db()
    assert block.template == template
    assert BlockSession.objects.filter(block=block).count() == 2


def test_rows_without_a_lineage_get_one_each(cast, library):
    rows = [Row(movement=library["push-up"]), Row(movement=library["push-up"])]
    block = building.create_block(cast.client, by=cast.coach, title="B", starts_on=MONDAY, weeks=1)

    building.add_filled_sessions(block, [(BlockSession(name="A", week=1, weekday=0, lineage=uuid.uuid4()), rows)])

    assert len(set(_prescriptions(block).values_list("lineage", flat=True))) == 2
