"""Reading a block file: all of it is checked first, then it becomes one draft, or nothing does."""

import datetime
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from itertools import islice
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from clients.models import Client, User
from methods.units import kg_from
from methods.volume import parse_tempo
from programs.choices import IN_ROUNDS, GroupKind, SetKind
from programs.domain.building import add_filled_session, create_block
from programs.domain.exchange.as_json import from_json
from programs.domain.exchange.from_csv import line_and_column, read_table
from programs.domain.exchange.schema import MOST_IN_A_SESSION, SCHEMA
from programs.domain.exchange.sessions import OPTIONS, Movements, offered_movements, sessions_in
from programs.domain.exchange.validating import faults_of, pointer, shown
from programs.errors import BlockFileRefused, Fault
from programs.models import Block

MOST_BYTES = 1024 * 1024
# One more than is told, so that it is told that there are more.
MOST_FAULTS = BlockFileRefused.most + 1
# What is entered has two decimals of its unit, and kg have three: half a step of 0.01 kg, and a gram.
KG_TOLERANCE = Decimal("0.006")
# How many movements are done together; any number where none is named.
_MEMBERS = {GroupKind.SINGLE: (1, 1), GroupKind.PAIR: (2, 2), GroupKind.CIRCUIT: (2, MOST_IN_A_SESSION)}

_SESSION = re.compile(r"/sessions/\d+(?=/|\Z)")
_DOSE = re.compile(_SESSION.pattern + r"/sections/\d+/groups/\d+/prescriptions/\d+(?=/|\Z)")

# Sessions and prescriptions by week and lineage: each once.
InWeek = set[tuple[str, int, str]]


@dataclass(frozen=True)
class _Found:
    """A prescription of a document and where it stands."""

    at: str
    told: dict[str, Any]


def import_block(client: Client, *, by: User, data: bytes, is_table: bool, starts_on: datetime.date) -> Block:
    """Make a draft for this client of a file (JSON, or a table). Nothing is published, and no other block is touched.

    Every lineage is new: ids in a file only join what belongs together inside it. Raises BlockFileRefused with all that
    is wrong; then nothing was written.
    """
    document, place = _document(_text(data), is_table=is_table)
    movements = offered_movements(client.practice)
    _refuse_if_any(_faults(document, movements), place)
    return _write(document, movements, client=client, by=by, starts_on=starts_on)


def _text(data: bytes) -> str:
    """UTF-8, with or without the mark that spreadsheets put before it."""
    if len(data) > MOST_BYTES:
        raise BlockFileRefused([Fault(_("the file"), _("The file is larger than 1 MB. A block is far smaller."))])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as broken:
        line = data[: broken.start].count(b"\n") + 1
        reason = _("This is not written in UTF-8. Save the file once more, and choose UTF-8.")
        raise BlockFileRefused([Fault(line_and_column(line), reason)]) from None


def _document(text: str, *, is_table: bool) -> tuple[Any, Callable[[str], str]]:
    if not is_table:
        return from_json(text), lambda at: at or _("the whole file")
    table = read_table(text)
    if table.faults:
        raise BlockFileRefused(table.faults)
    return table.document, table.place


def _refuse_if_any(faults: Iterator[Fault], place: Callable[[str], str]) -> None:
    if found := list(islice(faults, MOST_FAULTS)):
        raise BlockFileRefused([Fault(place(fault.place), fault.reason) for fault in found])


def _faults(document: Any, movements: Movements) -> Iterator[Fault]:
    """What the schema forbids, and what no schema can know of the parts that keep to it."""
    broken = list(islice(faults_of(document, SCHEMA), MOST_FAULTS))
    yield from broken
    places = {fault.place for fault in broken}
    in_doses = {match[0] for place in places if (match := _DOSE.match(place))}
    elsewhere = {match[0] for place in places if (match := _SESSION.match(place)) and not _DOSE.match(place)}
    if len(broken) == MOST_FAULTS or not _has_sessions(document, places):
        return
    if not {"", "/weeks", "/deload_week"} & places and document.get("deload_week", 1) > document["weeks"]:
        yield Fault(pointer("deload_week"), _("The block has fewer weeks."))
    in_week: InWeek = set()
    for number, session in enumerate(document["sessions"]):
        at = pointer("sessions", number)
        if at in elsewhere:
            continue
        if not {"", "/weeks"} & places:
            yield from _week_faults(session, at, document["weeks"])
        yield from _session_faults(session, at, in_week)
        for found in _prescriptions(session, at):
            if found.at not in in_doses:
                yield from _dose_faults(found)
                yield from _repeated("dose", found.told, found.at, session["week"], in_week)
            if isinstance(found.told, dict) and not {found.at, found.at + "/movement", found.at + "/measure"} & places:
                yield from _movement_faults(found, movements, places)


def _has_sessions(document: Any, places: set[str]) -> bool:
    return isinstance(document, dict) and "sessions" in document and "/sessions" not in places


def _week_faults(session: dict[str, Any], at: str, weeks: int) -> Iterator[Fault]:
    if session["week"] > weeks:
        reason = _("The block has %(weeks)d weeks. Choose one of them, or make it longer.") % {"weeks": int(weeks)}
        yield Fault(at + pointer("week"), reason)


def _session_faults(session: dict[str, Any], at: str, in_week: InWeek) -> Iterator[Fault]:
    if len(list(_prescriptions(session, at))) > MOST_IN_A_SESSION:
        yield Fault(at, _("A session has %(most)d movements at most.") % {"most": MOST_IN_A_SESSION})
    yield from _repeated("session", session, at, session["week"], in_week)
    for number, section in enumerate(session["sections"]):
        for place, group in enumerate(section["groups"]):
            if reason := _group_fault(group):
                yield Fault(at + pointer("sections", number, "groups", place, "kind"), reason)


def _group_fault(group: dict[str, Any]) -> str:
    kind, members = group["kind"], group["prescriptions"]
    least, most = _MEMBERS.get(kind, (1, MOST_IN_A_SESSION))
    if not least <= len(members) <= most:
        return _("A single is one movement, a pair two, a circuit two or more.")
    if ("minutes" in group) != (kind == GroupKind.ROUNDS):
        return _("Rounds in a time need their minutes, and nothing else has them.")
    if "interval_s" in group and kind != GroupKind.EVERY_MINUTE:
        return _("Only what begins every minute has an interval.")
    # What is broken in itself is told where it stands.
    rounds = [repr((one.get("sets"), one.get("step_sets", 0))) for one in members if isinstance(one, dict)]
    if kind in IN_ROUNDS and len(set(rounds)) > 1:
        return _("Here a set is a round: give every movement of it the same number of sets, and the same weekly step.")
    return ""


def _repeated(kind: str, part: dict[str, Any], at: str, week: int, in_week: InWeek) -> Iterator[Fault]:
    if "lineage" not in part:
        return
    key = (kind, int(week), part["lineage"].lower())
    if key in in_week:
        yield Fault(at + pointer("lineage"), _("This stands in the same week already. Leave it out, for a new one."))
    in_week.add(key)


def _prescriptions(session: dict[str, Any], at: str) -> Iterator[_Found]:
    for number, section in enumerate(session["sections"]):
        for place, group in enumerate(section["groups"]):
            for member, told in enumerate(group["prescriptions"]):
                parts = ("sections", number, "groups", place, "prescriptions", member)
                yield _Found(at + pointer(*parts), told)


def _movement_faults(found: _Found, movements: Movements, broken: set[str]) -> Iterator[Fault]:
    for name in ("movement", *OPTIONS):
        if name in found.told and f"{found.at}/{name}" not in broken:
            yield from _one_movement_faults(found, name, movements)


def _one_movement_faults(found: _Found, column: str, movements: Movements) -> Iterator[Fault]:
    slug = found.told[column]
    movement = movements.get(slug)
    if movement is None and column != "movement":
        reason = _("You have no movement “%(slug)s”. Make it one of your own first, or name another.")
        yield Fault(found.at + pointer(column), reason % {"slug": shown(slug)})
    elif movement is None:
        told = {"slug": shown(slug), "name": shown(found.told.get("movement_name", slug))}
        reason = _("You have no movement “%(slug)s” (%(name)s). Make it one of your own first, or name another.")
        yield Fault(found.at + pointer("movement"), reason % told)
    elif movement.measure != found.told["measure"] and column != "movement":
        reason = _("%(name)s is measured in another way than what it stands beside. Name another.")
        yield Fault(found.at + pointer(column), reason % {"name": movement.name})
    elif movement.measure != found.told["measure"]:
        told = {"name": movement.name, "measure": movement.get_measure_display()}
        reason = _("%(name)s is measured in %(measure)s here. Change the amounts and the measure.") % told
        yield Fault(found.at + pointer("measure"), reason)


def _dose_faults(found: _Found) -> Iterator[Fault]:
    told, at = found.told, found.at
    if told["amount_low"] > told["amount_high"]:
        yield Fault(at + pointer("amount_low"), _("The lower number comes first."))
    if "target_rir" in told and "target_rpe" in told:
        yield Fault(at + pointer("target_rpe"), _("Either RIR or RPE, not both."))
    if len({"load_entered", "percent_of_max", "assistance_kg"} & set(told)) > 1:
        yield Fault(at, _("Either a load, a percentage or help, not two of them."))
    if "load_entered" in told and not _is_same_mass(told):
        yield Fault(at + pointer("load_kg"), _("This is not the load that was entered. Correct one of the two."))
    yield from _cluster_faults(found)
    if told.get("step_load") and not {"load_entered", "percent_of_max"} & set(told):
        yield Fault(at + pointer("step_load"), _("A load that changes each week needs a load to begin with."))
    if "tempo" in told and not _is_tempo(told["tempo"]):
        yield Fault(
            at + pointer("tempo"),
            _("Four numbers of seconds: lowering, bottom, lifting, top. X lifts fast: 3-1-X-0."),
        )


def _cluster_faults(found: _Found) -> Iterator[Fault]:
    told, at = found.told, found.at
    is_cluster = told.get("kind") == SetKind.CLUSTER
    if is_cluster != ("cluster_reps" in told):
        yield Fault(at, _("A cluster has “cluster_reps” and “rest_within_s”, and no other kind has."))
    elif is_cluster and told["cluster_reps"] >= told["amount_high"]:
        yield Fault(at + pointer("cluster_reps"), _("Fewer than the whole set."))


def _is_same_mass(told: dict[str, Any]) -> bool:
    kg = kg_from(Decimal(told["load_entered"]), told["load_unit"])
    return abs(kg - Decimal(told["load_kg"])) <= KG_TOLERANCE


def _is_tempo(text: str) -> bool:
    try:
        parse_tempo(text)
    except ValueError:
        return False
    return True


@transaction.atomic
def _write(
    document: dict[str, Any], movements: Movements, *, client: Client, by: User, starts_on: datetime.date
) -> Block:
    weeks = int(document["weeks"])
    deload_week = int(document["deload_week"]) if "deload_week" in document else None
    about = {"title": document["title"], "starts_on": starts_on, "weeks": weeks, "deload_week": deload_week}
    block = create_block(client, by=by, **about)
    # Nothing is missed here: the faults were looked for with the same movements.
    for position, session in enumerate(sessions_in(document, movements)):
        add_filled_session(
            block,
            session.rows,
            lineage=session.lineage,
            week=session.week,
            weekday=session.weekday,
            position=position,
            name=session.name,
        )
    return block
