"""A block on paper: what to do on which day, with room to write down what was done."""

import datetime
import uuid
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
    # None where it stands on no day: it was taken off, or its day had passed before the block was published.
    on: datetime.date | None
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
    standing = ScheduledSession.objects.of(block.client).on_the_plan().filter(session__block__lineage=block.lineage)
    # Also one that stands from a former revision: it happened, or was moved there.
    days = {
        (week, lineage): on for week, lineage, on in standing.values_list("session__week", "session__lineage", "on")
    }
    weeks = [entry for entry in outline(block, barred=barred) if week is None or entry.number == week]
    sessions = [_session(entry, days) for one in weeks for entry in one.sessions]
    return Sheet(block, week, sorted(sessions, key=lambda entry: (entry.on is None, entry.on)))


def _session(entry: SessionOutline, days: dict[tuple[int, uuid.UUID], datetime.date]) -> SheetSession:
    sections = [
        SheetSection(section.name, [line for group in section.groups for line in _lines(group)])
        for section in entry.sections
    ]
    return SheetSession(entry.session, days.get((entry.session.week, entry.session.lineage)), entry.minutes, sections)


def _lines(group: GroupOutline) -> list[SheetLine]:
    return [SheetLine(line, group.words if n == 0 else "") for n, line in enumerate(group.lines)]
