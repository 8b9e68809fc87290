"""Publishing: the one place where a block starts to count."""

import datetime
from collections.abc import Iterable

from django.db import transaction
from django.db.models import F
from django.db.models.functions import Now
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.domain.mail import absolute
from clients.domain.notices import tell_client
from clients.domain.safety import Start, barred_areas, protected_areas, require_start
from clients.models import Client, User
from programs.choices import BlockState, SessionState
from programs.domain.baseline_maxima import freeze_percentages
from programs.domain.building import monday_of
from programs.domain.demands import demands_of, is_above_ceiling, loaded_areas
from programs.errors import (
    AboveCeiling,
    AlreadyPublished,
    BarredAreaLoaded,
    DraftChanged,
    EmptyBlock,
    NothingToSchedule,
    PlacedUnread,
    ReasonNeeded,
)
from programs.models import Block, BlockSession, Excuse, Prescription, ScheduledSession

# A session of a block in one week: what stays the same when a later revision takes its place.
Slot = tuple[int, object]


def publish_block(
    block: Block,
    *,
    by: User,
    at: datetime.datetime,
    first_day: datetime.date,
    protected_because: str = "",
    has_read_placed: bool = False,
    version: int | None = None,
) -> Block:
    """Freeze a draft, put its sessions on days from `first_day` on, and write to the client.

    The former revision's sessions from that day on give way where nobody touched them, and so do those of the
    client's other blocks. An excused day stays excused, with the new session on it. Everything happens
    once: the client's row is locked, and the second to publish is told. Where a movement stresses an area that the
    client protects, the coach's reason is kept with the block. What a template became for this client is read first.
    `version` is the one that was read, where somebody read it; another one is not published.
    Raises what clients.domain.safety.require_start raises, AboveCeiling, BarredAreaLoaded, ReasonNeeded, EmptyBlock,
    NoReferenceMax, NothingToSchedule, AlreadyPublished, DraftChanged, PlacedUnread.
    """
    with transaction.atomic():
        client = Client.objects.select_for_update().get(pk=block.client_id)
        locked = Block.objects.select_for_update().get(pk=block.pk)
        if not locked.is_draft:
            raise AlreadyPublished
        if version not in {None, locked.version}:
            raise DraftChanged
        if locked.placed and not has_read_placed:
            raise PlacedUnread
        first_day = max(first_day, at.astimezone(client.zone).date(), locked.starts_on)
        start = _require_safe(locked, client, first_day)
        freeze_percentages(locked, client, on=first_day)
        locked.protected_because = _reason_beside_advice(locked, client, first_day, protected_because)
        _freeze(locked, start, by=by, at=at)
        _schedule(locked, client, first_day)
        _write_to(client, locked)
    return locked


def _require_safe(block: Block, client: Client, first_day: datetime.date) -> Start:
    """The rule for "may start", then what this block in particular may not hold."""
    start = require_start(client, on=first_day)
    prescriptions = list(_prescriptions(block))
    if not prescriptions:
        raise EmptyBlock
    # The options count too: the client takes them without asking.
    demands = [demand for prescription in prescriptions for demand in demands_of(prescription)]
    if above := [one.movement.name for one in demands if is_above_ceiling(one, start.ceiling)]:
        raise AboveCeiling(above)
    barred = barred_areas(client, on=first_day)
    if loading := [one.movement.name for one in demands if loaded_areas(one, barred)]:
        raise BarredAreaLoaded(loading)
    return start


def _reason_beside_advice(block: Block, client: Client, first_day: datetime.date, reason: str) -> str:
    """Kept where it is needed: a coach goes against advice with a reason, against a limit never."""
    protected = protected_areas(client, on=first_day)
    demands = [demand for prescription in _prescriptions(block) for demand in demands_of(prescription)]
    stressing = [one.movement.name for one in demands if loaded_areas(one, protected)]
    if stressing and not reason.strip():
        raise ReasonNeeded(stressing)
    return reason.strip() if stressing else ""


def _prescriptions(block: Block) -> Iterable[Prescription]:
    of_block = Prescription.objects.filter(group__section__session__block=block)
    named = ("movement", "easier", "harder")
    return of_block.select_related(*named, *(f"{name}__movement__current" for name in named))


def _freeze(block: Block, start: Start, *, by: User, at: datetime.datetime) -> None:
    Block.objects.filter(lineage=block.lineage, state=BlockState.PUBLISHED).update(state=BlockState.REPLACED)
    block.state = BlockState.PUBLISHED
    block.screening, block.ceiling = start.screening, start.ceiling
    block.published_by, block.published_at = by, at
    decided = ["screening", "ceiling", "protected_because", "published_by", "published_at"]
    block.save(update_fields=["state", *decided])


def _schedule(block: Block, client: Client, first_day: datetime.date) -> None:
    withdrawn = _withdraw(block, client, first_day)
    taken = _taken_slots(block)
    rows = []
    for session in block.sessions.filter(week__lte=block.weeks):
        slot = (session.week, session.lineage)
        former = withdrawn.get(slot)
        day = former.on if former and former.moved_from_id else day_of(block, session)
        if slot not in taken and day >= first_day:
            rows.append(_scheduled(session, client, day, former))
    _excuse(rows)
    if not rows:
        raise NothingToSchedule
    ScheduledSession.objects.bulk_create(rows)


def _excuse(rows: list[ScheduledSession]) -> None:
    """The excuse is about the day, so it holds for whatever comes to stand there."""
    excuses = list(Excuse.objects.counting().filter(client__in={row.client_id for row in rows}))
    for row in rows:
        for excuse in (one for one in excuses if one.first_on <= row.on <= one.last_on):
            row.state, row.reason = SessionState.EXCUSED, excuse.reason


def _withdraw(block: Block, client: Client, first_day: datetime.date) -> dict[Slot, ScheduledSession]:
    """Take back what nobody touched from the first day on; return what this block's former revision had there."""
    untouched = ScheduledSession.objects.of(client).untouched().filter(on__gte=first_day)
    rows = list(untouched.select_related("session__block"))
    ScheduledSession.objects.filter(pk__in=[row.pk for row in rows]).update(
        state=SessionState.WITHDRAWN, changes=F("changes") + 1, changed_at=Now()
    )
    return {_slot(row): row for row in rows if row.session.block.lineage == block.lineage}


def _taken_slots(block: Block) -> set[Slot]:
    """Sessions of this lineage that happened, were touched, or whose day has passed: they stand."""
    standing = ScheduledSession.objects.of(block.client).on_the_plan().filter(session__block__lineage=block.lineage)
    return {_slot(row) for row in standing.select_related("session")}


def _slot(row: ScheduledSession) -> Slot:
    return (row.session.week, row.session.lineage)


def day_of(block: Block, session: BlockSession) -> datetime.date:
    return monday_of(block.starts_on) + datetime.timedelta(weeks=session.week - 1, days=session.weekday)


def _scheduled(
    session: BlockSession, client: Client, day: datetime.date, former: ScheduledSession | None
) -> ScheduledSession:
    row = ScheduledSession(
        practice_id=session.practice_id, client=client, session=session, on=day, time_zone=client.time_zone
    )
    if former:
        # The same appointment: calendars and adherence follow it over revisions.
        row.lineage = former.lineage
        # Its withdrawal was one change, this is the next.
        row.changes = former.changes + 2
    return row


def _write_to(client: Client, block: Block) -> None:
    link = absolute(reverse("my-block", args=[block.uuid]))
    if block.revision > 1:
        subject = _("Your block has changed")
        body = _("Your coach has changed your block. Read what changes and why:\n%(link)s")
    else:
        subject = _("Your next block is ready")
        body = _("Your coach has published your next block. Read what changes and why:\n%(link)s")
    tell_client(client, subject=subject, body=body % {"link": link})
