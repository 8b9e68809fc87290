"""Repeating a week of a running block, or adding one at its end: a new revision, published at once."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from clients.choices import ClientState
from clients.models import Client, User
from programs.choices import BlockState
from programs.domain.building import copy_week
from programs.domain.days import today_of
from programs.domain.dosing import load_words
from programs.domain.drafting import new_revision
from programs.domain.publishing import publish_block
from programs.errors import (
    AnotherBlockFollows,
    BlockTooLong,
    ChangedMeanwhile,
    NextWeekBegun,
    RevisionOpen,
    WeekOutsideBlock,
)
from programs.models import Block, Prescription, ScheduledSession

MOST_WEEKS = 16
WEEK = datetime.timedelta(days=7)


@dataclass(frozen=True)
class Repeat:
    """What is to be repeated, and where the week goes: behind itself, or to the end of the block."""

    week: int
    at_the_end: bool = False
    message: str = ""
    protected_because: str = ""

    def place(self, block: Block) -> int:
        """The number that the new week gets."""
        return 1 + (block.weeks if self.at_the_end else self.week)


@dataclass(frozen=True)
class OtherLoad:
    """A load that is not what it was: a percentage of a maximum that was set anew since."""

    movement: str
    was: str
    now: str


@dataclass(frozen=True)
class Rehearsal:
    """What a repetition comes to: the new week's sessions on their days, the end of the block, and other loads."""

    added: list[ScheduledSession]
    ends_on: datetime.date
    is_at_the_end: bool
    other_loads: list[OtherLoad]


def running_blocks(user: User, *, at: datetime.datetime) -> list[Block]:
    """Published blocks of the clients of this coach that run, begin, or ended less than a week ago."""
    blocks = Block.objects.coached_by(user).filter(
        state=BlockState.PUBLISHED,
        starts_on__gte=at.date() - (MOST_WEEKS + 2) * WEEK,
        client__erased_at=None,
        client__state=ClientState.ACTIVE,
    )
    found = blocks.select_related("client__practice").order_by("client__name", "client_id", "starts_on")
    return [block for block in found if block.ends_on + WEEK > today_of(block.client, at)]


def current_week(block: Block, today: datetime.date) -> int:
    return min(max((today - block.starts_on) // WEEK + 1, 1), block.weeks)


def repeat_week(block: Block, repeat: Repeat, *, by: User, at: datetime.datetime) -> Block:
    """Publish the next revision of a block, with a week once more.

    Lineages stay and nothing logged changes: only untouched sessions from today on are put anew. Somebody who changed
    the block in between is noticed. Raises ChangedMeanwhile, RevisionOpen, WeekOutsideBlock, BlockTooLong,
    NextWeekBegun, AnotherBlockFollows, and what publish_block raises.
    """
    with transaction.atomic():
        client = Client.objects.select_for_update().get(pk=block.client_id)
        today = today_of(client, at)
        current = Block.objects.select_for_update().get(pk=block.pk)
        _require_repeatable(current, repeat, today)
        revision = new_revision(current, by=by)
        _insert(revision, repeat)
        return publish_block(revision, by=by, at=at, first_day=today, protected_because=repeat.protected_because)


def rehearse(block: Block, repeat: Repeat, *, by: User, at: datetime.datetime) -> Rehearsal:
    """Do it, look at it, and undo it: what is shown is what would happen. Raises what repeat_week raises."""
    with transaction.atomic():
        revision = repeat_week(block, repeat, by=by, at=at)
        added = ScheduledSession.objects.filter(session__block=revision, session__week=repeat.place(block))
        loads = _other_loads(block, revision, repeat)
        is_last = repeat.place(block) > block.weeks
        rehearsal = Rehearsal(list(added.select_related("session")), revision.ends_on, is_last, loads)
        transaction.set_rollback(True)
    return rehearsal


def _other_loads(block: Block, revision: Block, repeat: Repeat) -> list[OtherLoad]:
    """Week by week against the week that each was copied from, every change once."""
    place = repeat.place(block)
    was = {(dose.lineage, week): load_words(dose) for dose, week in _doses(block)}
    found: dict[OtherLoad, None] = {}
    for dose, week in _doses(revision):
        copied = repeat.week if week == place else week - (week > place)
        before, now = was.get((dose.lineage, copied), ""), load_words(dose)
        if before != now:
            found[OtherLoad(dose.movement.name, before or _("not set"), now or _("not set"))] = None
    return list(found)


def _doses(block: Block) -> list[tuple[Prescription, int]]:
    rows = Prescription.objects.filter(group__section__session__block=block)
    found = rows.select_related("movement", "group__section__session").order_by("group__section__session__week", "pk")
    return [(dose, dose.group.section.session.week) for dose in found]


def _require_repeatable(block: Block, repeat: Repeat, today: datetime.date) -> None:
    if block.state != BlockState.PUBLISHED:
        raise ChangedMeanwhile
    if Block.objects.filter(lineage=block.lineage, state=BlockState.DRAFT).exists():
        raise RevisionOpen
    if not 1 <= repeat.week <= block.weeks:
        raise WeekOutsideBlock
    if block.weeks >= MOST_WEEKS:
        raise BlockTooLong
    standing = ScheduledSession.objects.of(block.client).on_the_plan()
    ours = standing.filter(session__block__lineage=block.lineage)
    later = ours.filter(session__week__gte=repeat.place(block))
    if later.exclude(pk__in=later.untouched().filter(on__gte=today).values("pk")).exists():
        raise NextWeekBegun
    # The last week would come to stand on their days, and get none.
    others = standing.exclude(session__block__lineage=block.lineage)
    if others.untouched().filter(on__gte=today).exists():
        raise AnotherBlockFollows


def _insert(revision: Block, repeat: Repeat) -> None:
    """Make room in the draft, one week after the other from the last, then copy the week into it."""
    place = repeat.place(revision)
    for week in range(revision.weeks, place - 1, -1):
        revision.sessions.filter(week=week).update(week=week + 1)
    revision.weeks += 1
    revision.message = repeat.message
    revision.save(update_fields=["weeks", "message"])
    if revision.sessions.filter(week=repeat.week).exists():
        copy_week(revision, from_week=repeat.week, to_weeks=[place], version=revision.version)


def coached(user: User, uuids: Iterable[str]) -> list[Block]:
    """The blocks that were chosen on a page, also those that somebody replaced since."""
    blocks = Block.objects.coached_by(user).exclude(state=BlockState.DRAFT).filter(uuid__in=list(uuids))
    return list(blocks.select_related("client__practice"))
