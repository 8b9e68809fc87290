"""Blocks that a practice writes once: kept from a block, read again, put away and brought back."""

import datetime
from dataclasses import dataclass

from clients.choices import Weekday
from clients.models import User
from programs.choices import BY_THE_CLOCK, SectionKind
from programs.domain.dosing import dose_words
from programs.domain.exchange.sessions import Movements, ReadSession, offered_movements, sessions_in
from programs.domain.exchange.writing import document_of
from programs.domain.placing import Told
from programs.domain.rows import Row, Together, together
from programs.domain.timing import minutes_of
from programs.domain.wording import notes_of, together_words
from programs.models import Block, BlockTemplate


def keep_as_template(block: Block, *, by: User, at: datetime.datetime, title: str, about: str = "") -> BlockTemplate:
    """Make a template of what the block holds now. Nothing about the client is in it but what the coach typed."""
    template = BlockTemplate(practice_id=block.practice_id)
    return _write(template, block, by=by, at=at, title=title, about=about)


def replace_template(
    template: BlockTemplate, block: Block, *, by: User, at: datetime.datetime, title: str, about: str = ""
) -> BlockTemplate:
    """Put this block in the place of what the template held. Drafts that came from it stay as they are."""
    return _write(template, block, by=by, at=at, title=title, about=about)


def _write(
    template: BlockTemplate, block: Block, *, by: User, at: datetime.datetime, title: str, about: str
) -> BlockTemplate:
    template.title, template.about = title, about
    template.weeks, template.document = block.weeks, document_of(block)
    template.written_by, template.written_at = by, at
    template.save()
    return template


def describe_template(template: BlockTemplate, *, title: str, about: str) -> BlockTemplate:
    template.title, template.about = title, about
    template.save(update_fields=["title", "about"])
    return template


def archive_template(template: BlockTemplate, *, at: datetime.datetime) -> BlockTemplate:
    """Take it out of the list. What came from it stays."""
    template.archived_at = at
    template.save(update_fields=["archived_at"])
    return template


def bring_back_template(template: BlockTemplate) -> BlockTemplate:
    template.archived_at = None
    template.save(update_fields=["archived_at"])
    return template


@dataclass(frozen=True)
class Contents:
    """What a template holds today: its sessions, and the movements in it that cannot be prescribed any more."""

    sessions: list[ReadSession]
    gone: list[Told]
    movements: Movements
    deload_week: int | None = None


def contents_of(template: BlockTemplate) -> Contents:
    """Read a template with the movements that its practice offers now, in one query for however many clients."""
    movements = offered_movements(template.practice)
    sessions = sessions_in(template.document, movements)
    gone = [Told(miss.session, miss.movement, "", miss.reason) for session in sessions for miss in session.misses]
    # Once, not in every week.
    return Contents(sessions, list(dict.fromkeys(gone)), movements, template.document.get("deload_week"))


@dataclass(frozen=True)
class Line:
    row: Row
    words: str
    # What else the client reads beside the dose.
    notes: list[str]


@dataclass(frozen=True)
class Part:
    """A section; each group with the words for how it is done, empty for a movement alone."""

    name: str
    groups: list[tuple[str, list[Line]]]


@dataclass(frozen=True)
class SessionInWords:
    written: ReadSession
    day: str
    minutes: int
    parts: list[Part]


def weeks_in_words(template: BlockTemplate, contents: Contents) -> list[tuple[int, list[SessionInWords]]]:
    """Every week with its sessions, also the empty ones, every dose as people read it."""
    ordered = sorted(contents.sessions, key=lambda session: session.weekday)
    return [
        (week, [_in_words(session) for session in ordered if session.week == week])
        for week in range(1, template.weeks + 1)
    ]


def _in_words(session: ReadSession) -> SessionInWords:
    groups = together(session.rows)
    parts: list[Part] = []
    for group in groups:
        name = str(SectionKind(group.doses[0].section).label)
        if not parts or parts[-1].name != name:
            parts.append(Part(name, []))
        parts[-1].groups.append(_group_in_words(group))
    return SessionInWords(session, str(Weekday(session.weekday).label), minutes_of(groups), parts)


def _group_in_words(group: Together[Row]) -> tuple[str, list[Line]]:
    return together_words(group), [_line(row, group.kind) for row in group]


def _line(row: Row, kind: str) -> Line:
    return Line(row, dose_words(row, rests=kind not in BY_THE_CLOCK), notes_of(row))
