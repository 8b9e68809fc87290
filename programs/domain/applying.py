"""From a template to a draft, for one client or for several, each on their own."""

import datetime
import uuid
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from django.db import transaction
from django.db.models import Max, Min

from clients.choices import ClientState
from clients.models import Client, User
from programs.choices import BlockState, SetKind
from programs.domain.building import add_filled_sessions, create_block, monday_of
from programs.domain.exchange.sessions import ReadSession
from programs.domain.instead import around
from programs.domain.placing import Own, Placed, Told, place
from programs.domain.templates import Contents
from programs.errors import BegunAlready
from programs.models import Block, BlockSession, BlockTemplate, SetLog

# A load from longer ago says nothing about now.
RECENT = datetime.timedelta(weeks=12)


@dataclass(frozen=True)
class Begun:
    """A new draft. `no_start` says why nothing may be published for this client yet; empty when it may."""

    block: Block
    no_start: str = ""


def begin_from_template(
    template: BlockTemplate,
    contents: Contents,
    client: Client,
    *,
    by: User,
    starts_on: datetime.date,
    today: datetime.date,
    title: str = "",
) -> Begun:
    """Make a draft of a template for one client, all of it or nothing, as the client can do it when the block starts.

    What is not as written is kept with the draft, and read before it is published. Nothing is published, so somebody
    who may not start yet gets a draft too. Raises BegunAlready when the same was asked for before: `contents` are the
    template's, read once for all clients.
    """
    monday = monday_of(starts_on)
    with transaction.atomic():
        client = Client.objects.select_for_update(of=("self",)).select_related("practice").get(pk=client.pk)
        _require_new(template, client, monday)
        found = around(client, on=max(monday, today))
        own = own_amounts(client, found.slugs, on=monday)
        placed = place(contents.sessions, found, contents.movements, own)
        block = create_block(
            client,
            by=by,
            title=title or template.title,
            starts_on=monday,
            weeks=template.weeks,
            deload_week=contents.deload_week,
        )
        _fill(block, template, placed, contents.gone)
    return Begun(block, found.day.no_start)


def own_amounts(client: Client, slugs: Mapping[int, str], *, on: datetime.date) -> dict[str, Own]:
    """What was lifted on the last day of each movement, at most, and the least help; nothing older than RECENT."""
    sets = SetLog.objects.counting().filter(client=client, training_day__range=(on - RECENT, on))
    days = sets.exclude(kind=SetKind.WARM_UP).order_by("training_day").values_list("movement__movement", "training_day")
    found: dict[str, Own] = {}
    for movement, _day, load, help_kg in days.annotate(most=Max("load_kg"), least=Min("assistance_kg")):
        if slug := slugs.get(movement):
            found[slug] = Own(load, help_kg)
    return found


def _require_new(template: BlockTemplate, client: Client, monday: datetime.date) -> None:
    drafts = Block.objects.of(client).filter(state=BlockState.DRAFT, version=0)
    if draft := drafts.filter(template=template, starts_on=monday).first():
        raise BegunAlready(draft.uuid)


def _fill(block: Block, template: BlockTemplate, placed: Placed, gone: Sequence[Told]) -> None:
    block.template = template
    block.placed = [told.as_json() for told in (*placed.told, *gone)]
    block.save(update_fields=["template", "placed"])
    # What is logged joins on lineages, so each client gets their own.
    own: defaultdict[uuid.UUID, uuid.UUID] = defaultdict(uuid.uuid4)
    filled = []
    for n, session in enumerate(placed.sessions):
        rows = [replace(row, lineage=own[row.lineage or uuid.uuid4()]) for row in session.rows]
        filled.append((_session(session, own[session.lineage], n), rows))
    add_filled_sessions(block, filled)


def _session(written: ReadSession, lineage: uuid.UUID, position: int) -> BlockSession:
    return BlockSession(
        lineage=lineage,
        week=written.week,
        weekday=written.weekday,
        position=position,
        name=written.name,
    )


def active_clients(user: User, template: BlockTemplate) -> list[Client]:
    """Whom this coach could give it to."""
    clients = Client.objects.coached_by(user).filter(practice=template.practice_id)
    return list(clients.filter(state=ClientState.ACTIVE, erased_at=None).order_by("name", "pk"))


def open_drafts(user: User, template: BlockTemplate) -> list[Block]:
    """Drafts that came from it and are not published, of this coach's clients."""
    drafts = Block.objects.coached_by(user).filter(template=template, state=BlockState.DRAFT, client__erased_at=None)
    return list(drafts.select_related("client").order_by("client__name", "client_id", "starts_on"))


def first_free_week(client: Client, *, today: datetime.date) -> datetime.date:
    """The Monday after the last published block; the next one where none runs."""
    published = Block.objects.of(client).filter(state=BlockState.PUBLISHED)
    ends = [block.ends_on for block in published]
    return coming_monday(max([today, *(end + datetime.timedelta(days=1) for end in ends)]))


def coming_monday(day: datetime.date) -> datetime.date:
    """A week that has not begun; a Monday itself is one."""
    return day + datetime.timedelta(days=-day.weekday() % 7)
