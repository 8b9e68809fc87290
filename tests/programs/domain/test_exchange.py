import csv
import io
import json
import re
import uuid
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from clients.choices import MassUnit
from methods.units import kg_from
from programs.choices import IN_ROUNDS, BlockState, Grip, GroupKind, RepScheme, SectionKind, SetKind
from programs.domain import building
from programs.domain.exchange.as_csv import COLUMNS, FORMULA, LATER_COLUMNS, safe, to_csv, unsafe
from programs.domain.exchange.as_json import to_json
from programs.domain.exchange.reading import MOST_BYTES, import_block
from programs.domain.exchange.schema import SCHEMA
from programs.domain.exchange.sessions import offered_movements, sessions_in
from programs.domain.exchange.writing import document_of
from programs.domain.rows import Row, rows_of, together, with_contents
from programs.errors import BlockFileRefused
from programs.models import Block, BlockSession, Group, Prescription
from tests import factories as f

pytestmark = pytest.mark.django_db

WRITERS = {"json": to_json, "csv": to_csv}
FORMATS = pytest.mark.parametrize("kind", WRITERS)
# Somebody else's reading of our schema.
PUBLISHED_SCHEMA = Draft202012Validator(SCHEMA)


def load(cast, data, kind="json", *, client=None):
    return import_block(
        client or cast.client, by=cast.coach, data=data, is_table=kind == "csv", starts_on=f.MONDAY.replace(year=2099)
    )


def faults(cast, data, kind="json"):
    """What is said about a file, after making sure that nothing of it was kept."""
    before = Block.objects.count(), BlockSession.objects.count(), Prescription.objects.count()
    with pytest.raises(BlockFileRefused) as refused:
        load(cast, data, kind)
    assert (Block.objects.count(), BlockSession.objects.count(), Prescription.objects.count()) == before
    return {fault.place: fault.reason for fault in refused.value.faults}


def document(**changes):
    """A small block by hand, invented. Keys of `changes` that are of the dose go there."""
    dose = {"movement": "push-up", "measure": "reps", "sets": 3, "amount_low": 8, "amount_high": 12}
    session = {"week": 1, "weekday": "tuesday", "name": "Push"}
    block = {"format": "purlin-block", "version": 1, "title": "Invented", "weeks": 2}
    for part in (block, session):
        part.update({name: changes.pop(name) for name in list(changes) if name in part})
    dose |= changes
    session["sections"] = [{"kind": "strength", "groups": [{"kind": "single", "prescriptions": [dose]}]}]
    return block | {"sessions": [session]}


DOSE = "/sessions/0/sections/0/groups/0/prescriptions/0"


def table(**cells):
    """The same block as a table with some cells changed, as rows of cells."""
    rows = list(csv.reader(io.StringIO(to_csv(document()).decode(), newline="")))
    for column, value in cells.items():
        rows[1][COLUMNS.index(column)] = value
    return rows


def written(rows):
    target = io.StringIO(newline="")
    csv.writer(target).writerows(rows)
    return target.getvalue().encode()


def without_ids(found):
    """Ids by the order in which they first stand there: which parts belong together, and no more."""
    known: dict[str, int] = {}

    def walk(part):
        if isinstance(part, list):
            return [walk(inner) for inner in part]
        if isinstance(part, dict):
            return {
                name: known.setdefault(value, len(known)) if name == "lineage" else walk(value)
                for name, value in part.items()
            }
        return part

    return walk(found)


@pytest.fixture
def push_up():
    return f.MovementFactory(slug="push-up").current


# The round trip

TEXT = st.text(st.characters(exclude_characters="\0", codec="utf-8"), min_size=1, max_size=40)
HOSTILE = st.sampled_from([*FORMULA, ";=", '; "=', ";'", "'", '"', ",", "\r\n", "''", "'=", " "]).flatmap(
    lambda s: TEXT.map(s.__add__)
)
WORDS = TEXT | HOSTILE
NAMES = WORDS.filter(lambda text: text.strip())


def numbers(most, decimals, least=0):
    return st.decimals(least, most, places=decimals, allow_nan=False)


@st.composite
def loads(draw):
    kind = draw(st.sampled_from(["none", "load", "percent", "help"]))
    if kind == "percent":
        return {"percent_of_max": draw(numbers(100, 1, least=1))}
    if kind == "help":
        return {"assistance_kg": draw(numbers(200, 3))}
    if kind == "none":
        return {}
    entered, unit = draw(numbers(1000, 2)), draw(st.sampled_from(MassUnit.values))
    return {"load_entered": entered, "load_unit": unit, "load_kg": kg_from(entered, unit)}


@st.composite
def rows(draw, movements):
    movement = draw(st.sampled_from(movements))
    low = draw(st.integers(1, 3600))
    effort = draw(st.sampled_from([None, "target_rir", "target_rpe"]))
    alike = [None, *(one for one in movements if one.measure == movement.measure)]
    high = draw(st.integers(low, 3600))
    kind = draw(st.sampled_from(SetKind.values)) if high > 1 else SetKind.WORK
    easier, harder = draw(st.sampled_from(alike)), draw(st.sampled_from(alike))
    load = draw(loads())
    return Row(
        movement=movement,
        section=draw(st.sampled_from(SectionKind.values)),
        joined=draw(st.booleans()),
        kind=kind,
        cluster_reps=draw(st.integers(1, high - 1)) if kind == SetKind.CLUSTER else None,
        rest_within_s=draw(st.integers(0, 120)) if kind == SetKind.CLUSTER else None,
        and_or=draw(st.just("") | WORDS),
        easier=easier,
        easier_below=easier and draw(st.integers(1, 3600)),
        harder=harder,
        harder_from=harder and draw(st.integers(1, 3600)),
        step_sets=draw(st.integers(-5, 5)),
        step_amount=draw(st.integers(-60, 60)),
        step_rir=draw(numbers(3, 1, least=-3)),
        step_load=Decimal(0) if load.keys() <= {"assistance_kg"} else draw(numbers(50, 2, least=-50)),
        **draw(brackets()),
        sets=draw(st.integers(1, 20)),
        amount_low=low,
        amount_high=high,
        scheme=draw(st.sampled_from(RepScheme.values)),
        per_side=movement.one_sided or draw(st.booleans()),
        rest_s=draw(st.integers(0, 1200)),
        tempo=draw(st.sampled_from(["", "3-1-X-0", "2-0-2-0"])),
        grip=",".join(draw(st.lists(st.sampled_from([g for g in Grip.values if g]), max_size=5))),
        cue=draw(st.just("") | WORDS),
        **({effort: draw(numbers(10, 1, least=int(effort == "target_rpe")))} if effort else {}),
        **load,
    )


@st.composite
def brackets(draw):
    """How the rows that begin here are done together, whatever their number."""
    kind = draw(st.sampled_from(["", "rounds", "every"]))
    times = {"rounds": {"minutes": draw(st.integers(1, 120))}, "every": {"interval_s": draw(st.integers(10, 1200))}}
    return {"together": kind} | times.get(kind, {})


def even(rows):
    """Where a set is a round, every movement has as many, in each week."""
    for bracket in together(rows):
        first = bracket.doses[0]
        alike = {"sets": first.sets, "step_sets": first.step_sets} if bracket.kind in IN_ROUNDS else {}
        yield from (replace(row, **alike) for row in bracket)


@st.composite
def blocks(draw, movements):
    """Title, weeks, and sessions, of which some stand in several weeks with the lineages that this gives."""
    weeks = draw(st.integers(1, 4))
    sessions = []
    for _number in range(draw(st.integers(0, 3))):
        drawn = draw(st.lists(rows(movements), max_size=4))
        held = [(row, uuid.uuid4()) for row in even(circuits(drawn, draw(st.booleans())))]
        name, lineage, weekday = draw(NAMES), uuid.uuid4(), draw(st.integers(0, 6))
        sessions += [
            (week, weekday, name, lineage, held)
            for week in draw(st.sets(st.integers(1, weeks), min_size=1, max_size=2))
        ]
    return draw(NAMES), weeks, draw(st.none() | st.integers(1, weeks)), sessions


def circuits(drawn, is_circuit):
    """With the pairs called circuits of two, where so drawn: their number alone does not say it."""
    if not is_circuit:
        return drawn
    pairs = {id(group.doses[0]) for group in together(drawn) if group.kind == GroupKind.PAIR}
    return [replace(row, together="circuit") if id(row) in pairs else row for row in drawn]


def make(client, coach, told):
    title, weeks, deload_week, sessions = told
    block = building.create_block(
        client, by=coach, title=title, starts_on=f.MONDAY, weeks=weeks, deload_week=deload_week
    )
    for position, (week, weekday, name, lineage, held) in enumerate(sessions):
        named = [replace(row, lineage=own) for row, own in held]
        building.add_filled_session(
            block, named, lineage=lineage, week=week, weekday=weekday, position=position, name=name
        )
    return block


def without_lineages(found):
    return [replace(row, lineage=None) for row in found]


def rows_in_store(document, practice):
    """What a JSON column gives back, read into rows. None of these movements is missed."""
    sessions = sessions_in(json.loads(json.dumps(document)), offered_movements(practice))
    assert not any(session.misses for session in sessions)
    return [without_lineages(session.rows) for session in sessions]


def check_round_trips(cast, examples):
    movements = [
        f.MovementFactory(slug="push-up").current,
        f.MovementFactory(slug="hold", revision__measure="seconds", revision__name="=Hold").current,
        f.MovementFactory(slug="carry-1", revision__measure="metres", revision__one_sided=True).current,
        f.MovementFactory(slug="ours", practice=cast.client.practice, revision__name="Ours, 'new'").current,
    ]

    @settings(max_examples=examples, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
    @given(told=blocks(movements))
    def check(told):
        block = make(cast.client, cast.coach, told)
        before = document_of(block)
        assert not list(PUBLISHED_SCHEMA.iter_errors(json.loads(to_json(before))))
        held = [without_lineages(rows_of(session)) for session in with_contents(block.sessions.all())]
        assert rows_in_store(before, cast.client.practice) == held
        for kind, write in WRITERS.items():
            read = load(cast, write(before), kind)
            after = document_of(read)
            assert without_ids(after) == without_ids(before)
            assert write(without_ids(after)) == write(without_ids(before))
            assert read.lineage != uuid.UUID(before["lineage"])

    check()


def test_blocks_come_back_as_they_went(cast):
    check_round_trips(cast, 50)


@pytest.mark.slow
def test_thousand_blocks_come_back_as_they_went(cast):
    check_round_trips(cast, 1000)


@given(cell=WORDS)
def test_cells_are_safe_and_come_back(cell):
    # As a spreadsheet parts it where decimals have a comma.
    assert not [part for part in safe(cell).split(";") if part.lstrip(' "').startswith(FORMULA)]
    assert unsafe(safe(cell)) == cell


def test_apostrophe_of_a_word_stays(cast, push_up):
    block = load(cast, written(table(cue="'tis easy")), "csv")

    assert Prescription.objects.get(group__section__session__block=block).cue == "'tis easy"


def test_no_cell_of_an_export_begins_a_formula(cast, push_up):
    data = to_csv(document(title="=1+1", name="@home", cue="-2 each side"))

    assert data.endswith(b"\r\n")
    assert data.count(b"\r\n") == data.count(b"\n") == 2
    [_header, row] = csv.reader(io.StringIO(data.decode(), newline=""))
    assert not [cell for cell in row if cell.startswith(FORMULA)]


# What is made of a file


@FORMATS
def test_file_becomes_a_draft_of_this_client_with_lineages_of_its_own(cast, push_up, kind):
    source = document()
    mine = f.PrescriptionFactory(movement=push_up)
    source["sessions"][0]["lineage"] = str(mine.group.section.session.lineage)
    source["lineage"] = str(mine.group.section.session.block.lineage)
    source["sessions"][0]["sections"][0]["groups"][0]["prescriptions"][0]["lineage"] = str(mine.lineage)

    block = load(cast, WRITERS[kind](source), kind)

    assert (block.client, block.state, block.written_by) == (cast.client, BlockState.DRAFT, cast.coach)
    assert (block.starts_on.weekday(), block.revision, block.previous) == (0, 1, None)
    assert Block.objects.filter(lineage=source["lineage"]).count() == 1
    assert Prescription.objects.filter(lineage=mine.lineage).count() == 1
    assert BlockSession.objects.filter(lineage=source["sessions"][0]["lineage"]).count() == 1


def test_export_says_nothing_of_the_client(cast, push_up):
    block = load(cast, to_json(document()))
    secret = "kestrel"
    type(cast.client).objects.filter(pk=cast.client.pk).update(name=secret)
    Block.objects.filter(pk=block.pk).update(message=secret, protected_because=secret)
    Prescription.objects.update(change_reason=secret)
    block.refresh_from_db()

    for write in WRITERS.values():
        assert secret.encode() not in write(document_of(block))
    assert str(cast.client.uuid) not in json.dumps(document_of(block))


def test_load_worked_out_from_a_reference_max_stays_here(cast, push_up):
    block = load(cast, to_json(document(percent_of_max=80)))
    Prescription.objects.update(load_entered=Decimal(61), load_unit="kg", load_kg=Decimal(61))

    [dose] = document_of(block)["sessions"][0]["sections"][0]["groups"][0]["prescriptions"]
    assert dose["percent_of_max"] == 80
    assert not {"load_entered", "load_unit", "load_kg"} & set(dose)


@pytest.mark.parametrize(("entered", "unit", "kg"), [("44.09", "lb", "20"), ("20.41", "kg", "20.412")])
def test_load_that_was_rounded_for_reading_keeps_its_kg(cast, push_up, entered, unit, kg):
    given_load = {"load_entered": float(entered), "load_unit": unit, "load_kg": float(kg)}
    block = load(cast, to_json(document(**given_load)))

    assert Prescription.objects.get(group__section__session__block=block).load_kg == Decimal(kg)


def test_movement_of_the_practice_wins_over_the_shared_one(cast, push_up):
    own = f.MovementFactory(slug="push-up", practice=cast.client.practice)

    block = load(cast, to_json(document()))

    assert Prescription.objects.get(group__section__session__block=block).movement == own.current


def test_one_sided_movement_is_prescribed_for_each_side(cast):
    f.MovementFactory(slug="push-up", revision__one_sided=True)

    block = load(cast, to_json(document(per_side=False)))

    assert Prescription.objects.get(group__section__session__block=block).per_side


@FORMATS
def test_mark_that_spreadsheets_put_first_is_no_fault(cast, push_up, kind):
    assert load(cast, b"\xef\xbb\xbf" + WRITERS[kind](document()), kind).title == "Invented"


def test_columns_may_stand_in_another_order(cast, push_up):
    assert load(cast, written([row[::-1] for row in table()]), "csv").title == "Invented"


def test_example_of_the_documentation_is_a_block(cast, push_up):
    text = (Path(__file__).parents[3] / "docs" / "block-files.md").read_text()
    [example] = re.findall(r"```json\n(.*?)```", text, re.DOTALL)

    assert load(cast, example.encode()).title == "Invented example"


# What is refused

WRONG_DOSES = [
    ({"sets": 0}, "sets"),
    ({"sets": 21}, "sets"),
    ({"sets": 2.5}, "sets"),
    ({"sets": True}, "sets"),
    ({"sets": "3"}, "sets"),
    ({"sets": None}, "sets"),
    ({"amount_low": 13}, "amount_low"),
    ({"amount_high": 3601}, "amount_high"),
    ({"rest_s": -1}, "rest_s"),
    ({"rest_s": 1201}, "rest_s"),
    ({"target_rir": 10.5}, "target_rir"),
    ({"target_rir": 1.25}, "target_rir"),
    ({"target_rir": 2, "target_rpe": 8}, "target_rpe"),
    ({"percent_of_max": 0}, "percent_of_max"),
    ({"percent_of_max": 101}, "percent_of_max"),
    ({"load_entered": 20, "load_unit": "kg", "load_kg": 21}, "load_kg"),
    ({"load_entered": 1001, "load_unit": "kg", "load_kg": 1000}, "load_entered"),
    ({"load_entered": 20, "load_unit": "stone", "load_kg": 20}, "load_unit"),
    ({"tempo": "slow"}, "tempo"),
    ({"grip": "hook"}, "grip"),
    ({"kind": "joy"}, "kind"),
    ({"cue": "x" * 301}, "cue"),
    ({"cue": "a\0b"}, "cue"),
    ({"movement": "no-such"}, "movement"),
    ({"movement": "no such"}, "movement"),
    ({"measure": "seconds"}, "measure"),
    ({"lineage": "1"}, "lineage"),
    ({"grip": "pronated,hook"}, "grip"),
    ({"grip": ",".join(["neutral"] * 6)}, "grip"),
    ({"grip": "pronated, neutral"}, "grip"),
    ({"grip": "pronated,"}, "grip"),
    ({"grip": "pronated\nneutral"}, "grip"),
    ({"kind": "cluster", "cluster_reps": 0, "rest_within_s": 15}, "cluster_reps"),
    ({"kind": "cluster", "cluster_reps": 12, "rest_within_s": 15}, "cluster_reps"),
    ({"kind": "cluster", "cluster_reps": 2, "rest_within_s": 121}, "rest_within_s"),
    ({"kind": "cluster", "cluster_reps": 2.5, "rest_within_s": 15}, "cluster_reps"),
    ({"kind": "cluster", "cluster_reps": 2, "rest_within_s": -1}, "rest_within_s"),
    ({"and_or": "x" * 201}, "and_or"),
    ({"and_or": ""}, "and_or"),
    ({"and_or": "a\0b"}, "and_or"),
    ({"and_or": ["or"]}, "and_or"),
    ({"easier": "no such", "easier_below": 5}, "easier"),
    ({"easier": "push-up", "easier_below": 0}, "easier_below"),
    ({"easier": "push-up", "easier_below": 3601}, "easier_below"),
    ({"harder": "timed", "harder_from": 12}, "harder"),
    ({"harder": "push-up", "harder_from": 3601}, "harder_from"),
    ({"harder": "push-up", "harder_from": "12"}, "harder_from"),
    ({"easier": "no-such", "easier_below": 5}, "easier"),
    ({"easier": "timed", "easier_below": 5}, "easier"),
    ({"harder": "no-such", "harder_from": 12}, "harder"),
    ({"harder": "push-up", "harder_from": 0}, "harder_from"),
    ({"step_sets": 6}, "step_sets"),
    ({"step_sets": -6}, "step_sets"),
    ({"step_sets": 0.5}, "step_sets"),
    ({"step_amount": 61}, "step_amount"),
    ({"step_amount": -61}, "step_amount"),
    ({"step_amount": "+1"}, "step_amount"),
    ({"step_rir": 3.1}, "step_rir"),
    ({"step_rir": -3.1}, "step_rir"),
    ({"step_rir": 0.25}, "step_rir"),
    ({"step_load": 2.5}, "step_load"),
    ({"step_load": 2.5, "assistance_kg": 20}, "step_load"),
    ({"step_load": 50.5, "percent_of_max": 50}, "step_load"),
    ({"step_load": -50.5, "percent_of_max": 50}, "step_load"),
    ({"step_load": 0.125, "percent_of_max": 50}, "step_load"),
]


@pytest.mark.parametrize(("changes", "name"), WRONG_DOSES)
def test_wrong_dose_is_named_with_its_pointer(cast, push_up, changes, name):
    f.MovementFactory(slug="timed", revision__measure="seconds")

    assert set(faults(cast, to_json(document(**changes)))) == {f"{DOSE}/{name}"}


WRONG_CELLS = [
    ("sets", "21"),
    ("sets", "three"),
    ("sets", "2.5"),
    ("per_side", "maybe"),
    ("target_rir", "2,5"),
    ("target_rir", "1e1"),
    ("target_rir", "NaN"),
    ("target_rir", "-1"),
    ("amount_low", "13"),
    ("section", "legs"),
    ("week", "3"),
    ("week", "17"),
    ("weekday", "Mon"),
    ("session_name", " "),
    ("title", "x" * 121),
    ("format", "other"),
    ("version", "2"),
    ("movement", "no-such"),
    ("session", ""),
    ("group", ""),
    ("deload_week", "3"),
    ("deload_week", "0"),
    ("group_kind", "giant"),
    ("group_kind", "pair"),
    ("group_minutes", "5"),
    ("group_minutes", "121"),
    ("group_interval_s", "60"),
    ("group_interval_s", "9"),
    ("grip", "hook"),
    ("step_sets", "-6"),
    ("step_amount", "1.5"),
    ("step_rir", "-0.25"),
    ("step_load", "2.5"),
    ("and_or", "x" * 201),
]
PLACES_OF_CELLS = {("group_minutes", "5"): "group_kind", ("group_interval_s", "60"): "group_kind"}


@pytest.mark.parametrize(("column", "value"), WRONG_CELLS)
def test_wrong_cell_is_named_with_line_and_column(cast, push_up, column, value):
    place = PLACES_OF_CELLS.get((column, value), column)

    assert set(faults(cast, written(table(**{column: value})), "csv")) == {f"line 2, column “{place}”"}


@pytest.mark.parametrize(
    "changes",
    [
        {"load_entered": 20},
        {"load_entered": 20, "load_unit": "kg"},
        {"load_kg": 20},
        {"percent_of_max": 80, "assistance_kg": 5},
        {"kind": "cluster"},
        {"cluster_reps": 2, "rest_within_s": 15},
        {"kind": "cluster", "cluster_reps": 2},
        {"easier": "push-up"},
        {"harder_from": 12},
    ],
)
def test_half_a_load_or_two_of_them_are_refused(cast, push_up, changes):
    assert set(faults(cast, to_json(document(**changes)))) == {DOSE}


@pytest.mark.parametrize(
    "changes",
    [
        {"kind": "pair"},
        {"kind": "circuit"},
        {"kind": "rounds"},
        {"kind": "single", "minutes": 5},
        {"kind": "single", "interval_s": 60},
    ],
)
def test_group_that_is_not_what_it_is_called_is_refused(cast, push_up, changes):
    wrong = document()
    wrong["sessions"][0]["sections"][0]["groups"][0].update(changes)

    assert set(faults(cast, to_json(wrong))) == {"/sessions/0/sections/0/groups/0/kind"}


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({"kind": "rounds", "minutes": 0}, "minutes"),
        ({"kind": "rounds", "minutes": 121}, "minutes"),
        ({"kind": "every", "interval_s": 9}, "interval_s"),
        ({"kind": "every", "interval_s": 1201}, "interval_s"),
        ({"kind": "giant"}, "kind"),
    ],
)
def test_times_of_a_group_out_of_range_are_refused(cast, push_up, changes, name):
    wrong = document()
    wrong["sessions"][0]["sections"][0]["groups"][0].update(changes)

    assert set(faults(cast, to_json(wrong))) == {f"/sessions/0/sections/0/groups/0/{name}"}


@pytest.mark.parametrize("week", [0, 3, 17, -1, 1.5, "1", None, True])
def test_deload_week_outside_the_block_is_refused(cast, push_up, week):
    assert set(faults(cast, to_json(document() | {"deload_week": week}))) == {"/deload_week"}


def test_table_of_before_the_later_columns_is_read(cast, push_up):
    kept = [n for n, column in enumerate(COLUMNS) if column not in LATER_COLUMNS]

    block = load(cast, written([[row[n] for n in kept] for row in table()]), "csv")

    assert Prescription.objects.get(group__section__session__block=block).movement == push_up


def grouped(*cells):
    """A table of one session, each row with these cells of its own."""
    header, row = table(group_kind="")
    return [header, *([one.get(column, cell) for column, cell in zip(header, row, strict=True)] for one in cells)]


@pytest.mark.parametrize(("members", "kind"), [(1, "single"), (2, "pair"), (3, "circuit"), (4, "circuit")])
def test_number_of_rows_says_the_kind_of_a_group_where_no_cell_does(cast, push_up, members, kind):
    block = load(cast, written(grouped(*[{}] * members)), "csv")

    [group] = Group.objects.filter(section__session__block=block)
    assert (group.kind, group.prescriptions.count()) == (kind, members)


@pytest.mark.parametrize("members", [2, 3])
def test_old_table_says_pairs_and_circuits_by_their_number(cast, push_up, members):
    kept = [n for n, column in enumerate(COLUMNS) if column not in LATER_COLUMNS]
    rows = [[row[n] for n in kept] for row in grouped(*[{}] * members)]

    block = load(cast, written(rows), "csv")

    assert Group.objects.get(section__session__block=block).kind == ("pair" if members == 2 else "circuit")


@pytest.mark.parametrize("name", [column for column in COLUMNS if column not in LATER_COLUMNS])
def test_column_of_the_first_files_is_still_required(cast, push_up, name):
    gone = COLUMNS.index(name)

    assert name in refused_table(cast, [[*row[:gone], *row[gone + 1 :]] for row in table()])["line 1"]


@pytest.mark.parametrize("column", ["group_kind", "group_minutes", "group_interval_s"])
def test_rows_of_a_group_that_differ_in_how_it_is_done_are_told(cast, push_up, column):
    about = {"group_kind": "rounds", "group_minutes": "5", "group_interval_s": ""}
    other = about | {column: {"group_kind": "circuit", "group_minutes": "6", "group_interval_s": "60"}[column]}

    assert f"line 3, column “{column}”" in refused_table(cast, grouped(about, other))


def test_deload_week_is_the_same_in_all_rows(cast, push_up):
    rows = grouped({"deload_week": "2"}, {"deload_week": "1"})

    assert set(refused_table(cast, rows)) == {"line 3, column “deload_week”"}


def test_group_by_the_clock_is_read_from_a_table(cast, push_up):
    about = {"group_kind": "every", "group_interval_s": "90"}

    block = load(cast, written(grouped(about, about)), "csv")

    group = Group.objects.get(section__session__block=block)
    assert (group.kind, group.minutes, group.interval_s) == ("every", None, 90)


def test_everything_that_is_empty_is_left_out(cast, push_up):
    block = load(cast, to_json(document(step_sets=0, step_load=0)))

    found = document_of(block)
    [group] = found["sessions"][0]["sections"][0]["groups"]
    assert "deload_week" not in found
    assert set(group) == {"kind", "prescriptions"}
    told = {*("lineage", "movement", "movement_name", "own_movement", "measure"), *("kind", "sets", "rest_s")}
    assert set(group["prescriptions"][0]) == {*told, "amount_low", "amount_high", "scheme", "per_side"}


def test_step_of_a_load_that_went_is_left_out(cast, push_up):
    load_of_20 = {"load_entered": 20, "load_unit": "kg", "load_kg": 20}
    block = load(cast, to_json(document(step_load=2.5, step_sets=1, **load_of_20)))
    Prescription.objects.update(load_entered=None, load_unit="", load_kg=None)

    [dose] = document_of(block)["sessions"][0]["sections"][0]["groups"][0]["prescriptions"]
    assert (dose["step_sets"], "step_load" in dose) == (1, False)


def test_option_that_the_practice_hid_is_unknown(cast, push_up):
    f.HiddenMovementFactory(practice=cast.client.practice, movement=f.MovementFactory(slug="dip"), by=cast.coach)

    told = faults(cast, to_json(document(easier="dip", easier_below=5)))

    assert set(told) == {f"{DOSE}/easier"}
    assert "dip" in told[f"{DOSE}/easier"]


def test_every_fault_is_told_at_once(cast, push_up):
    wrong = document(sets=0, movement="no-such") | {"client": "Somebody"}
    wrong["sessions"].append(document(week=9, amount_low=99)["sessions"][0])
    wrong["sessions"].append({"week": 1})

    told = faults(cast, to_json(wrong))

    other = DOSE.replace("sessions/0", "sessions/1")
    assert set(told) == {
        *("/client", f"{DOSE}/sets", f"{DOSE}/movement"),
        *("/sessions/1/week", f"{other}/amount_low", "/sessions/2"),
    }
    assert "no-such" in told[f"{DOSE}/movement"]


def test_fifty_faults_are_told_and_that_there_are_more(cast, push_up):
    many = document()
    many["sessions"] = [document(week=9, name="A")["sessions"][0] for _n in range(60)]

    with pytest.raises(BlockFileRefused) as refused:
        load(cast, to_json(many))

    assert (len(refused.value.faults), refused.value.has_more) == (50, True)


def test_hidden_and_foreign_movements_are_unknown(cast):
    f.HiddenMovementFactory(practice=cast.client.practice, movement=f.MovementFactory(slug="push-up"), by=cast.coach)
    assert set(faults(cast, to_json(document()))) == {f"{DOSE}/movement"}

    f.MovementFactory(slug="theirs", practice=f.PracticeFactory())
    assert set(faults(cast, to_json(document(movement="theirs")))) == {f"{DOSE}/movement"}


def test_same_lineage_twice_in_a_week_is_refused(cast, push_up):
    twice = document()
    twice["sessions"][0]["lineage"] = str(uuid.uuid4())
    twice["sessions"].append(twice["sessions"][0])

    assert set(faults(cast, to_json(twice))) == {"/sessions/1/lineage"}


def test_session_has_as_many_movements_as_the_editor_takes(cast, push_up):
    long = document()
    long["sessions"][0]["sections"] *= 41

    assert set(faults(cast, to_json(long))) == {"/sessions/0/sections"}
    long["sessions"][0]["sections"] = [{**document()["sessions"][0]["sections"][0]}] * 2
    long["sessions"][0]["sections"] = [
        {"kind": "core", "groups": section["groups"] * 21} for section in long["sessions"][0]["sections"]
    ]
    assert set(faults(cast, to_json(long))) == {"/sessions/0"}


def test_pair_is_two(cast, push_up):
    alone = document()
    alone["sessions"][0]["sections"][0]["groups"][0]["kind"] = "pair"

    assert set(faults(cast, to_json(alone))) == {DOSE.replace("/prescriptions/0", "/kind")}


BROKEN_JSON = {
    b"": "line 1",
    b"\n\n{": "line 3",
    b"[" * 200_000: "the file",
    b'{"a":' * 100_000: "the file",
    b"[]": "the whole file",
    b"NaN": "the whole file",
    b"x" * (MOST_BYTES + 1): "the file",
    '{\n"title": "Übung"}'.encode("latin-1"): "line 2",
    '{"title": 1}'.encode("utf-16"): "line 1",
}


@pytest.mark.parametrize("data", BROKEN_JSON, ids=lambda data: repr(data[:12]))
def test_what_is_no_json_is_refused_with_its_place(cast, data):
    [place] = faults(cast, data)
    assert place.startswith(BROKEN_JSON[data])


@pytest.mark.parametrize(
    "number", ["NaN", "Infinity", "-Infinity", "1e400", "-1e400", "1e99999999999999999999", "9" * 5000]
)
@pytest.mark.parametrize("name", ["sets", "rest_s", "target_rir"])
def test_numbers_out_of_all_bounds_are_refused(cast, push_up, number, name):
    data = to_json(document(**{name: "HERE"})).replace(b'"HERE"', number.encode())

    assert set(faults(cast, data)) == {f"{DOSE}/{name}"}


@pytest.mark.parametrize(
    "number", ["0.00000000000000000000000000000000000000000001", "1e-400", "2.0000000000000000000000000000000001"]
)
def test_more_decimals_than_are_kept_are_refused(cast, push_up, number):
    data = to_json(document(target_rir="HERE")).replace(b'"HERE"', number.encode())

    assert set(faults(cast, data)) == {f"{DOSE}/target_rir"}


def test_name_twice_is_refused(cast, push_up):
    data = to_json(document()).replace(b'"weeks": 2', b'"weeks": 2, "weeks": 3')

    assert set(faults(cast, data)) == {"/weeks"}


def test_names_nobody_knows_are_refused_with_an_escaped_pointer(cast, push_up):
    assert set(faults(cast, to_json(document() | {"client/~x": "Somebody"}))) == {"/client~1~0x"}


def test_half_a_surrogate_pair_is_refused_and_can_be_shown(cast, push_up):
    told = faults(cast, rb'{"\ud800": 1, "title": "\ud800"}')

    assert r"/\ud800" in told
    assert "/title" in told
    "".join([*told, *told.values()]).encode()


def refused_table(cast, rows):
    return faults(cast, written(rows), "csv")


def test_missing_extra_and_repeated_columns_are_named(cast, push_up):
    cue = COLUMNS.index("cue")
    rows = [[*row[:cue], *row[cue + 1 :], row[0], "x"] for row in table()]
    told = refused_table(cast, rows)

    assert "cue" in told["line 1"]
    assert set(told) == {"line 1", "line 1, column “x”", "line 1, column “format”"}


def test_semicolons_are_told_as_missing_columns(cast, push_up):
    data = written(table()).replace(b",", b";")

    assert "commas" in faults(cast, data, "csv")["line 1"]


def test_row_of_another_length_is_named_by_its_line(cast, push_up):
    rows = table(cue="two\nlines")

    assert set(refused_table(cast, [*rows, rows[1][:-1]])) == {"line 4"}


def test_broken_quotes_are_named_by_their_line(cast, push_up):
    assert set(faults(cast, written(table()) + b'"a"b,', "csv")) == {"line 3"}


@pytest.mark.parametrize("data", [b"", written([COLUMNS]), written([["x" * 200_000]])], ids=["empty", "header", "long"])
def test_table_without_rows_is_refused(cast, data):
    assert all(place.startswith("line 1") for place in faults(cast, data, "csv"))


def test_rows_of_one_session_agree_and_stand_together(cast, push_up):
    first, other = table()[1], table(session="2", session_name="Other")[1]
    header = list(COLUMNS)

    assert set(refused_table(cast, [header, first, other, first])) == {"line 4, column “session”"}
    differing = table(session_name="Another")[1]
    assert set(refused_table(cast, [header, first, differing])) == {"line 3, column “session_name”"}
    titled = table(title="Another")[1]
    assert set(refused_table(cast, [header, first, titled])) == {"line 3, column “title”"}


def test_three_rows_that_call_themselves_a_pair_are_refused(cast, push_up):
    pair = {"group_kind": "pair"}

    assert set(refused_table(cast, grouped(pair, pair, pair))) == {"line 2, column “group_kind”"}


def everything():
    """A block with a value of every kind that a file can say, but for the loads that leave no room for each other."""
    options = {"easier": "push-up", "easier_below": 5, "harder": "push-up", "harder_from": 14}
    steps = {"step_sets": 1, "step_amount": -2, "step_rir": -0.5, "step_load": 2.5}
    words = {"cue": "Long arms", "and_or": "or against a wall", "tempo": "3-1-X-0", "grip": "pronated,neutral"}
    load = {"load_entered": 20, "load_unit": "kg", "load_kg": 20}
    whole = document(
        **{"kind": "cluster", "cluster_reps": 2, "rest_within_s": 15, "rest_s": 90, "lineage": str(uuid.uuid4())},
        **(options | steps | words | load),
    )
    whole["sessions"][0]["sections"][0]["groups"][0] |= {"kind": "rounds", "minutes": 8}
    return whole | {"deload_week": 2}


def test_block_with_everything_is_read(cast, push_up):
    block = load(cast, to_json(everything()))

    found = Prescription.objects.get(group__section__session__block=block)
    assert (found.cluster_reps, found.easier, found.step_rir, block.deload_week) == (2, push_up, Decimal("-0.5"), 2)


JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | TEXT,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3),
    max_leaves=5,
)


def places_in(part, path=()):
    for name, inner in part.items() if isinstance(part, dict) else enumerate(part):
        yield (*path, name)
        if isinstance(inner, (dict, list)):
            yield from places_in(inner, (*path, name))


@pytest.mark.parametrize("kind", ["circuit", "rounds", "every"])
def test_uneven_rounds_are_refused_with_what_to_do(cast, push_up, kind):
    document = everything()
    dose = document["sessions"][0]["sections"][0]["groups"][0]["prescriptions"][0]
    times = {"rounds": {"minutes": 8}, "every": {"interval_s": 60}}.get(kind, {})
    uneven = {"kind": kind, "prescriptions": [dose | {"sets": 3}, {**dose, "sets": 5}], **times}
    for one in uneven["prescriptions"]:
        one.pop("lineage", None)
    document["sessions"][0]["sections"][0]["groups"] = [uneven]

    with pytest.raises(BlockFileRefused) as refused:
        load(cast, json.dumps(document).encode())

    assert "Here a set is a round" in " ".join(fault.reason for fault in refused.value.faults)


def test_anything_anywhere_is_a_block_or_is_refused(cast, push_up):
    whole = everything()

    @settings(max_examples=100)
    @given(places=st.lists(st.sampled_from(list(places_in(whole))), min_size=1, max_size=3), value=JSON_VALUES)
    def check(places, value):
        changed = json.loads(json.dumps(whole))
        for *path, last in sorted(places, key=len, reverse=True):
            part = changed
            for name in path:
                part = part[name]
            part[last] = value
        before = Block.objects.count()
        is_kept = True
        try:
            load(cast, json.dumps(changed).encode())
        except BlockFileRefused:
            is_kept = False
        assert Block.objects.count() == before + is_kept

    check()
