"""A block as a document: what a plan is made of, and nothing about whose it is.

Left out on purpose: the client, dates, the ceiling, the message and the reasons for changes (they speak to one client,
and may speak of health), and loads worked out from one client's reference max: there the percentage stands alone.
"""

from decimal import Decimal
from itertools import groupby
from typing import Any

from programs.domain.exchange.schema import FORMAT, VERSION, WEEKDAYS
from programs.domain.rows import STEP_FIELDS, Row, Together, rows_of, together, with_contents
from programs.models import Block, BlockSession

Document = dict[str, Any]
_FORMAT: Document = {"format": FORMAT, "version": VERSION}
_LOAD = ("load_entered", "load_unit", "load_kg")
_ALWAYS = ("kind", "sets", "amount_low", "amount_high", "scheme", "per_side", "rest_s")
_WHERE_GIVEN = (
    *("tempo", "target_rir", "target_rpe", *_LOAD, "percent_of_max", "assistance_kg", "grip"),
    *("cluster_reps", "rest_within_s", "cue", "and_or", "easier_below", "harder_from"),
)
_OPTIONS = ("easier", "harder")


def document_of(block: Block) -> Document:
    """The block in the order in which it is trained. Parts without a prescription are left out, empty sessions stay."""
    sessions = with_contents(block.sessions.filter(week__lte=block.weeks))
    about: Document = {"lineage": str(block.lineage), "title": block.title, "weeks": block.weeks}
    if block.deload_week is not None and block.deload_week <= block.weeks:
        about["deload_week"] = block.deload_week
    return _FORMAT | about | {"sessions": [_session(session) for session in sessions]}


def session_document(session: BlockSession) -> Document:
    """One session as a block of one week that holds nothing else, and is called as the session is."""
    found = with_contents(BlockSession.objects.filter(pk=session.pk)).get()
    return _FORMAT | {"title": found.name, "weeks": 1, "sessions": [_session(found) | {"week": 1}]}


def _session(session: BlockSession) -> Document:
    parts = groupby(rows_of(session), key=lambda row: row.section)
    return {
        "lineage": str(session.lineage),
        "week": session.week,
        "weekday": WEEKDAYS[session.weekday],
        "name": session.name,
        "sections": [{"kind": kind, "groups": _groups(list(rows))} for kind, rows in parts],
    }


def _groups(rows: list[Row]) -> list[Document]:
    return [_group(group) for group in together(rows)]


def _group(group: Together[Row]) -> Document:
    told: Document = {"kind": str(group.kind)}
    times = {"minutes": group.minutes, "interval_s": group.interval_s}
    told |= {name: value for name, value in times.items() if value is not None}
    return told | {"prescriptions": [_prescription(row) for row in group]}


def _prescription(row: Row) -> Document:
    movement = row.movement.movement
    told: Document = {
        "lineage": str(row.lineage),
        "movement": movement.slug,
        "movement_name": row.movement.name,
        "own_movement": movement.practice_id is not None,
        "measure": row.movement.measure,
    }
    told |= {name: getattr(row, name) for name in _ALWAYS}
    left_out = _LOAD if row.percent_of_max is not None else ()
    for name in _WHERE_GIVEN:
        value = getattr(row, name)
        if name not in left_out and value not in (None, ""):
            told[name] = _number(value) if isinstance(value, Decimal) else value
    options = {name: getattr(row, name) for name in _OPTIONS}
    told |= {name: option.movement.slug for name, option in options.items() if option is not None}
    return told | {name: _number(step) for name, step in _steps(row).items() if step}


def _steps(row: Row) -> dict[str, Decimal]:
    steps = {name: Decimal(getattr(row, name)) for name in STEP_FIELDS}
    # A step of a load that is not there any more says nothing.
    has_load = row.load_entered is not None or row.percent_of_max is not None
    return steps if has_load else steps | {"step_load": Decimal(0)}


def _number(value: Decimal) -> int | float:
    """As a JSON number. The columns hold at most eight digits, which a float gives back exactly."""
    return int(value) if value == value.to_integral_value() else float(value)
