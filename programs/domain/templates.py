"""Blocks that a practice writes once: kept from a block, read again, put away and brought back."""

import datetime
import json
import uuid
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from clients.choices import Weekday
from clients.models import Practice, User
from programs.choices import SectionKind
from programs.domain.dosing import dose_words
from programs.domain.exchange.as_json import from_json
from programs.domain.exchange.reading import _rows as read_rows
from programs.domain.exchange.schema import WEEKDAYS
from programs.domain.exchange.writing import document_of
from programs.domain.placing import AT_LEAST_TWO, Told, Written
from programs.domain.rows import Row, Together, kind_by_number, together
from programs.domain.timing import minutes_of
from programs.domain.wording import option_words, together_words
from programs.models import Block, BlockTemplate, Movement, MovementRevision

Movements = Mapping[str, MovementRevision]


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
    """What a template holds today: its sessions, and the prescriptions whose movement is not there any more."""

    sessions: list[Written]
    gone: list[Told] = field(default_factory=list)
    movements: Movements = field(default_factory=dict)


def contents_of(template: BlockTemplate) -> Contents:
    """Read a template with the movements that its practice offers now, in one query for however many clients."""
    movements = movements_of(template.practice)
    # Through text, so that its numbers are decimals as those of any block file.
    document = from_json(json.dumps(template.document))
    gone = list(dict.fromkeys(_take_out_what_is_gone(document, movements)))
    lineages: defaultdict[tuple[str, ...], uuid.UUID] = defaultdict(uuid.uuid4)
    sessions = [_session(told, place, movements, lineages) for place, told in enumerate(document["sessions"])]
    return Contents(sessions, gone, movements)


def movements_of(practice: Practice) -> Movements:
    offered = Movement.objects.offered_by(practice).exclude(current=None).select_related("current")
    return {movement.slug: movement.current for movement in offered if movement.current}


def _session(
    told: dict[str, Any], place: int, movements: Movements, lineages: defaultdict[tuple[str, ...], uuid.UUID]
) -> Written:
    name = told.get("lineage", f"session {place}").lower()
    rows = read_rows(told, dict(movements), lineages, name)
    weekday = WEEKDAYS.index(told["weekday"])
    return Written(told["name"], int(told["week"]), weekday, lineages["session", name], tuple(rows))


def _take_out_what_is_gone(document: dict[str, Any], movements: Movements) -> Iterator[Told]:
    """A movement may have been hidden or measured otherwise since: such a prescription cannot be read."""
    for session in document["sessions"]:
        for section in session["sections"]:
            for group in section["groups"]:
                for told in [one for one in group["prescriptions"] if _why_gone(one, movements)]:
                    group["prescriptions"].remove(told)
                    if group["kind"] in AT_LEAST_TWO:
                        group["kind"] = kind_by_number(len(group["prescriptions"])).value
                    name = told.get("movement_name", told["movement"])
                    yield Told(session["name"], name, "", _why_gone(told, movements))
            section["groups"] = [group for group in section["groups"] if group["prescriptions"]]


def _why_gone(told: dict[str, Any], movements: Movements) -> str:
    movement = movements.get(told["movement"])
    if movement is None:
        return _("Your practice does not offer this movement any more.")
    if movement.measure != told["measure"]:
        return _("It is measured in %(measure)s now.") % {"measure": movement.get_measure_display()}
    return ""


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
    written: Written
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


def _in_words(session: Written) -> SessionInWords:
    groups = together(session.rows)
    parts: list[Part] = []
    for group in groups:
        name = str(SectionKind(group.doses[0].section).label)
        if not parts or parts[-1].name != name:
            parts.append(Part(name, []))
        parts[-1].groups.append(_group_in_words(group))
    return SessionInWords(session, str(Weekday(session.weekday).label), minutes_of(groups), parts)


def _group_in_words(group: Together[Row]) -> tuple[str, list[Line]]:
    return together_words(group), [_line(row) for row in group]


def _line(row: Row) -> Line:
    return Line(row, dose_words(row), [words for words in (row.and_or, *option_words(row)) if words])
