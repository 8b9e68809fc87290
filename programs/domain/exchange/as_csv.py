"""A block document as a table (RFC 4180): one prescription a row, and cells that no spreadsheet takes for a formula."""

import csv
import io
from collections.abc import Iterator, Mapping
from typing import Any

from programs.domain.dosing import plain
from programs.domain.exchange.schema import PRESCRIPTION

BLOCK_COLUMNS = {
    "format": "format",
    "version": "version",
    "block_lineage": "lineage",
    "title": "title",
    "weeks": "weeks",
    "deload_week": "deload_week",
}
SESSION_COLUMNS = {"session_lineage": "lineage", "week": "week", "weekday": "weekday", "session_name": "name"}
# Numbers that say which rows belong together: counted through the block, and through the session.
SESSION, GROUP, SECTION = "session", "group", "section"
DOSE_COLUMNS: tuple[str, ...] = tuple(PRESCRIPTION["properties"])
# How a group is done, where its number does not say it.
GROUP_COLUMNS = {"group_kind": "kind", "group_minutes": "minutes", "group_interval_s": "interval_s"}
COLUMNS = (*BLOCK_COLUMNS, SESSION, *SESSION_COLUMNS, SECTION, GROUP, *GROUP_COLUMNS, *DOSE_COLUMNS)
# Added after the first files were written: a table without them is read as if they were empty.
LATER_COLUMNS = frozenset(
    {
        *("deload_week", *GROUP_COLUMNS, "cluster_reps", "rest_within_s", "and_or", "easier", "easier_below"),
        *("harder", "harder_from", "step_sets", "step_amount", "step_rir", "step_load"),
    }
)

# What begins a formula in common spreadsheets, or hides its beginning.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
QUOTE = "'"
# Where decimals have a comma, spreadsheets part cells at semicolons: what follows one begins a cell there.
PARTED = ";"


def safe(cell: str) -> str:
    """Put an apostrophe before what could be run as a formula, and before an apostrophe of its own; also after ";"."""
    return PARTED.join(_safe(part) for part in cell.split(PARTED))


def _safe(part: str) -> str:
    bare = part.lstrip(' "')
    return part[: len(part) - len(bare)] + QUOTE + bare if bare.startswith((*FORMULA, QUOTE)) else part


def unsafe(cell: str) -> str:
    """Take back `safe`. An apostrophe that `safe` would not have put there stays."""
    return PARTED.join(_unsafe(part) for part in cell.split(PARTED))


def _unsafe(part: str) -> str:
    bare = part.lstrip(' "')
    is_put = bare.startswith(QUOTE) and bare[1:].startswith((*FORMULA, QUOTE))
    return part[: len(part) - len(bare)] + bare[1:] if is_put else part


def to_csv(document: Mapping[str, Any]) -> bytes:
    """UTF-8 with CRLF. A session without prescriptions is one row; so is a block without sessions."""
    target = io.StringIO(newline="")
    writer = csv.writer(target, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for row in _rows(document):
        writer.writerow([safe(_cell(row.get(column))) for column in COLUMNS])
    return target.getvalue().encode()


def _rows(document: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    block = {column: document.get(name) for column, name in BLOCK_COLUMNS.items()}
    for number, session in enumerate(document["sessions"], start=1):
        about = block | {SESSION: number} | {column: session.get(name) for column, name in SESSION_COLUMNS.items()}
        doses = list(_doses(session))
        yield from (about | dose for dose in doses or [{}])
    if not document["sessions"]:
        yield block


def _doses(session: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    number = 0
    for section in session["sections"]:
        for group in section["groups"]:
            number += 1
            for prescription in group["prescriptions"]:
                about = {column: group.get(name) for column, name in GROUP_COLUMNS.items()}
                yield {SECTION: section["kind"], GROUP: number} | about | prescription


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else plain(value)
