"""A block as people read it: weeks, sessions, sections, and every dose in words."""

import datetime
from collections.abc import Collection
from dataclasses import dataclass

from programs.choices import BY_THE_CLOCK, SectionKind
from programs.domain.dosing import dose_words
from programs.domain.publishing import day_of
from programs.domain.rows import as_together, groups_of, with_contents
from programs.domain.timing import minutes_of
from programs.domain.wording import notes_of, together_words
from programs.models import Block, BlockSession, Prescription, Section


@dataclass(frozen=True)
class Line:
    prescription: Prescription
    words: str
    # What else the client reads beside the dose.
    notes: list[str]


@dataclass(frozen=True)
class GroupOutline:
    """`words` say how it is done; empty for a movement alone."""

    words: str
    lines: list[Line]

    @property
    def is_bracketed(self) -> bool:
        return bool(self.words)


@dataclass(frozen=True)
class SectionOutline:
    name: str
    groups: list[GroupOutline]


@dataclass(frozen=True)
class SessionOutline:
    session: BlockSession
    on: datetime.date
    minutes: int
    sections: list[SectionOutline]


@dataclass(frozen=True)
class Week:
    number: int
    begins_on: datetime.date
    sessions: list[SessionOutline]


def outline(block: Block, *, barred: Collection[str] = ()) -> list[Week]:
    """Every week of a block, also the empty ones, in a fixed number of queries.

    Options that load an area `barred` by now are not told: a client is to be offered none.
    """
    sessions = [outline_session(session, block, barred=barred) for session in with_contents(block.sessions.all())]
    return [
        Week(
            number=week,
            begins_on=block.starts_on + datetime.timedelta(weeks=week - 1),
            sessions=[entry for entry in sessions if entry.session.week == week],
        )
        for week in range(1, block.weeks + 1)
    ]


def outline_session(session: BlockSession, block: Block, *, barred: Collection[str] = ()) -> SessionOutline:
    sections = [
        SectionOutline(str(SectionKind(section.kind).label), _groups(section, barred))
        for section in session.sections.all()
    ]
    return SessionOutline(session, day_of(block, session), minutes_of(groups_of(session)), sections)


def _groups(section: Section, barred: Collection[str]) -> list[GroupOutline]:
    groups = [as_together(group) for group in section.groups.all()]
    return [
        GroupOutline(together_words(group), [_line(dose, group.kind, barred) for dose in group]) for group in groups
    ]


def _line(dose: Prescription, kind: str, barred: Collection[str]) -> Line:
    return Line(dose, dose_words(dose, rests=kind not in BY_THE_CLOCK), notes_of(dose, barred=barred))
