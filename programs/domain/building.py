"""Writing drafts. Every edit names the version it saw; a draft that someone else saved meanwhile is not overwritten."""

import datetime
import uuid
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from itertools import groupby

from django.db import transaction
from django.db.models import Max, QuerySet

from clients.models import Client, User
from programs.domain.rows import ROW_COLUMNS, Row, chained, group_columns, rows_of, with_contents
from programs.domain.stepping import rows_in_week
from programs.errors import DraftGone, EditedMeanwhile, EmptyWeek, NotADraft, WeekOutsideBlock, WeeksHoldSessions
from programs.models import Block, BlockSession, Group, Prescription, Section


def monday_of(day: datetime.date) -> datetime.date:
    return day - datetime.timedelta(days=day.weekday())


def create_block(
    client: Client,
    *,
    by: User,
    title: str,
    starts_on: datetime.date,
    weeks: int,
    message: str = "",
    deload_week: int | None = None,
) -> Block:
    """Begin a draft. Blocks start on a Monday: the one of the week named."""
    return Block.objects.create(
        practice_id=client.practice_id,
        client=client,
        title=title,
        starts_on=monday_of(starts_on),
        weeks=weeks,
        message=message,
        deload_week=deload_week,
        written_by=by,
    )


@contextmanager
def editing(block: Block, *, version: int) -> Iterator[Block]:
    """Lock a draft for one edit and raise its version. Raises NotADraft, EditedMeanwhile and DraftGone."""
    with transaction.atomic():
        locked = _locked_draft(block, version)
        yield locked
        locked.version = version + 1
        locked.save(update_fields=["version"])
    block.version = locked.version


def _locked_draft(block: Block, version: int) -> Block:
    locked = Block.objects.select_for_update().filter(pk=block.pk).first()
    if locked is None:
        raise DraftGone
    if not locked.is_draft:
        raise NotADraft
    if locked.version != version:
        raise EditedMeanwhile(locked.version)
    return locked


def discard_draft(block: Block, *, version: int) -> None:
    """Remove a draft with all its sessions, for good. Raises NotADraft, EditedMeanwhile and DraftGone."""
    with transaction.atomic():
        _locked_draft(block, version).delete()


def edit_block(
    block: Block,
    *,
    version: int,
    title: str,
    starts_on: datetime.date,
    weeks: int,
    message: str = "",
    deload_week: int | None = None,
    drops_sessions: bool = False,
) -> Block:
    """Change what the block is called, when it runs and what the client reads.

    Weeks that are cut off lose their sessions, where `drops_sessions` says so; else raises WeeksHoldSessions.
    """
    with editing(block, version=version) as locked:
        locked.title, locked.starts_on, locked.weeks = title, monday_of(starts_on), weeks
        locked.message, locked.deload_week = message, deload_week
        if deload_week is not None:
            _require_weeks(locked, [deload_week])
        locked.save(update_fields=["title", "starts_on", "weeks", "message", "deload_week"])
        cut_off = locked.sessions.filter(week__gt=weeks)
        if not drops_sessions and cut_off.exists():
            raise WeeksHoldSessions
        cut_off.delete()
    return locked


def add_session(block: Block, *, version: int, name: str, week: int, weekday: int) -> BlockSession:
    """Add an empty session to one week."""
    with editing(block, version=version) as locked:
        _require_weeks(locked, [week])
        return BlockSession.objects.create(
            practice_id=block.practice_id,
            block=locked,
            week=week,
            weekday=weekday,
            name=name,
            position=_next_position(locked, week),
        )


def last_week_with_sessions(block: Block) -> int:
    """0 where there is no session yet."""
    return block.sessions.aggregate(last=Max("week"))["last"] or 0


def free_weekday(block: Block, *, week: int) -> int:
    """The day after next of the last session in a week, so that a day of rest lies between; Monday to begin with."""
    last = block.sessions.filter(week=week).aggregate(last=Max("weekday"))["last"]
    return 0 if last is None else min(6, last + 2)


def _next_position(block: Block, week: int) -> int:
    highest = block.sessions.filter(week=week).aggregate(highest=Max("position"))["highest"]
    return 0 if highest is None else highest + 1


def remove_session(session: BlockSession, *, version: int, in_all_weeks: bool = False) -> None:
    with editing(session.block, version=version) as locked:
        doomed = locked.sessions.filter(lineage=session.lineage)
        (doomed if in_all_weeks else doomed.filter(week=session.week)).delete()


def move_session(session: BlockSession, *, version: int, weekday: int, position: int | None = None) -> None:
    """Put a session on another day of its week, or before another one on the same day."""
    with editing(session.block, version=version):
        session.weekday = weekday
        session.position = session.position if position is None else position
        session.save(update_fields=["weekday", "position"])


def save_session(
    session: BlockSession,
    rows: Sequence[Row],
    *,
    version: int,
    name: str,
    weekday: int,
    also_in_weeks: Iterable[int] = (),
) -> list[uuid.UUID]:
    """Replace what a session holds by the rows, in their order, and step it through other weeks where asked.

    Rows of the same section kind in a row are one section. A row keeps its lineage when this session knows it, here
    or in the block that it came from; every other row starts a new one, so a lineage from elsewhere cannot be brought
    in. Returns the lineages in the order of the rows.
    """
    with editing(session.block, version=version) as locked:
        known = _known_lineages(session)
        session.name, session.weekday = name, weekday
        session.save(update_fields=["name", "weekday"])
        session.sections.all().delete()
        named = _with_own_lineages(rows, known)
        _write_rows(session, named)
        _copy_to_weeks(session, locked, also_in_weeks, steps=True)
    return [lineage for _row, lineage in named]


def _known_lineages(session: BlockSession) -> set[uuid.UUID]:
    """Also those that it had in other weeks and in earlier blocks: what was removed may come back by an undo."""
    block = session.block
    elsewhere = set(block.sessions.filter(week=session.week).exclude(pk=session.pk).values_list("pk", flat=True))
    own = BlockSession.objects.filter(lineage=session.lineage, block__client=block.client_id)
    # Table by table: PostgreSQL joined four of them in a minute while a large transaction left it without statistics.
    by_session = _lineages_by_session({*own.values_list("pk", flat=True), *elsewhere})
    taken = {lineage for key in elsewhere for lineage in by_session[key]}
    return {lineage for key, known in by_session.items() if key not in elsewhere for lineage in known} - taken


def _lineages_by_session(sessions: set[int]) -> defaultdict[int, set[uuid.UUID]]:
    groups = dict(Group.objects.filter(section__session__in=sessions).values_list("pk", "section__session"))
    found: defaultdict[int, set[uuid.UUID]] = defaultdict(set)
    for group, lineage in Prescription.objects.filter(group__in=groups).values_list("group", "lineage"):
        found[groups[group]].add(lineage)
    return found


def _with_own_lineages(rows: Sequence[Row], known: set[uuid.UUID]) -> list[tuple[Row, uuid.UUID]]:
    free = set(known)
    named = []
    for row in rows:
        lineage = row.lineage if row.lineage in free else None
        free.discard(lineage)
        named.append((row, lineage or uuid.uuid4()))
    return named


def _write_rows(session: BlockSession, rows: Iterable[tuple[Row, uuid.UUID]]) -> None:
    _write_all([(session, list(rows))])


def _write_all(filled: Iterable[tuple[BlockSession, Sequence[tuple[Row, uuid.UUID]]]]) -> None:
    """Three statements however many sessions and rows: copying a block writes hundreds."""
    parts = [
        (session, place, kind, list(members))
        for session, rows in filled
        for place, (kind, members) in enumerate(groupby(rows, key=lambda named: named[0].section))
    ]
    sections = Section.objects.bulk_create(
        Section(practice_id=session.practice_id, session=session, kind=kind, position=place)
        for session, place, kind, _members in parts
    )
    together = [
        (section, place, named)
        for section, (_session, _place, _kind, members) in zip(sections, parts, strict=True)
        for place, named in enumerate(chained(members, joins_next=lambda named: named[0].joined))
    ]
    groups = Group.objects.bulk_create(
        Group(
            practice_id=section.practice_id,
            section=section,
            position=place,
            **group_columns([row for row, _ in named]),
        )
        for section, place, named in together
    )
    Prescription.objects.bulk_create(
        _prescription(group, row, lineage, n)
        for group, (_section, _place, named) in zip(groups, together, strict=True)
        for n, (row, lineage) in enumerate(named)
    )


def _prescription(group: Group, row: Row, lineage: uuid.UUID, position: int) -> Prescription:
    fields = {name: getattr(row, name) for name in ROW_COLUMNS}
    return Prescription(practice_id=group.practice_id, group=group, lineage=lineage, position=position, **fields)


def prescriptions_of(session: BlockSession) -> QuerySet[Prescription]:
    return Prescription.objects.filter(group__section__session=session)


def copy_session(session: BlockSession, *, to_weeks: Iterable[int], version: int) -> None:
    """Put the same session into other weeks, keeping lineages; what stood there of this session is replaced."""
    with editing(session.block, version=version) as locked:
        _copy_to_weeks(session, locked, to_weeks, steps=False)


def _copy_to_weeks(session: BlockSession, block: Block, to_weeks: Iterable[int], *, steps: bool) -> None:
    weeks = sorted(set(to_weeks) - {session.week})
    _require_weeks(block, weeks)
    block.sessions.filter(lineage=session.lineage, week__in=weeks).delete()
    for week in weeks:
        _copy_into(session, block, week=week, steps=steps)


def copy_week(block: Block, *, from_week: int, to_weeks: Iterable[int], version: int, steps: bool = False) -> None:
    """Put the sessions of one week into others, keeping lineages; with `steps`, changed by the step beside each row.

    What stands there of the same sessions is replaced. Sessions that this week does not have stay. Raises EmptyWeek.
    """
    weeks = sorted(set(to_weeks) - {from_week})
    with editing(block, version=version) as locked:
        _require_weeks(locked, [from_week, *weeks])
        sessions = list(with_contents(locked.sessions.filter(week=from_week)))
        if not sessions:
            raise EmptyWeek(from_week)
        for session in sessions:
            _copy_to_weeks(session, locked, weeks, steps=steps)


def copy_all_sessions(block: Block, into: Block) -> None:
    """Fill an empty draft with another block's sessions, keeping lineages. Reasons for the last change are dropped."""
    for session in with_contents(block.sessions.filter(week__lte=into.weeks)):
        _copy_into(session, into, week=session.week, keeps_reasons=False)


def _copy_into(
    session: BlockSession, block: Block, *, week: int, keeps_reasons: bool = True, steps: bool = False
) -> BlockSession:
    rows = [without_worked_out_load(row) for row in rows_of(session)]
    rows = [row if keeps_reasons else replace(row, change_reason="") for row in rows]
    if steps:
        rows = rows_in_week(rows, written_in=session.week, week=week, deload_week=block.deload_week)
    columns = {name: getattr(session, name) for name in ("lineage", "weekday", "position", "name")}
    return add_filled_session(block, rows, week=week, **columns)


def without_worked_out_load(row: Row) -> Row:
    """A percentage without what it came to when it was published: it is worked out anew."""
    return row if row.percent_of_max is None else replace(row, load_entered=None, load_unit="", load_kg=None)


def add_filled_session(
    block: Block, rows: Iterable[Row], *, lineage: uuid.UUID, week: int, weekday: int, position: int, name: str
) -> BlockSession:
    """Add a session with its rows, lineages as given: for copies, and for what was read from a file."""
    session = BlockSession.objects.create(
        practice_id=block.practice_id,
        block=block,
        lineage=lineage,
        week=week,
        weekday=weekday,
        position=position,
        name=name,
    )
    _write_rows(session, ((row, row.lineage or uuid.uuid4()) for row in rows))
    return session


def add_filled_sessions(block: Block, filled: Sequence[tuple[BlockSession, Sequence[Row]]]) -> None:
    """Add whole sessions that are not stored yet, lineages as given, in as many statements as one takes."""
    sessions = [session for session, _rows in filled]
    for session in sessions:
        session.practice_id, session.block = block.practice_id, block
    BlockSession.objects.bulk_create(sessions)
    _write_all([(session, [(row, row.lineage or uuid.uuid4()) for row in rows]) for session, rows in filled])


def _require_weeks(block: Block, weeks: Iterable[int]) -> None:
    if any(not 1 <= week <= block.weeks for week in weeks):
        raise WeekOutsideBlock
