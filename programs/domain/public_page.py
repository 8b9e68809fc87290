"""What the page of a public session shows to one visitor; a constant number of queries, and nothing is kept."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import count

from clients.models import Practice
from programs.domain.adapting import Adapted, Shown, ShownGroup, adapt, all_things, own_things, planned_in
from programs.domain.exchange.writing import Document
from programs.domain.graph import Graph, Known, graph_from, graph_of, known_of_revision
from programs.domain.picture import Picture, picture_of
from programs.domain.timing import clock_of
from programs.domain.visitor import Tick, TickGroup, Visitor, area_ticks, strength_ticks, thing_ticks, visitor_of
from programs.models import Movement, MovementRevision


@dataclass(frozen=True)
class Card:
    """A movement with what the library says of it."""

    shown: Shown
    # Counted through the page.
    number: int = 0
    revision: MovementRevision | None = None
    picture: Picture | None = None


@dataclass(frozen=True)
class CardGroup:
    words: str
    cards: list[Card]
    clock_s: int | None = None
    clock_rounds: int = 1


@dataclass(frozen=True)
class CardSection:
    label: str
    groups: list[CardGroup]


@dataclass(frozen=True)
class PublicPage:
    adapted: Adapted
    visitor: Visitor
    sections: list[CardSection] = field(default_factory=list)
    things: list[TickGroup] = field(default_factory=list)

    @property
    def strengths(self) -> list[Tick]:
        return strength_ticks(self.visitor)

    @property
    def areas(self) -> list[Tick]:
        return area_ticks(self.visitor)

    @property
    def number_shown(self) -> int:
        return len(self.adapted.shown)

    @property
    def number_left_out(self) -> int:
        return len(self.adapted.left_out)

    @property
    def wants_a_test(self) -> bool:
        return any(tick.wants_a_test for group in self.things for tick in group.ticks)


def public_page(
    document: Document, practice: Practice, asked: Mapping[str, Sequence[str]], own_revisions: Mapping[str, str]
) -> PublicPage:
    """A document as this practice's library resolves it for whoever asks so.

    Of the practice's own movements only those that were published with it: `own_revisions`, slug to uuid.
    """
    graph = public_graph(practice, own_revisions)
    planned = planned_in(document, graph)
    own = own_things(planned)
    visitor = visitor_of(asked, own_things=own)
    adapted = adapt(planned, graph, visitor)
    revisions, numbers = _revisions(adapted.shown), count(1)
    sections = [
        CardSection(section.label, [_group(group, numbers, revisions) for group in section.groups])
        for section in adapted.sections
    ]
    return PublicPage(adapted, visitor, sections, thing_ticks(all_things(planned, graph), visitor))


def public_graph(practice: Practice, own_revisions: Mapping[str, str]) -> Graph:
    """The practice's graph for others: its own movements as somebody read them, else the shared ones, else none."""
    graph, _slugs = graph_of(practice)
    own = {one.slug: one for one in Movement.objects.filter(practice=practice).select_related("current")}
    read = MovementRevision.objects.filter(uuid__in=own_revisions.values(), movement__practice=practice)
    published = {one.movement.slug: one for one in read.select_related("movement")}
    shared = Movement.objects.filter(practice=None, slug__in=own).exclude(current=None).select_related("current")
    instead = {one.slug: known_of_revision(one.slug, one.current, one.uuid) for one in shared if one.current}
    for slug, revision in published.items():
        if slug in graph.movements:
            instead[slug] = _as_safe_as_now(known_of_revision(slug, revision, own[slug].uuid), graph.movements[slug])
    offered = (instead.get(slug) if slug in own else known for slug, known in graph.movements.items())
    return graph_from((known for known in offered if known is not None), graph.links)


def _as_safe_as_now(read: Known, now: Known) -> Known:
    """What was learnt of a movement since keeps it from people, though its texts stay as they were read."""
    return replace(read, areas=read.areas | now.areas, vigorous=read.vigorous or now.vigorous)


def _revisions(shown: Iterable[Shown]) -> dict[int, MovementRevision]:
    keys = {one.dose.movement.revision_id for one in shown if one.dose is not None}
    return MovementRevision.objects.select_related("movement").in_bulk([key for key in keys if key is not None])


def _group(group: ShownGroup, numbers: Iterator[int], revisions: Mapping[int, MovementRevision]) -> CardGroup:
    cards = [_card(one, next(numbers), revisions) for one in group.members]
    return CardGroup(group.words, cards, *clock_of(group.doses))


def _card(shown: Shown, number: int, revisions: Mapping[int, MovementRevision]) -> Card:
    key = shown.dose.movement.revision_id if shown.dose is not None else None
    revision = revisions.get(key) if key is not None else None
    if revision is None:
        return Card(shown, number)
    is_shared = revision.movement.practice_id is None
    return Card(shown, number, revision, picture_of(revision.movement.slug) if is_shared else None)
