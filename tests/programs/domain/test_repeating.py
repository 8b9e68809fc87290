"""A week once more: lineages, days, what was logged, and what is refused."""

from decimal import Decimal

import pytest
from django.db import connection, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clients.choices import Area, Ceiling, Side
from clients.domain.versions import supersede
from clients.errors import ClientsError
from clients.models import OutgoingMail, ProtectedArea, Screening
from programs.choices import BlockState, LoadKind, SessionState
from programs.domain.drafting import new_revision
from programs.domain.excusing import excuse_days
from programs.domain.repeating import OtherLoad, Repeat, current_week, rehearse, repeat_week, running_blocks
from programs.domain.rows import rows_of
from programs.errors import (
    AnotherBlockFollows,
    BarredAreaLoaded,
    BlockTooLong,
    ChangedMeanwhile,
    NextWeekBegun,
    ReasonNeeded,
    RevisionOpen,
    WeekOutsideBlock,
)
from programs.models import Block, BlockSession, Prescription, ScheduledSession, SetLog, TrainingLog
from tests import factories as f
from tests.programs.at_once import at_once
from tests.programs.domain.test_publishing import DAY, MONDAY, draft, publish, ready

__all__ = ["ready"]
pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cast, ready):
    """Two weeks, Tuesday and Saturday; published on the Monday, and it is Wednesday now."""
    return publish(draft(cast), cast, at=f.NOON - 2 * DAY)


def again(block, cast, week=1, *, at=f.NOON, by=None, **said):
    return repeat_week(block, Repeat(week, **said), by=by or cast.coach, at=at)


def standing(block):
    rows = ScheduledSession.objects.of(block.client).on_the_plan().filter(session__block__lineage=block.lineage)
    return [((row.on - MONDAY).days, row.session.week) for row in rows]


def everything_logged():
    return [list(model.objects.order_by("pk").values()) for model in (SetLog, TrainingLog)]


def test_week_comes_again_right_after_itself_and_the_others_a_week_later(block, cast):
    week_two = block.sessions.get(week=2, weekday=1)

    revision = again(block, cast, 1, message="We settle first.")

    block.refresh_from_db()
    assert (revision.weeks, revision.revision, revision.message) == (3, 2, "We settle first.")
    assert (block.state, revision.state) == (BlockState.REPLACED, BlockState.PUBLISHED)
    assert standing(revision) == [(1, 1), (5, 1), (8, 2), (12, 2), (15, 3), (19, 3)]
    assert revision.sessions.get(week=3, weekday=1).lineage == week_two.lineage


def test_week_is_added_at_the_end(block, cast):
    revision = again(block, cast, 1, at_the_end=True)

    assert standing(revision) == [(1, 1), (5, 1), (8, 2), (12, 2), (15, 3), (19, 3)]


def test_repeated_week_has_the_doses_and_lineages_of_the_week_it_repeats(cast, ready):
    plan = draft(cast)
    first = publish(plan, cast, at=f.NOON - 2 * DAY)

    revision = again(first, cast, 1)

    def doses(week):
        return [
            (s.lineage, s.weekday, s.name, [(r.lineage, r.sets, r.amount_high, r.movement.pk) for r in rows_of(s)])
            for s in revision.sessions.filter(week=week).order_by("weekday")
        ]

    assert doses(2) == doses(1)
    assert [lineage for lineage, *_rest in doses(1)] == [
        s.lineage for s in first.sessions.filter(week=1).order_by("weekday")
    ]


def test_nothing_logged_changes_and_a_touched_session_stands(block, cast):
    tuesday = ScheduledSession.objects.get(on=MONDAY + DAY)
    f.SetLogFactory(client=cast.client, scheduled=tuesday)
    f.TrainingLogFactory(client=cast.client, scheduled=tuesday)
    before = everything_logged()

    again(block, cast, 1)

    assert everything_logged() == before
    tuesday.refresh_from_db()
    assert tuesday.session.block == block
    assert ScheduledSession.objects.on_the_plan().filter(on=tuesday.on).count() == 1


def test_appointments_keep_their_identity_day_by_day(block, cast):
    before = {row.on: row.lineage for row in ScheduledSession.objects.on_the_plan()}

    again(block, cast, 1)

    after = {row.on: row.lineage for row in ScheduledSession.objects.on_the_plan()}
    assert {day: after[day] for day in before} == before
    assert len(set(after.values())) == len(after) == 6


def test_excused_day_stays_excused_in_the_week_that_comes_again(block, cast):
    days = {"first_on": MONDAY + 8 * DAY, "last_on": MONDAY + 8 * DAY}
    excuse_days(cast.client, **days, reason="travel", by=cast.client_user, at=f.NOON)

    again(block, cast, 1)

    states = {(row.on - MONDAY).days: row.state for row in ScheduledSession.objects.on_the_plan()}
    assert states[8] == SessionState.EXCUSED
    assert states[12] == SessionState.PLANNED


def test_later_week_that_has_begun_cannot_be_pushed_away(block, cast):
    next_tuesday = ScheduledSession.objects.get(on=MONDAY + 8 * DAY)
    f.SetLogFactory(client=cast.client, scheduled=next_tuesday)

    with pytest.raises(NextWeekBegun):
        again(block, cast, 1)
    assert standing(again(block, cast, 1, at_the_end=True))[-1] == (19, 3)


def test_week_before_one_that_passed_cannot_come_again(block, cast):
    with pytest.raises(NextWeekBegun):
        again(block, cast, 1, at=f.NOON + 7 * DAY)


def test_second_of_two_coaches_is_told_and_the_week_comes_once(block, cast):
    again(block, cast, 1)

    with pytest.raises(ChangedMeanwhile):
        again(block, cast, 1, by=cast.owner)

    assert Block.objects.get(state=BlockState.PUBLISHED).weeks == 3


@pytest.mark.django_db(transaction=True)
def test_of_two_coaches_at_the_same_moment_one_repeats_and_the_other_is_told(block, cast):
    results = at_once(*[lambda by=by: again(block, cast, 1, by=by) for by in (cast.coach, cast.owner)])

    assert {type(result) for result in results} == {Block, ChangedMeanwhile}
    assert Block.objects.get(state=BlockState.PUBLISHED).weeks == 3


def test_draft_that_somebody_writes_is_not_published_along(block, cast):
    revision = new_revision(block, by=cast.coach)

    with pytest.raises(RevisionOpen):
        again(block, cast, 1)
    assert Block.objects.get(pk=revision.pk).is_draft


@pytest.mark.parametrize("week", [0, 3])
def test_week_that_is_not_in_the_block_is_refused(block, cast, week):
    with pytest.raises(WeekOutsideBlock):
        again(block, cast, week)


def test_block_stays_within_sixteen_weeks(cast, ready):
    longest = publish(draft(cast, weeks=16), cast)

    with pytest.raises(BlockTooLong):
        again(longest, cast, 16)


def test_next_block_is_not_taken_off_its_days(block, cast):
    publish(draft(cast, starts_on=MONDAY + 14 * DAY), cast)
    before = standing(block)

    with pytest.raises(AnotherBlockFollows):
        again(block, cast, 2, at_the_end=True)
    assert standing(block) == before


def test_safety_is_asked_again(cast, ready):
    moved = publish(draft(cast, name="Dip", areas=["shoulder"]), cast, at=f.NOON - 2 * DAY)
    area = {"practice": ready.practice, "client": ready, "area": Area.SHOULDER, "side": Side.LEFT, "from_on": MONDAY}
    protected = ProtectedArea.objects.create(**area, barred=False)

    with pytest.raises(ReasonNeeded):
        again(moved, cast, 1)
    assert rehearse(moved, Repeat(1, protected_because="Pain-free."), by=cast.coach, at=f.NOON)
    ProtectedArea.objects.create(**area | {"side": Side.RIGHT}, barred=True)
    with pytest.raises(BarredAreaLoaded):
        again(moved, cast, 1, protected_because="Pain-free.")
    assert protected.pk
    assert Block.objects.count() == 1


def test_nobody_trains_on_after_the_outcome_ran_out(block, cast):
    first = Screening.objects.get(client=cast.client)
    Screening.objects.filter(pk=first.pk).update(is_current=False)
    f.ScreeningFactory(client=cast.client, expires_on=f.NOON.date() - DAY, replaces=first)

    with pytest.raises(ClientsError):
        again(block, cast, 2, at_the_end=True)


def test_ceiling_that_went_down_refuses_hard_weeks(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    hard = publish(draft(cast), cast, at=f.NOON - 2 * DAY)
    first = Screening.objects.get(client=cast.client)
    Screening.objects.filter(pk=first.pk).update(is_current=False)
    f.ScreeningFactory(client=cast.client, ceiling=Ceiling.LIGHT, replaces=first)

    with pytest.raises(ClientsError):
        again(hard, cast, 1)


def test_rehearsal_shows_what_would_happen_and_leaves_nothing(block, cast):
    cast.client.email = "client@example.test"
    cast.client.save()

    seen = rehearse(block, Repeat(1), by=cast.coach, at=f.NOON)

    assert [(row.on - MONDAY).days for row in seen.added] == [8, 12]
    assert seen.ends_on == MONDAY + 20 * DAY
    assert not seen.is_at_the_end
    assert rehearse(block, Repeat(2), by=cast.coach, at=f.NOON).is_at_the_end
    assert (Block.objects.count(), BlockSession.objects.count(), OutgoingMail.objects.count()) == (1, 4, 0)
    assert standing(block) == [(1, 1), (5, 1), (8, 2), (12, 2)]
    assert not connection.needs_rollback


@pytest.mark.parametrize("at_the_end", [False, True])
def test_look_names_the_loads_that_a_newer_maximum_changes(cast, ready, at_the_end):
    press = f.MovementFactory(revision__name="Press", revision__load_kind=LoadKind.EXTERNAL).current
    reference = f.ReferenceMaxFactory(client=ready, movement=press, load_entered=60, load_kg=60)
    plan = draft(cast)
    percent = {"movement": press, "percent_of_max": Decimal(80)}
    for session in plan.sessions.all():
        Prescription.objects.filter(group__section__session=session).update(**percent)
    block = publish(plan, cast, at=f.NOON - 2 * DAY)
    repeat = Repeat(2 if at_the_end else 1, at_the_end=at_the_end)
    assert rehearse(block, repeat, by=cast.coach, at=f.NOON).other_loads == []

    new = f.ReferenceMaxFactory.build(client=ready, practice=ready.practice, movement=press, by=cast.coach)
    new.slug, new.load_entered, new.load_kg = reference.slug, 70, 70
    supersede(reference, new)

    assert rehearse(block, repeat, by=cast.coach, at=f.NOON).other_loads == [OtherLoad("Press", "48 kg", "56 kg")]


def test_running_blocks_are_those_of_the_coachs_own_clients_that_run(block, cast):
    assert running_blocks(cast.coach, at=f.NOON) == [block]
    assert running_blocks(cast.owner, at=f.NOON) == [block]
    assert running_blocks(cast.other_coach, at=f.NOON) == []
    assert running_blocks(cast.coach, at=f.NOON + 17 * DAY) == [block]
    assert running_blocks(cast.coach, at=f.NOON + 18 * DAY) == []


@pytest.mark.parametrize(("days", "week"), [(-9, 1), (0, 1), (6, 1), (7, 2), (30, 2)])
def test_week_now_is_within_the_block(block, days, week):
    assert current_week(block, MONDAY + days * DAY) == week


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    weeks=st.integers(1, 4),
    steps=st.lists(st.tuples(st.integers(1, 4), st.booleans()), min_size=1, max_size=3),
    touched=st.sets(st.integers(0, 3)),
)
def test_however_weeks_are_repeated_nothing_logged_moves_and_each_day_has_one_session(
    cast, ready, weeks, steps, touched
):
    with transaction.atomic():
        block = publish(draft(cast, weeks=weeks), cast, at=f.NOON - 2 * DAY)
        rows = list(ScheduledSession.objects.of(ready))
        for number in touched & set(range(len(rows))):
            f.SetLogFactory(client=ready, scheduled=rows[number])
        logged = everything_logged()
        stood = {row.pk: row.on for row in rows if row.sets.exists()}
        for week, at_the_end in steps:
            try:
                block = again(block, cast, week, at_the_end=at_the_end)
            except (NextWeekBegun, WeekOutsideBlock):
                continue

        now = ScheduledSession.objects.of(ready).on_the_plan()
        assert everything_logged() == logged
        assert {row.pk: row.on for row in now if row.pk in stood} == stood
        assert len({row.on for row in now}) == len(now) == 2 * block.weeks
        assert len({row.lineage for row in now}) == len(now)
        transaction.set_rollback(True)
