"""A block on paper: what to do on which day, with room to write down what was done."""

import datetime
from collections.abc import Collection
from dataclasses import dataclass

from programs.domain.outline import GroupOutline, Line, SessionOutline, outline
from programs.models import Block, BlockSession, ScheduledSession


@dataclass(frozen=True)
class SheetLine:
    line: Line
    # How it is done together with others: beside the first of them.
    together: str

    @property
    def boxes(self) -> range:
        """One to write into for each set."""
        return range(1, self.line.prescription.sets + 1)


@dataclass(frozen=True)
class SheetSection:
    name: str
    lines: list[SheetLine]


@dataclass(frozen=True)
class SheetSession:
    session: BlockSession
    on: datetime.date
    minutes: int
    sections: list[SheetSection]


@dataclass(frozen=True)
class Sheet:
    """`week` is none for the whole block."""

    block: Block
    week: int | None
    sessions: list[SheetSession]

    @property
    def weeks(self) -> range:
        return range(1, self.block.weeks + 1)


def sheet(block: Block, *, week: int | None, barred: Collection[str] = ()) -> Sheet:
    """A week of a block, or all of it. Sessions that were moved stand on the day they were moved to."""
    standing = ScheduledSession.objects.of(block.client).on_the_plan().filter(session__block=block)
    days = dict(standing.values_list("session", "on"))
    weeks = [entry for entry in outline(block, barred=barred) if week is None or entry.number == week]
    sessions = [_session(entry, days) for one in weeks for entry in one.sessions]
    return Sheet(block, week, sorted(sessions, key=lambda entry: entry.on))


def _session(entry: SessionOutline, days: dict[int, datetime.date]) -> SheetSession:
    sections = [
        SheetSection(section.name, [line for group in section.groups for line in _lines(group)])
        for section in entry.sections
    ]
    return SheetSession(entry.session, days.get(entry.session.pk, entry.on), entry.minutes, sections)


def _lines(group: GroupOutline) -> list[SheetLine]:
    return [SheetLine(line, group.words if n == 0 else "") for n, line in enumerate(group.lines)]
