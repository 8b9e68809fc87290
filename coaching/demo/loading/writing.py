"""Blocks that the invented practice keeps as templates, and drafts that were begun from them."""

import datetime
from dataclasses import replace

from clients.models import Client, User
from coaching.demo.loading.days import WEEK, Now
from coaching.demo.loading.planning import movement_called, row_of
from coaching.demo.person import Work, Written
from programs.domain.applying import begin_from_template
from programs.domain.building import add_session, copy_week, create_block, save_session
from programs.domain.rows import Row
from programs.domain.templates import contents_of, keep_as_template
from programs.models import Block, BlockTemplate

KEPT_HOURS_AGO = 24 * 10
EASIER = "easier_slug"


def keep_written(written: Written, *, now: Now) -> None:
    """Write it for the client it was thought of for, keep it, and throw the draft away. Nothing without that client."""
    client = Client.objects.select_related("practice").filter(name=written.written_for).first()
    if client is None:
        return
    by = Block.objects.of(client).select_related("written_by").earliest("pk").written_by
    draft = _write(written, client, by, starts_on=_next_monday(client, now))
    template = keep_as_template(
        draft, by=by, at=now.hours_ago(KEPT_HOURS_AGO), title=written.title, about=written.about
    )
    draft.delete()
    for other in Client.objects.select_related("practice").filter(name__in=written.begun_for):
        _begin(template, other, by, now=now)


def _begin(template: BlockTemplate, client: Client, by: User, *, now: Now) -> None:
    starts_on = _next_monday(client, now) + WEEK
    begin_from_template(template, contents_of(template), client, by=by, starts_on=starts_on, today=now.today(client))


def _next_monday(client: Client, now: Now) -> datetime.date:
    today = now.today(client)
    return today + datetime.timedelta(days=7 - today.weekday())


def _write(written: Written, client: Client, by: User, *, starts_on: datetime.date) -> Block:
    block = create_block(
        client, by=by, title=written.title, starts_on=starts_on, weeks=written.weeks, deload_week=written.deload_week
    )
    for name, weekday, works in written.days:
        session = add_session(block, version=block.version, name=name, week=1, weekday=weekday)
        rows = [_row(work) for work in works]
        save_session(session, rows, version=session.block.version, name=name, weekday=weekday)
        block.version = session.block.version
    copy_week(block, from_week=1, to_weeks=range(2, written.weeks + 1), version=block.version, steps=True)
    return block


def _row(work: Work) -> Row:
    """The easier option is written by its slug."""
    more = {name: value for name, value in work.more.items() if name != EASIER}
    row = row_of(replace(work, more=more), "kg")
    return replace(row, easier=movement_called(work.more[EASIER])) if EASIER in work.more else row
