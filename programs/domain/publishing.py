"""Publishing: the one place where a block starts to count."""

import datetime
from collections.abc import Iterable

from django.db import transaction
from django.db.models import F, Min, Q
from django.db.models.functions import Now
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.choices import ClientState
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
    ClientHasLeft,
    DraftChanged,
    EmptyBlock,
    NothingToSchedule,
    PlacedUnread,
    ReasonNeeded,
)
from programs.models import Block, BlockSession, Excuse, Prescription, ScheduledSession
from programs.models.calendar import ScheduledSessionQuerySet

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

    The former revision's sessions from that day on give way where nobody touched them. So do those of the client's
    other blocks while a new block lasts; a revision leaves other blocks alone (`giving_way`). A day that somebody chose
    for a session stays, and an excused day stays excused, with the new session on it. Everything happens
    once: the client's row is locked, and the second to publish is told. Where a movement stresses an area that the
    client protects, the coach's reason is kept with the block. What a template became for this client is read first.
    `version` is the one that was read, where somebody read it; another one is not published.
    Raises what clients.domain.safety.require_start raises, AboveCeiling, BarredAreaLoaded, ReasonNeeded, EmptyBlock,
    NoReferenceMax, NothingToSchedule, AlreadyPublished, DraftChanged, PlacedUnread, ClientHasLeft.
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
        if client.erased_at is not None or client.state == ClientState.ENDED:
            raise ClientHasLeft
        today = at.astimezone(client.zone).date()
        from_day = max(first_day, today)
        first_day = max(from_day, locked.starts_on)
        start = _require_safe(locked, client, first_day)
        freeze_percentages(locked, client, on=first_day)
        locked.protected_because = _reason_beside_advice(locked, client, first_day, protected_because)
        _freeze(locked, start, by=by, at=at)
        _schedule(locked, client, from_day, today=today)
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


def _schedule(block: Block, client: Client, from_day: datetime.date, *, today: datetime.date) -> None:
    """Put the block's sessions on their days, in the place of what gives way from that day on.

    Of a block that is put off, what stands before its new start gives way too.
    """
    first_day = max(from_day, block.starts_on)
    before_its_start = Q(on__gte=today, on__lt=block.starts_on)
    ours = ScheduledSession.objects.of(client).filter(session__block__lineage=block.lineage)
    _withdraw(ours.filter(Q(on__gte=from_day) | before_its_start))
    _withdraw(giving_way(block, from_day=first_day))
    later = later_blocks(block)
    taken, former = _taken_slots(block), _former_rows(block)
    rows = []
    # A session without a movement is none.
    filled = Prescription.objects.filter(group__section__session__block=block).values("group__section__session")
    for session in block.sessions.filter(week__lte=block.weeks, pk__in=filled):
        slot = (session.week, session.lineage)
        day = _chosen_day(former.get(slot), block, session, first_day) or day_of(block, session)
        if (
            slot not in taken
            and day >= first_day
            and not any(other.starts_on <= day <= other.ends_on for other in later)
        ):
            rows.append(_scheduled(session, client, day, former.get(slot)))
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


def _withdraw(sessions: ScheduledSessionQuerySet) -> None:
    """Take back those of them that nobody touched."""
    found = sessions.untouched().values_list("pk", flat=True)
    ScheduledSession.objects.filter(pk__in=list(found)).update(
        state=SessionState.WITHDRAWN, changes=F("changes") + 1, changed_at=Now()
    )


def giving_way(block: Block, *, from_day: datetime.date) -> ScheduledSessionQuerySet:
    """Untouched sessions of the client's other blocks in whose place this one comes: while it lasts, and only when it
    is new. A revision leaves other blocks as they are."""
    others = ScheduledSession.objects.filter(client=block.client_id).untouched()
    if block.revision > 1:
        return others.none()
    return others.exclude(session__block__lineage=block.lineage).between(from_day, block.ends_on)


def later_blocks(block: Block) -> list[Block]:
    """Blocks that came after this one was first published: the days from their first to their last are theirs."""
    if block.revision == 1:
        return []
    lineages = Block.objects.filter(client=block.client_id, published_at__isnull=False).values("lineage")
    firsts = lineages.annotate(at=Min("published_at"), key=Min("pk")).order_by().values_list("lineage", "at", "key")
    begun = {lineage: (at, key) for lineage, at, key in firsts}
    published = Block.objects.filter(client=block.client_id, state=BlockState.PUBLISHED).exclude(lineage=block.lineage)
    return [other for other in published if begun[other.lineage] > begun[block.lineage]]


def _former_rows(block: Block) -> dict[Slot, ScheduledSession]:
    """The newest row of each session of this lineage that was taken back, now or earlier: the same appointment."""
    withdrawn = ScheduledSession.objects.filter(
        client=block.client_id, state=SessionState.WITHDRAWN, session__block__lineage=block.lineage
    )
    return {_slot(row): row for row in withdrawn.select_related("session__block").order_by("pk")}


def _chosen_day(
    former: ScheduledSession | None, block: Block, session: BlockSession, first_day: datetime.date
) -> datetime.date | None:
    """The day that somebody moved a session to, over any number of revisions. A block that begins at another time
    takes it along only within its week."""
    if former is None or former.on < first_day or former.on == day_of(former.session.block, former.session):
        return None
    is_put_off = former.session.block.starts_on != block.starts_on
    week = day_of(block, session) - datetime.timedelta(days=session.weekday)
    is_within = week <= former.on < week + datetime.timedelta(weeks=1)
    return former.on if is_within or not is_put_off else None


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
        row.changes = former.changes + 1
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
