from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.choices import GroupKind, LoadKind, Measure, SectionKind, SetKind
from programs.domain import building
from programs.domain.rows import Row, rows_of, with_contents
from programs.domain.stepping import deloaded, rows_in_week, stepped
from programs.errors import FromDeloadWeek
from programs.models import MovementRevision
from tests import factories as f

MOVEMENT = MovementRevision(name="Row", measure=Measure.REPETITIONS)
PLAIN = Row(
    movement=MOVEMENT,
    sets=3,
    amount_low=8,
    amount_high=10,
    target_rir=Decimal(3),
    load_entered=Decimal(20),
    load_unit="kg",
    load_kg=Decimal(20),
)
STEPPING = replace(PLAIN, step_sets=1, step_amount=2, step_rir=Decimal("-0.5"), step_load=Decimal("2.5"))


def test_every_part_takes_its_step_as_often_as_weeks_pass():
    third = stepped(STEPPING, 2)

    # 3 + 2 sets, 8-10 + 4 reps, RIR 3 - 1, 20 + 5 kg.
    assert (third.sets, third.amount_low, third.amount_high) == (5, 12, 14)
    assert (third.target_rir, third.load_entered, third.load_kg) == (Decimal(2), Decimal(25), Decimal(25))


@pytest.mark.parametrize(("kind", "percent"), [(LoadKind.EXTERNAL, "72.0"), (LoadKind.BODY_PLUS, "80")])
def test_deload_takes_a_tenth_of_a_percentage_only_where_the_load_is_all_there_is(kind, percent):
    movement = MovementRevision(name="Row", measure=Measure.REPETITIONS, load_kind=kind)

    lighter = deloaded(replace(PLAIN, movement=movement, percent_of_max=Decimal(80), sets=4))

    assert (lighter.sets, lighter.percent_of_max) == (2, Decimal(percent))


def test_a_cluster_that_steps_down_keeps_parts_smaller_than_the_set():
    row = replace(PLAIN, kind=SetKind.CLUSTER, cluster_reps=4, rest_within_s=15, step_amount=-3)

    assert (stepped(row, 1).amount_low, stepped(row, 1).amount_high) == (5, 7)
    assert (stepped(row, 4).amount_low, stepped(row, 4).amount_high) == (1, 5)


def test_a_load_in_pounds_steps_in_pounds():
    row = replace(STEPPING, load_entered=Decimal(45), load_unit="lb", load_kg=Decimal("20.412"), step_load=Decimal(5))

    assert (stepped(row, 1).load_entered, stepped(row, 1).load_kg) == (Decimal(50), Decimal("22.680"))


def test_a_percentage_steps_and_leaves_its_former_load():
    row = replace(PLAIN, percent_of_max=Decimal(70), step_load=Decimal("2.5"))

    later = stepped(row, 2)

    assert (later.percent_of_max, later.load_entered, later.load_kg) == (Decimal(75), None, None)


def test_a_rating_rises_where_reps_in_reserve_would_fall():
    row = replace(STEPPING, target_rir=None, target_rpe=Decimal(7))

    assert stepped(row, 2).target_rpe == Decimal(8)


def test_a_deload_week_has_half_the_sets_more_in_reserve_and_less_load():
    less = deloaded(replace(PLAIN, sets=5))

    # 5 / 2 rounds up to 3; RIR 3 + 2; 20 kg x 0.9.
    assert (less.sets, less.target_rir, less.load_entered) == (3, Decimal(5), Decimal(18))


def test_a_set_to_the_limit_is_a_work_set_in_a_deload_week():
    assert deloaded(replace(PLAIN, kind=SetKind.MAX_REPS)).kind == SetKind.WORK


@pytest.mark.parametrize("row", [replace(PLAIN, section=SectionKind.MOBILITY), replace(PLAIN, kind=SetKind.WARM_UP)])
def test_warming_up_stays_as_it_is_in_a_deload_week(row):
    assert deloaded(row) == row


def test_rounds_in_a_time_are_half_as_long_in_a_deload_week():
    assert deloaded(replace(PLAIN, together=GroupKind.ROUNDS, minutes=9)).minutes == 5


def test_the_deload_week_takes_no_step_and_the_week_after_goes_on():
    weeks = {week: rows_in_week([STEPPING], written_in=1, week=week, deload_week=3)[0] for week in (2, 3, 4)}

    assert weeks[2].amount_high == 12
    assert weeks[3] == deloaded(weeks[2])
    assert weeks[4].amount_high == 14


@given(
    times=st.integers(0, 15),
    sets=st.integers(1, 20),
    step=st.integers(-5, 5),
    amount=st.integers(1, 3600),
    amount_step=st.integers(-60, 60),
    load=st.decimals(0, 1000, places=2),
    load_step=st.decimals(-50, 50, places=2),
)
def test_no_step_leaves_what_a_prescription_can_be(times, sets, step, amount, amount_step, load, load_step):
    row = replace(
        PLAIN,
        sets=sets,
        amount_low=1,
        amount_high=amount,
        load_entered=load,
        load_kg=load,
        step_sets=step,
        step_amount=amount_step,
        step_load=load_step,
    )

    later = stepped(row, times)

    assert 1 <= later.sets <= 20
    assert 1 <= later.amount_low <= later.amount_high <= 3600
    assert 0 <= later.load_entered <= 1000


@given(
    sets=st.integers(1, 20),
    rir=st.one_of(st.none(), st.decimals(0, 10, places=1)),
    load=st.one_of(st.none(), st.decimals(0, 1000, places=2)),
    section=st.sampled_from(SectionKind.values),
    kind=st.sampled_from(SetKind.values),
)
def test_a_deload_week_is_never_more(sets, rir, load, section, kind):
    unit = "" if load is None else "kg"
    row = Row(
        movement=MOVEMENT,
        sets=sets,
        target_rir=rir,
        load_entered=load,
        load_kg=load,
        load_unit=unit,
        section=section,
        kind=kind,
    )

    less = deloaded(row)

    assert less.sets <= row.sets
    assert load is None or less.load_kg <= load
    assert rir is None or less.target_rir >= rir


@pytest.mark.django_db
def test_weeks_are_stepped_from_the_first_and_keep_their_lineages(cast):
    block = building.create_block(cast.client, by=cast.coach, title="One", starts_on=f.MONDAY, weeks=3, deload_week=3)
    session = building.add_session(block, version=0, name="Pull", week=1, weekday=1)
    movement = f.MovementFactory().current
    row = Row(movement=movement, sets=4, amount_low=8, amount_high=8, target_rir=Decimal(3), step_amount=1)
    building.save_session(session, [row], version=1, name="Pull", weekday=1)

    building.copy_week(block, from_week=1, to_weeks=[1, 2, 3], version=2, steps=True)

    rows = [rows_of(one)[0] for one in with_contents(block.sessions.order_by("week"))]
    assert [(row.sets, row.amount_high, row.target_rir) for row in rows] == [(4, 8, 3), (4, 9, 3), (2, 9, 5)]
    assert len({row.lineage for row in rows}) == 1


def test_a_rating_stays_on_its_scale_and_an_unstated_effort_stays_unstated():
    rated = replace(PLAIN, target_rir=None, target_rpe=Decimal(2))

    assert deloaded(rated).target_rpe == Decimal(1)
    assert stepped(replace(rated, step_rir=Decimal(2)), 3).target_rpe == Decimal(1)
    assert (deloaded(replace(PLAIN, target_rir=None)).target_rir, deloaded(rated).target_rir) == (None, None)


def test_rounds_of_a_deload_week_are_as_many_for_everybody():
    warm = replace(PLAIN, sets=4, kind=SetKind.WARM_UP, joined=True, together=GroupKind.CIRCUIT)
    work = replace(PLAIN, sets=4)

    assert [row.sets for row in rows_in_week([warm, work], written_in=1, week=2, deload_week=2)] == [2, 2]


def test_no_week_is_stepped_from_the_deload_week():
    with pytest.raises(FromDeloadWeek):
        rows_in_week([PLAIN], written_in=2, week=3, deload_week=2)
