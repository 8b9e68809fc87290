import datetime
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import given
from hypothesis import strategies as st

from clients.models import BodyMass
from programs.choices import LoadKind, MaxOfWhat, Measure, SetKind
from programs.domain import building
from programs.domain.baseline_maxima import KnownMaxima
from programs.domain.overview import (
    Count,
    LastWeek,
    hard_sets,
    overview_beside,
    section_minutes,
    shape_of,
    volume_of,
    week_overview,
)
from programs.domain.rows import Row, rows_of
from programs.models import Movement, MovementRevision, ReferenceMax
from tests import factories as f

PULL = MovementRevision(
    name="Pull-up",
    measure=Measure.REPETITIONS,
    pattern="vpull",
    muscles={"lat": 1, "biceps": 0.5},
    load_kind=LoadKind.BODY_PLUS,
    share=Decimal("1.0000"),
)
PUSH = MovementRevision(
    name="Push-up",
    measure=Measure.REPETITIONS,
    pattern="hpush",
    muscles={"chest": 1, "triceps": 0.5},
    load_kind=LoadKind.BODY_SHARE,
    share=Decimal("0.6400"),
)
HANG = MovementRevision(name="Hang", measure=Measure.SECONDS, pattern="hang_scap", load_kind=LoadKind.BODY_FULL)
MASS = BodyMass(mass_kg=Decimal(80), on=f.MONDAY)


def counted(counts):
    return {count.label: count.sets for count in counts}


def test_hard_sets_count_whole_for_the_main_worker_and_half_for_helpers():
    week = week_overview([Row(movement=PULL, sets=4), Row(movement=PUSH, sets=3)], mass=None)

    assert counted(week.muscles) == {"Lats": 4, "Biceps": 2, "Chest": 3, "Triceps": 1.5}
    assert counted(week.patterns) == {"Vertical pull": 4, "Horizontal push": 3}
    assert week.balance == "3 push, 4 pull (0.8:1)"


@pytest.mark.parametrize(
    ("dose", "sets"),
    [
        ({"kind": SetKind.WARM_UP}, 0),
        ({"target_rir": Decimal(5)}, 0),
        ({"target_rir": Decimal(4)}, 3),
        ({"target_rpe": Decimal(8)}, 3),
        ({"target_rpe": Decimal(3)}, 0),
        ({"kind": SetKind.CLUSTER, "cluster_reps": 2, "rest_within_s": 15}, 3),
        ({}, 3),
    ],
)
def test_what_counts_as_hard_goes_by_the_reserve_asked_for(dose, sets):
    assert hard_sets(Row(movement=PULL, sets=3, **dose)) == sets


def test_volume_load_is_reps_times_what_the_body_moves():
    # 5 x 5 x (80 + 10) = 2,250 kg; 3 x 15 x 0.64 x 80 = 2,304 kg.
    pull = Row(movement=PULL, sets=5, amount_low=5, amount_high=5, load_entered=10, load_unit="kg", load_kg=Decimal(10))
    push = Row(movement=PUSH, sets=3, amount_low=15, amount_high=15)

    assert volume_of([pull, push], MASS).kg == Decimal(2250) + Decimal(2304)


def test_without_a_body_mass_the_volume_load_says_why_it_is_missing():
    volume = volume_of([Row(movement=PULL, sets=3)], None)

    assert (volume.kg, volume.without) == (0, 3)
    assert volume.reasons == ("no body mass",) or "mass" in volume.reasons[0]


def test_holds_are_counted_in_seconds():
    assert volume_of([Row(movement=HANG, sets=4, amount_low=20, amount_high=20)], MASS).held_s == 80


def test_warm_up_sets_add_no_volume_load():
    # 3 x 10 x 0.64 x 80 = 1,536 kg; the warm-up of 2 x 10 is left out, as it is of logged weeks.
    rows = [
        Row(movement=PUSH, sets=n, amount_high=10, kind=kind) for n, kind in ((3, SetKind.WORK), (2, SetKind.WARM_UP))
    ]

    assert volume_of(rows, MASS).kg == Decimal(1536)


def test_volume_load_is_compared_with_the_last_block_only_where_both_are_whole():
    row, heavier = (Row(movement=PUSH, sets=sets, amount_low=10, amount_high=10) for sets in (4, 5))

    drill = Row(movement=replace_share(PUSH), sets=3)
    last = LastWeek(1, [row])

    assert week_overview([heavier], mass=MASS, last=last).change == "+25 %"
    assert week_overview([heavier], mass=None, last=last).change == ""
    assert week_overview([heavier], mass=MASS).change == ""
    # What is not scored in kg is in neither, and told.
    beside = week_overview([heavier, drill], mass=MASS, last=last)
    assert (beside.change, beside.volume.without, beside.volume.unknown) == ("+25 %", 3, 0)


def replace_share(movement):
    facts = {field.attname: getattr(movement, field.attname) for field in movement._meta.concrete_fields}
    return MovementRevision(**facts | {"share": None, "name": "Drill"})


def test_percentage_counts_as_the_load_it_comes_to():
    # 80 % of 60 kg: 48 kg, 3 x 10 x 48 = 1,440 kg; 90 % of 100 kg with 80 kg of body: 10 kg, 2 x 5 x 90 = 900 kg.
    press = revision("Press", load_kind=LoadKind.EXTERNAL, share=None)
    pull = revision("Pull", load_kind=LoadKind.BODY_PLUS, share=Decimal(1))
    rows = [
        Row(movement=press, sets=3, amount_high=10, percent_of_max=Decimal(80)),
        Row(movement=pull, sets=2, amount_low=5, amount_high=5, percent_of_max=Decimal(90)),
    ]
    maxima = KnownMaxima(
        {
            "press": ReferenceMax(load_kg=Decimal(60), of_what=MaxOfWhat.EXTERNAL),
            "pull": ReferenceMax(load_kg=Decimal(100), of_what=MaxOfWhat.SYSTEM),
        },
        "kg",
        Decimal(80),
    )

    assert volume_of(rows, MASS, maxima).kg == Decimal(1440) + Decimal(900)
    open_ones = volume_of(rows, MASS, KnownMaxima({}, "kg", Decimal(80)))
    assert (open_ones.kg, open_ones.unknown, open_ones.reasons) == (0, 5, ("a percentage of no known maximum",))


def revision(name, **facts):
    movement = Movement(slug=name.lower())
    return MovementRevision(movement=movement, name=name, measure=Measure.REPETITIONS, **facts)


def test_minutes_are_told_by_section():
    rows = [Row(movement=PULL, sets=2, amount_low=5, amount_high=5, rest_s=60), Row(movement=PUSH, section="core")]

    # 60 s to set up + 2 x 20 s + 60 s of rest = 160 s; 60 + 3 x 48 + 2 x 90 = 384 s.
    assert [(part.label, part.minutes) for part in section_minutes(rows)] == [("Strength", 3), ("Trunk", 7)]


@given(sets=st.integers(1, 19), rir=st.one_of(st.none(), st.integers(0, 10)), kind=st.sampled_from(SetKind.values))
def test_a_further_set_never_counts_less(sets, rir, kind):
    reserve = None if rir is None else Decimal(rir)
    fewer, more = (Row(movement=PULL, sets=n, target_rir=reserve, kind=kind) for n in (sets, sets + 1))

    assert hard_sets(more) >= hard_sets(fewer)


@pytest.fixture
def block(cast):
    block = building.create_block(cast.client, by=cast.coach, title="One", starts_on=f.MONDAY, weeks=2)
    pull = f.MovementFactory(revision__pattern="vpull", revision__muscles={"lat": 1}).current
    for number, name in enumerate(("A", "B", "C")):
        session = building.add_session(block, version=block.version, name=name, week=1, weekday=number)
        rows = [Row(movement=pull, sets=3), Row(movement=pull, sets=2, section="mobility")]
        building.save_session(session, rows, version=block.version, name=name, weekday=number)
        block.refresh_from_db()
    return block


@pytest.mark.django_db
def test_the_week_counts_this_session_as_typed_and_the_others_as_saved(block):
    session = block.sessions.first()
    typed = [Row(movement=rows_of(session)[0].movement, sets=5)]

    assert counted(overview_beside(session, typed).muscles) == {"Lats": 5 + 3 + 3}


@pytest.mark.django_db
def test_every_week_of_a_block_is_told(block):
    first, second = shape_of(block)

    assert (first.number, first.sessions, first.overview.sets) == (1, 3, 9)
    assert (second.sessions, second.minutes, second.overview.sets) == (0, 0, 0)


@pytest.mark.django_db
@pytest.mark.parametrize(("sessions", "queries"), [(1, 10), (2, 13), (3, 13)])
def test_more_sessions_ask_no_more_queries(block, sessions, queries):
    f.publish(_earlier(block, datetime.timedelta(weeks=4), sets=3))
    session = block.sessions.first()
    block.sessions.exclude(pk__in=block.sessions.values("pk")[:sessions]).delete()
    block.refresh_from_db()
    # Alone in its week, a session has no contents of others to read.
    with CaptureQueriesContext(connection) as beside:
        overview_beside(session, [])
    with CaptureQueriesContext(connection) as shape:
        shape_of(block)
    assert (len(beside), len(shape)) == (queries, 7)


@pytest.mark.parametrize(("sets", "verdict"), [(3.5, "fewer than 4"), (4, ""), (20, ""), (20.5, "more than 20")])
def test_a_muscle_outside_the_published_range_is_named(sets, verdict):
    assert Count("Lats", sets).verdict == verdict


def _earlier(block, weeks, sets):
    earlier = building.create_block(
        block.client, by=block.written_by, title="Before", starts_on=f.MONDAY - weeks, weeks=1
    )
    session = building.add_session(earlier, version=earlier.version, name="A", week=1, weekday=0)
    pull = f.MovementFactory(revision__load_kind=LoadKind.EXTERNAL, revision__share=None, revision__share_basis="")
    row = Row(
        movement=pull.current, sets=sets, amount_high=10, load_entered=Decimal(20), load_unit="kg", load_kg=Decimal(20)
    )
    earlier.refresh_from_db()
    building.save_session(session, [row], version=earlier.version, name="A", weekday=0)
    return earlier


@pytest.mark.django_db
def test_a_block_that_follows_no_other_is_held_against_the_newest_published_one(block):
    f.publish(_earlier(block, datetime.timedelta(weeks=8), sets=1))
    f.publish(_earlier(block, datetime.timedelta(weeks=4), sets=3))
    _earlier(block, datetime.timedelta(weeks=2), sets=5)

    # 3 x 10 x 20 kg: neither the older one nor the draft.
    assert overview_beside(block.sessions.first(), []).last_volume.kg == Decimal(600)


@pytest.mark.django_db
@pytest.mark.parametrize(("week", "deload", "compared"), [(2, None, 2), (4, None, 3), (4, 3, 2), (2, 2, 3)])
def test_week_is_held_against_one_of_the_last_block_that_is_no_deload(block, week, deload, compared):
    earlier = f.BlockFactory(
        client=block.client, starts_on=f.MONDAY - datetime.timedelta(weeks=3), weeks=3, deload_week=deload
    )
    f.publish(earlier)
    block.weeks = 4
    block.save()
    session = building.add_session(block, version=block.version, name="B", week=week, weekday=4)

    assert overview_beside(session, []).last_week == compared


@pytest.mark.django_db
def test_without_an_earlier_block_there_is_nothing_to_compare_with(block):
    assert overview_beside(block.sessions.first(), []).last_volume is None
