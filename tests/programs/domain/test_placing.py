import uuid
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clients.choices import Area, Ceiling, ItemKind
from programs.choices import IN_ROUNDS, GroupKind, SetKind
from programs.domain.exchange.sessions import ReadSession
from programs.domain.graph import Graph, graph_from, shipped_graph
from programs.domain.instead import Around
from programs.domain.library import AtHand, revision_facts
from programs.domain.placing import Own, day_of_placing, place
from programs.domain.resolving import BREAK_DAYS, Day, lessened, refusal
from programs.domain.rows import Row, together
from programs.library import MOVEMENTS
from programs.models import MovementRevision
from tests.programs.domain import resolving_reference as reference

REVISIONS = {
    entry.slug: MovementRevision(pk=number, movement_id=number, **revision_facts(entry))
    for number, entry in enumerate(MOVEMENTS, 1)
}
SLUGS = {revision.pk: slug for slug, revision in REVISIONS.items()}


def graph_with_revisions() -> Graph:
    shipped = shipped_graph()
    known = (replace(one, revision_id=REVISIONS[slug].pk) for slug, one in shipped.movements.items())
    return graph_from(known, shipped.links)


GRAPH = graph_with_revisions()
STEPS = reference.shortest_paths(GRAPH)
FOR_LOADS = ("bar", "belt", "vest", "plates", "backpack", "dumbbell", "kettlebell")
ALWAYS = frozenset({"floor", "wall"})
DONE = dict.fromkeys(REVISIONS, 3)


def around(*kinds, **facts):
    usable = ALWAYS | set(kinds)
    day = Day(**{"present": usable, "usable": usable, "days_since": DONE} | facts)
    return Around(day, GRAPH, AtHand(day.present, day.usable), slugs=SLUGS)


def row(slug, lineage=None, **said):
    return Row(movement=REVISIONS[slug], lineage=lineage or uuid.uuid4(), **{"target_rir": Decimal(2)} | said)


def weeks_of(*rows_by_week, name="Pull day"):
    lineage = uuid.uuid4()
    return [ReadSession(lineage, week, 1, name, list(rows), []) for week, rows in enumerate(rows_by_week, 1)]


def slugs(placed):
    return [[SLUGS[row.movement.pk] for row in session.rows] for session in placed.sessions]


def put(sessions, found, own=None):
    return place(sessions, found, REVISIONS, own)


def test_what_is_possible_as_written_stays_with_its_load_and_nothing_is_told():
    sessions = weeks_of(
        [row("weighted-pull-up", load_entered=Decimal(10), load_unit="kg", load_kg=Decimal(10), sets=5)]
    )

    placed = put(sessions, around(*FOR_LOADS), {"weighted-pull-up": Own(Decimal(10))})

    assert placed.sessions == sessions
    assert placed.told == []


@pytest.mark.parametrize(("own", "loads"), [(Own(Decimal(8)), [8, 8, 6]), (Own(), [None] * 3), (None, [None] * 3)])
def test_load_of_somebody_else_gives_way_to_the_own_one_in_every_week(own, loads):
    lineage, stepped = uuid.uuid4(), {"step_load": Decimal(2), "load_unit": "kg"}
    weeks = [
        [row("weighted-pull-up", lineage, load_entered=Decimal(kg), load_kg=Decimal(kg), **stepped)]
        for kg in (10, 12, 6)
    ]

    placed = put(weeks_of(*weeks), around(*FOR_LOADS), {"weighted-pull-up": own} if own else None)

    rows = [session.rows[0] for session in placed.sessions]
    assert [(one.load_kg, one.load_entered, one.step_load) for one in rows] == [(kg, kg, 0) for kg in loads]
    assert [told.why.startswith("Its load") for told in placed.told] == [True]


@pytest.mark.parametrize(
    ("own", "help_kg"), [(Own(help_kg=Decimal(20)), 20), (Own(help_kg=Decimal(10)), 15), (Own(), None)]
)
def test_less_help_than_the_client_had_is_not_theirs(own, help_kg):
    placed = put(
        weeks_of([row("band-assisted-pull-up", assistance_kg=Decimal(15))]),
        around("bar", "band"),
        {"band-assisted-pull-up": own},
    )

    assert placed.sessions[0].rows[0].assistance_kg == help_kg
    assert bool(placed.told) == (help_kg != 15)


def test_lowering_begins_small_in_its_first_week_and_is_told():
    lineage = uuid.uuid4()
    written = weeks_of(*[[row("push-up-negative", lineage, sets=5, amount_low=6, amount_high=6)]] * 2)

    placed = put(written, around(days_since={}))

    first, second = (session.rows[0] for session in placed.sessions)
    assert (first.sets, first.amount_high, first.target_rir) == (2, 5, 4)
    assert second == written[1].rows[0]
    assert "the first week has less of it" in placed.told[0].why


def test_weeks_without_it_lessen_the_first_week():
    lineage = uuid.uuid4()
    written = weeks_of(*[[row("push-up", lineage, sets=4)]] * 2)

    placed = put(written, around(days_since={"push-up": 25}))

    assert [session.rows[0].sets for session in placed.sessions] == [2, 4]
    assert "for 25 days" in placed.told[0].why


def test_what_is_not_possible_becomes_the_nearest_and_says_why():
    placed = put(weeks_of([row("pull-up")]), around("straps"))

    assert slugs(placed) == [["ring-row-75deg"]]
    told = placed.told[0]
    assert (told.session, told.movement, told.became) == ("Pull day", "Pull-up", REVISIONS["ring-row-75deg"].name)
    assert told.why.startswith("Not at this place")


def test_what_nothing_stands_in_for_is_left_out_and_told_once_for_all_weeks():
    lineage = uuid.uuid4()

    placed = put(weeks_of(*[[row("pull-up", lineage), row("push-up")] for _week in range(4)]), around())

    assert slugs(placed) == [["push-up"]] * 4
    assert [(told.movement, told.became) for told in placed.told] == [("Pull-up", "")]
    assert "Nothing that is not harder" in placed.told[0].why


def test_load_does_not_go_along_to_another_movement():
    heavy = row("weighted-pull-up", load_entered=Decimal(20), load_unit="kg", load_kg=Decimal(20), step_load=Decimal(1))

    placed = put(weeks_of([heavy]), around("bar"))

    now = placed.sessions[0].rows[0]
    assert now.movement.pk != heavy.movement.pk
    assert (now.load_entered, now.load_unit, now.load_kg, now.step_load) == (None, "", None, Decimal(0))


def test_cue_of_another_movement_is_left_out_and_told():
    placed = put(weeks_of([row("pull-up", cue="Chin over the bar")]), around("straps"))

    assert placed.sessions[0].rows[0].cue == ""
    assert "Chin over the bar" in placed.told[0].why


def test_effort_above_the_ceiling_keeps_the_movement_with_more_in_reserve():
    lineage = uuid.uuid4()
    written = weeks_of(*[[row("push-up", lineage, target_rir=Decimal(rir))] for rir in (5, 1)])

    placed = put(written, around(ceiling=Ceiling.MODERATE))

    first, second = (session.rows[0] for session in placed.sessions)
    assert slugs(placed) == [["push-up"]] * 2
    assert first == written[0].rows[0]
    assert second.target_rir > 1
    assert replace(second, target_rir=Decimal(1)) == written[1].rows[0]
    assert placed.told[0].why.endswith("It stays, with more in reserve.")


def test_later_week_above_the_ceiling_is_no_first_time():
    lineage = uuid.uuid4()
    written = weeks_of(*[[row("push-up", lineage, target_rir=Decimal(rir), sets=4)] for rir in (5, 1)])

    placed = put(written, around(ceiling=Ceiling.MODERATE, days_since={}))

    assert [session.rows[0].sets for session in placed.sessions] == [4, 4]
    assert placed.sessions[1].rows[0].target_rir > 1
    assert placed.told[0].why.endswith("It stays, with more in reserve.")


def test_same_prescription_is_the_same_movement_in_every_week():
    """To the limit in the second week alone: nothing is possible in both, so it is in neither."""
    lineage = uuid.uuid4()
    easy = row("push-up", lineage, target_rir=Decimal(5))

    placed = put(weeks_of([easy], [replace(easy, kind=SetKind.MAX_REPS)]), around(ceiling=Ceiling.MODERATE))

    assert slugs(placed) == [[], []]
    assert [(told.movement, told.became) for told in placed.told] == [("Push-up", "")]


def test_movement_of_the_first_week_is_taken_for_all():
    lineage = uuid.uuid4()
    written = weeks_of(*[[row("pull-up", lineage, sets=sets, amount_low=sets)] for sets in (3, 4, 5)])

    placed = put(written, around("straps"))

    assert slugs(placed) == [["ring-row-75deg"]] * 3
    assert [session.rows[0].sets for session in placed.sessions] == [3, 4, 5]
    assert len(placed.told) == 1


def test_first_time_under_a_ceiling_stays_the_movement_with_less_of_it():
    placed = put(weeks_of([row("push-up", target_rir=Decimal(1), sets=4)]), around(ceiling="moderate", days_since={}))

    assert slugs(placed) == [["push-up"]]
    assert placed.sessions[0].rows[0].sets < 4
    assert "starts small" in placed.told[0].why


def test_without_leave_to_train_things_and_areas_decide_alone():
    found = around("straps", ceiling="none", no_start="The intake is missing.")

    placed = put(weeks_of([row("push-up", target_rir=Decimal(0)), row("pull-up")]), found)

    assert slugs(placed) == [["push-up", "ring-row-75deg"]]


def test_option_that_the_client_cannot_do_is_dropped_and_told():
    pull_up = row(
        "push-up",
        easier=REVISIONS["incline-push-up-60cm"], easier_below=5, harder=REVISIONS["pull-up"], harder_from=12,
    )  # fmt: skip
    written = weeks_of([pull_up], [pull_up])

    placed = put(written, around("box", "chair", "table"))

    now = placed.sessions[1].rows[0]
    assert (now.easier, now.easier_below) == (pull_up.easier, 5)
    assert (now.harder, now.harder_from) == (None, None)
    assert [(told.movement, told.became) for told in placed.told] == [("Pull-up", "")]
    assert "an option beside Push-up" in placed.told[0].why


def test_options_of_another_movement_are_dropped_and_told():
    written = row("pull-up", easier=REVISIONS["push-up"], easier_below=5)

    placed = put(weeks_of([written]), around("straps"))

    assert placed.sessions[0].rows[0].easier is None
    assert [told.movement for told in placed.told] == ["Pull-up", "Push-up"]


def test_pair_that_loses_one_is_a_single_and_rounds_keep_their_minutes():
    pair = [row("pull-up", joined=True), row("push-up")]
    rounds = [
        row("pull-up", joined=True, together=GroupKind.ROUNDS, minutes=10),
        row("push-up", joined=True),
        row("dead-bug"),
    ]

    placed = put(weeks_of(pair, rounds), around())

    kinds = [[(str(group.kind), len(group), group.minutes) for group in together(s.rows)] for s in placed.sessions]
    assert kinds == [[("single", 1, None)], [("rounds", 2, 10)]]


def test_circuit_of_three_that_loses_one_is_a_pair():
    three = [row("pull-up", joined=True), row("push-up", joined=True), row("dead-bug")]

    placed = put(weeks_of(three), around())

    assert [(str(group.kind), len(group)) for group in together(placed.sessions[0].rows)] == [("pair", 2)]


def test_parts_of_a_cluster_are_no_larger_than_its_smaller_set():
    cluster = row(
        "pull-up", kind=SetKind.CLUSTER, cluster_reps=6, rest_within_s=15, amount_low=12, amount_high=12
    )  # fmt: skip

    placed = put(weeks_of([cluster]), around("straps", days_since={}))

    now = placed.sessions[0].rows[0]
    assert now.cluster_reps is None or now.cluster_reps <= now.amount_low


# Whatever is written and whoever it is for


@st.composite
def prescriptions(draw):
    slug = draw(st.sampled_from(sorted(REVISIONS)))
    low = draw(st.integers(1, 15))
    kind = draw(st.sampled_from(SetKind.values))
    said = {"kind": kind, "sets": draw(st.integers(1, 6)), "amount_low": low, "amount_high": low + 4}
    if kind == SetKind.CLUSTER:
        said |= {"cluster_reps": draw(st.integers(1, 4)), "rest_within_s": 15}
    effort = draw(st.sampled_from(["rir", "rpe", "none"]))
    said |= {
        "target_rir": Decimal(draw(st.integers(0, 6))) if effort == "rir" else None,
        "target_rpe": Decimal(draw(st.integers(4, 10))) if effort == "rpe" else None,
    }
    if draw(st.booleans()):
        load = Decimal(draw(st.integers(1, 40)))
        said |= {"load_entered": load, "load_unit": "kg", "load_kg": load}
    for side, limit in [("easier", "easier_below"), ("harder", "harder_from")]:
        if draw(st.integers(0, 3)) == 0:
            said |= {side: REVISIONS[draw(st.sampled_from(sorted(REVISIONS)))], limit: 5}
    return row(slug, per_side=REVISIONS[slug].one_sided, **said)


@st.composite
def blocks(draw):
    """Weeks of the same prescriptions, with another effort in each, bracketed at random."""
    first = [
        replace(one, joined=draw(st.booleans())) for one in draw(st.lists(prescriptions(), min_size=1, max_size=5))
    ]
    weeks = [first]
    for _week in range(draw(st.integers(0, 3))):
        weeks.append(
            [
                replace(one, target_rir=Decimal(draw(st.integers(0, 5))), target_rpe=None, sets=draw(st.integers(1, 6)))
                for one in first
            ]
        )
    return weeks_of(*weeks)


@st.composite
def clients(draw):
    kinds = draw(st.sets(st.sampled_from(ItemKind.values)))
    areas = [area.value for area in Area]
    return around(
        *kinds,
        barred=frozenset(draw(st.sets(st.sampled_from(areas), max_size=2))),
        ceiling=draw(st.sampled_from([*Ceiling.values, "vigorous", "vigorous"])),
        no_start=draw(st.sampled_from(["", "", "", "Locked."])),
        days_since=draw(st.dictionaries(st.sampled_from(sorted(REVISIONS)), st.integers(0, 80), max_size=40)),
    )


def by_lineage(sessions):
    found = {}
    for session in sessions:
        for one in session.rows:
            found.setdefault(one.lineage, []).append(one)
    return found


own_amounts = st.dictionaries(
    st.sampled_from(sorted(REVISIONS)), st.builds(Own, st.none() | st.integers(1, 40).map(Decimal)), max_size=60
)


@settings(max_examples=150)
@given(blocks(), clients(), own_amounts)
def test_whatever_is_placed_is_possible_not_harder_and_complete(sessions, found, own):
    placed = put(sessions, found, own)

    day = day_of_placing(found.day)
    before, now = by_lineage(sessions), by_lineage(placed.sessions)
    told = {one.movement for one in placed.told}
    groups = [group for session in placed.sessions for group in together(session.rows)]
    rounds = {row.lineage for group in groups if group.kind in IN_ROUNDS for row in group}
    for lineage, rows in before.items():
        if lineage not in now:
            assert rows[0].movement.name in told
            continue
        assert len(now[lineage]) == len(rows)
        assert len({one.movement.pk for one in now[lineage]}) == 1
        for written, one in zip(rows, now[lineage], strict=True):
            check(written, one, found, day, told, own, is_in_rounds=lineage in rounds)
    for group in groups:
        assert len(group) >= (2 if group.kind in {GroupKind.PAIR, GroupKind.CIRCUIT} else 1)
        assert group.kind not in IN_ROUNDS or len({row.sets for row in group}) == 1


def check(written, now, found, day, told, own, *, is_in_rounds):
    dose = found.asked(now)
    assert refusal(dose, day) is None
    assert reference.can_do(dose.movement, dose, day)
    source = GRAPH.movements[SLUGS[written.movement.pk]]
    if now.movement.pk != written.movement.pk:
        assert reference.not_harder(dose.movement, source, STEPS)
        assert (now.load_kg, now.percent_of_max, now.easier, now.harder) == (None, None, None, None)
        assert written.movement.name in told
    elif refusal(found.asked(written), day) is None:
        sets = written.sets if is_in_rounds else now.sets
        less = small_beginning(written, found, day) if written.movement.name in told else {}
        less = less | ({"sets": written.sets} if is_in_rounds and less else {})
        as_written = free(written) | load_of(written, now, own, told) | {"sets": sets}
        assert replace(now, **as_written) in (written, replace(written, **less))
    else:
        assert written.movement.name in told
    assert now.sets <= written.sets
    assert reserve(now) >= reserve(written)
    for option in (now.easier, now.harder):
        assert option is None or refusal(replace(dose, movement=found.known(option)), day) is None


def load_of(written, now, own, told):
    """A load is never above the client's own last one; where it is not as written, that is told."""
    if written.load_kg is None or written.percent_of_max is not None:
        return {}
    known = own.get(SLUGS[written.movement.pk], Own()).load_kg
    assert now.load_kg is None if known is None else now.load_kg <= known
    assert now.load_kg == written.load_kg or written.movement.name in told
    return {name: getattr(written, name) for name in ("load_entered", "load_unit", "load_kg", "step_load")}


def small_beginning(written, found, day):
    """The dose of a first week after a break, or of the first time that something is lowered."""
    asked = found.asked(written)
    since = (day.days_since or {}).get(asked.movement.slug)
    assert since is None or since >= BREAK_DAYS or written.load_kg is not None
    less = lessened(asked, asked, day)
    return {name: getattr(less, name) for name in ("sets", "amount_low", "amount_high", "target_rir", "target_rpe")}


def free(written):
    """What may differ of a row that stays: its options, and its bracket where a neighbour is gone."""
    names = ("easier", "easier_below", "harder", "harder_from", "joined", "together", "minutes", "interval_s")
    return {name: getattr(written, name) for name in names}


def reserve(one):
    if one.target_rir is not None:
        return one.target_rir
    return 10 - one.target_rpe if one.target_rpe is not None else 0


@pytest.mark.parametrize("weeks", [1, 4])
def test_weeks_in_which_a_row_changes_its_movement_are_placed_each_on_their_own(weeks):
    lineage = uuid.uuid4()
    written = weeks_of(*[[row("push-up", lineage)]] * weeks, [row("pull-up", lineage)])

    placed = put(written, around("straps"))

    assert slugs(placed) == [["push-up"]] * weeks + [["ring-row-75deg"]]
