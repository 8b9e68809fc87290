"""A block as people read it: weeks, sessions, sections, and every dose in words."""

import datetime
from dataclasses import dataclass

from programs.choices import SectionKind
from programs.domain.dosing import dose_words
from programs.domain.publishing import day_of
from programs.domain.rows import as_together, groups_of, with_contents
from programs.domain.timing import minutes_of
from programs.domain.wording import option_words, together_words
from programs.models import Block, BlockSession, Prescription, Section


@dataclass(frozen=True)
class Line:
    prescription: Prescription
    words: str

    @property
    def notes(self) -> list[str]:
        """What else the client reads beside the dose."""
        return [words for words in (self.prescription.and_or, *option_words(self.prescription)) if words]


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


def outline(block: Block) -> list[Week]:
    """Every week of a block, also the empty ones, in a fixed number of queries."""
    sessions = [outline_session(session, block) for session in with_contents(block.sessions.all())]
    return [
        Week(
            number=week,
            begins_on=block.starts_on + datetime.timedelta(weeks=week - 1),
            sessions=[entry for entry in sessions if entry.session.week == week],
        )
        for week in range(1, block.weeks + 1)
    ]


def outline_session(session: BlockSession, block: Block) -> SessionOutline:
    sections = [
        SectionOutline(str(SectionKind(section.kind).label), _groups(section)) for section in session.sections.all()
    ]
    return SessionOutline(session, day_of(block, session), minutes_of(groups_of(session)), sections)


def _groups(section: Section) -> list[GroupOutline]:
    groups = [as_together(group) for group in section.groups.all()]
    return [GroupOutline(together_words(group), [Line(p, dose_words(p)) for p in group]) for group in groups]
