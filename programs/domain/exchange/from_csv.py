"""A table read back as a block document, with the line of every part of it."""

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from programs.domain.exchange.as_csv import (
    BLOCK_COLUMNS,
    COLUMNS,
    DOSE_COLUMNS,
    GROUP,
    GROUP_COLUMNS,
    LATER_COLUMNS,
    SECTION,
    SESSION,
    SESSION_COLUMNS,
    unsafe,
)
from programs.domain.exchange.schema import BLOCK, PRESCRIPTION, Schema
from programs.domain.exchange.schema import GROUP as GROUP_SCHEMA
from programs.domain.exchange.schema import SESSION as SESSION_SCHEMA
from programs.domain.exchange.validating import pointer, shown
from programs.domain.rows import kind_by_number
from programs.errors import BlockFileRefused, Fault

_NUMBER = re.compile(r"-?[0-9]{1,6}(?:\.[0-9]{1,6})?")
_BOOLEANS = {"yes": True, "no": False}


@dataclass
class Table:
    """The document, the line where each of its parts begins (by JSON pointer), and what was wrong so far."""

    document: dict[str, Any]
    lines: dict[str, int] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def place(self, at: str) -> str:
        """A JSON pointer as line and column."""
        owner, name = at, ""
        while owner and owner not in self.lines:
            owner, _slash, last = owner.rpartition("/")
            name = name if last.isdecimal() else last
        line = self.lines.get(owner, 1)
        return line_and_column(line, _column(owner, name))

    def refuse(self, line: int, column: str, reason: str) -> None:
        self.faults.append(Fault(line_and_column(line, column), reason))


def line_and_column(line: int, column: str = "") -> str:
    if column:
        return _("line %(line)d, column “%(column)s”") % {"line": line, "column": column}
    return _("line %(line)d") % {"line": line}


def _column(owner: str, name: str) -> str:
    """The column of one name of a block, a session, a section, a group or a prescription, by how deep it stands."""
    named = {0: BLOCK_COLUMNS, 2: SESSION_COLUMNS, 4: {SECTION: "kind"}, 6: GROUP_COLUMNS}
    level = owner.count("/")
    if level not in named:
        return name
    return next((column for column, inner in named[level].items() if inner == name), "")


def read_table(text: str) -> Table:
    """Read a table. Raises BlockFileRefused when it has no such shape; lesser faults come with the table."""
    records = _records(text)
    _line, header = next(records, (1, []))
    _require_columns(header)
    empty = dict.fromkeys(LATER_COLUMNS, "")
    named = ((line, zip(header, map(unsafe, cells), strict=True)) for line, cells in _whole(records, header))
    rows = [(line, empty | dict(cells)) for line, cells in named]
    if not rows:
        raise BlockFileRefused([Fault(line_and_column(1), _("There is no row below the names of the columns."))])
    return _assemble(rows)


def _records(text: str) -> Iterator[tuple[int, list[str]]]:
    """Records with the line that each begins on."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    line = 1
    try:
        for cells in reader:
            if cells:
                yield line, cells
            line = reader.line_num + 1
    except csv.Error as broken:
        reason = _("This is no row of a table: %(why)s. Save the table once more as CSV.") % {"why": str(broken)}
        raise BlockFileRefused([Fault(line_and_column(line), reason)]) from None


def _require_columns(header: list[str]) -> None:
    missing = [name for name in COLUMNS if name not in header and name not in LATER_COLUMNS]
    faults = []
    if missing:
        reason = _("Columns are missing: %(names)s. Cells are separated by commas.")
        faults.append(Fault(line_and_column(1), reason % {"names": ", ".join(missing)}))
    for name in dict.fromkeys(header):
        if name not in COLUMNS:
            faults.append(Fault(line_and_column(1, shown(name)), _("There is no such column. Remove it.")))
        elif header.count(name) > 1:
            faults.append(Fault(line_and_column(1, name), _("This column stands here twice. Keep one.")))
    if faults:
        raise BlockFileRefused(faults)


def _whole(records: Iterator[tuple[int, list[str]]], header: list[str]) -> list[tuple[int, list[str]]]:
    rows, faults = [], []
    for line, cells in records:
        rows.append((line, cells))
        if len(cells) != len(header):
            reason = _("This row has %(number)d cells, and there are %(needed)d columns.")
            faults.append(Fault(line_and_column(line), reason % {"number": len(cells), "needed": len(header)}))
    if faults:
        raise BlockFileRefused(faults)
    return rows


def _assemble(rows: list[tuple[int, dict[str, str]]]) -> Table:
    first_line, first = rows[0]
    sessions: list[dict[str, Any]] = []
    table = Table({**_values(first, BLOCK_COLUMNS, BLOCK), "sessions": sessions}, {"": first_line})
    former: dict[str, str] = {}
    numbers: set[str] = set()
    for line, row in rows:
        _require_same(table, line, row, first, BLOCK_COLUMNS)
        if _is_new_session(table, line, row, former, numbers, is_only=len(rows) == 1):
            table.lines[pointer("sessions", len(sessions))] = line
            sessions.append({**_values(row, SESSION_COLUMNS, SESSION_SCHEMA), "sections": []})
            former = {}
        elif former:
            _require_same(table, line, row, former, SESSION_COLUMNS)
        if sessions:
            _add_dose(table, line, row, former)
        former = row
    return table


def _require_same(table: Table, line: int, row: dict[str, str], other: dict[str, str], columns: dict[str, str]) -> None:
    for column in columns:
        if row[column] != other[column]:
            table.refuse(line, column, _("This differs from the rows above that it belongs to. Make them the same."))


def _is_new_session(
    table: Table, line: int, row: dict[str, str], former: dict[str, str], numbers: set[str], *, is_only: bool
) -> bool:
    number = row[SESSION]
    if former and number == former[SESSION]:
        return False
    if not number:
        if not is_only or any(
            row[column] for column in (*SESSION_COLUMNS, SECTION, GROUP, *GROUP_COLUMNS, *DOSE_COLUMNS)
        ):
            table.refuse(line, SESSION, _("Number the sessions, so that it is clear which rows belong together."))
        return False
    if number in numbers:
        table.refuse(line, SESSION, _("The rows of a session stand together. Give another session its own number."))
    numbers.add(number)
    return True


def _add_dose(table: Table, line: int, row: dict[str, str], former: dict[str, str]) -> None:
    """Put a row's prescription into its group: the one above when section and group are the same."""
    place = len(table.document["sessions"]) - 1
    sections = table.document["sessions"][place]["sections"]
    if not any(row[column] for column in (SECTION, GROUP, *GROUP_COLUMNS, *DOSE_COLUMNS)):
        if former:
            table.refuse(line, SESSION, _("A row without a movement stands alone in its session. Remove it."))
        return
    if not row[GROUP]:
        table.refuse(line, GROUP, _("Number the groups: two rows of one number are a pair."))
    is_same_section = bool(sections) and row[SECTION] == former[SECTION]
    if not is_same_section:
        sections.append({"kind": row[SECTION], "groups": []})
    groups = sections[-1]["groups"]
    if not (is_same_section and row[GROUP] == former[GROUP]):
        groups.append({"kind": "", **_values(row, GROUP_COLUMNS, GROUP_SCHEMA), "prescriptions": []})
    else:
        _require_same(table, line, row, former, GROUP_COLUMNS)
    members = groups[-1]["prescriptions"]
    members.append(_values(row, dict(zip(DOSE_COLUMNS, DOSE_COLUMNS, strict=True)), PRESCRIPTION))
    if not row["group_kind"]:
        groups[-1]["kind"] = kind_by_number(len(members)).value
    at = pointer("sessions", place, "sections", len(sections) - 1)
    table.lines.setdefault(at, line)
    at += pointer("groups", len(groups) - 1)
    table.lines.setdefault(at, line)
    table.lines[at + pointer("prescriptions", len(members) - 1)] = line


def _values(row: dict[str, str], columns: dict[str, str], schema: Schema) -> dict[str, Any]:
    """The cells that are filled in, as the types that the schema asks for; one that is not of its type stays text."""
    return {
        name: _value(row[column], schema["properties"][name]["type"]) for column, name in columns.items() if row[column]
    }


def _value(cell: str, kind: str) -> Any:
    if kind == "boolean":
        return _BOOLEANS.get(cell.lower(), cell)
    if kind in ("integer", "number") and _NUMBER.fullmatch(cell):
        return Decimal(cell) if "." in cell else int(cell)
    return cell
