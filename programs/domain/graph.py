"""Movements as the resolver sees them: plain, frozen, read once for a practice and a state of the library."""

from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from uuid import UUID

from clients.models import Practice
from programs.choices import LoadKind, Pattern
from programs.domain.fitting import Details
from programs.library import LINES, MOVEMENTS
from programs.library.schema import Entry, Line
from programs.models import Movement, MovementRevision, ProgressionEdge

# House rule, from how coaches swap: what can stand in for what where its relative load is known to be lower.
RELATED: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        Pattern.VERTICAL_PULL.value: frozenset({Pattern.HORIZONTAL_PULL.value}),
        Pattern.HORIZONTAL_PULL.value: frozenset({Pattern.VERTICAL_PULL.value}),
        Pattern.HORIZONTAL_PUSH.value: frozenset({Pattern.DIP.value, Pattern.VERTICAL_PUSH.value}),
        Pattern.VERTICAL_PUSH.value: frozenset({Pattern.HORIZONTAL_PUSH.value, Pattern.DIP.value}),
        Pattern.DIP.value: frozenset({Pattern.HORIZONTAL_PUSH.value, Pattern.VERTICAL_PUSH.value}),
        Pattern.SQUAT.value: frozenset({Pattern.HINGE.value}),
        Pattern.HINGE.value: frozenset({Pattern.SQUAT.value}),
    }
)
# Help and added weight make a load that the share alone does not tell.
_LOAD_IS_SHARE = frozenset({LoadKind.BODY_FULL.value, LoadKind.BODY_SHARE.value, LoadKind.BODY_PLUS.value})
# Two shares of different sources differ by less than this without meaning anything (house rule).
CLEARLY_LESS = 0.95
TOLERANCE = 1.02


@dataclass(frozen=True, slots=True)
class Entered:
    """The dose that a movement starts at when it is reached from below. None where the line does not say."""

    sets: int | None = None
    amount_low: int | None = None
    amount_high: int | None = None
    target_rir: float | None = None


@dataclass(frozen=True, slots=True)
class Known:
    """One movement, with what the resolver has to know of it and nothing else."""

    slug: str
    name: str
    pattern: str
    measure: str
    load_kind: str
    ways: tuple[frozenset[str], ...] = ()
    areas: frozenset[str] = frozenset()
    share: float | None = None
    one_sided: bool = False
    vigorous: bool = False
    # Only lowered, or lowered long: sore muscles follow the first sessions.
    lowering: bool = False
    uuid: UUID | None = None
    revision_id: int | None = None
    revision_uuid: UUID | None = None
    # What its things have to be like (programs.domain.fitting).
    details: Details = field(default_factory=dict)

    @property
    def side_load(self) -> float | None:
        """The share of body mass that one side carries; None where a share does not tell how heavy it is."""
        if self.share is None or self.lowering or self.load_kind not in _LOAD_IS_SHARE:
            return None
        return self.share * 2 if self.one_sided else self.share


@dataclass(frozen=True, slots=True)
class Link:
    easier: str
    harder: str
    entry: Entered = Entered()


@dataclass(frozen=True, slots=True)
class Option:
    """A movement that could take another's place. `entry` is the dose of the step, where one leads up to it."""

    movement: Known
    entry: Entered | None = None


@dataclass(frozen=True)
class Graph:
    """All movements of a practice and the steps between them. Nothing in it changes after it was made."""

    movements: Mapping[str, Known]
    links: tuple[Link, ...]
    _easier: dict[str, tuple[Option, ...]] = field(default_factory=dict, compare=False, repr=False)
    _harder: dict[str, tuple[Option, ...]] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def _down(self) -> dict[str, tuple[str, ...]]:
        found: dict[str, dict[str, None]] = {}
        for link in self.links:
            found.setdefault(link.harder, {})[link.easier] = None
        return {slug: tuple(ways) for slug, ways in found.items()}

    @cached_property
    def _up(self) -> dict[str, tuple[Link, ...]]:
        found: dict[str, list[Link]] = {}
        for link in self.links:
            found.setdefault(link.easier, []).append(link)
        return {slug: tuple(ways) for slug, ways in found.items()}

    @cached_property
    def entries(self) -> dict[str, tuple[Entered, ...]]:
        """The doses at which each movement is entered from below."""
        found: dict[str, list[Entered]] = {}
        for link in self.links:
            found.setdefault(link.harder, []).append(link.entry)
        return {slug: tuple(entries) for slug, entries in found.items()}

    def steps_down(self, slug: str) -> dict[str, int]:
        """Everything below a movement on its lines, with the fewest steps to it."""
        return _distances(slug, lambda at: self._down.get(at, ()))

    def steps_up(self, slug: str) -> dict[str, int]:
        return _distances(slug, lambda at: tuple(link.harder for link in self._up.get(at, ())))

    def easier_than(self, slug: str) -> tuple[Option, ...]:
        """What is not harder than a movement, nearest first: by relative load where both are known, else by steps."""
        if slug not in self._easier:
            self._easier[slug] = self._sorted_easier(self.movements[slug])
        return self._easier[slug]

    def _sorted_easier(self, source: Known) -> tuple[Option, ...]:
        down, up = self.steps_down(source.slug), self.steps_up(source.slug)
        below = [
            other
            for other in self.movements.values()
            if other.slug not in up and other.slug != source.slug and is_not_harder(other, source, down)
        ]
        return tuple(Option(other) for other in sorted(below, key=lambda other: nearness(other, source, down)))

    def harder_than(self, slug: str) -> tuple[Option, ...]:
        """One step up on each line, the same pattern first. Steps are not skipped."""
        if slug not in self._harder:
            source = self.movements[slug]
            found = [Option(self.movements[link.harder], link.entry) for link in self._up.get(slug, ())]
            found.sort(key=lambda option: nearness(option.movement, source, {}))
            once: dict[str, Option] = {}
            for option in found:
                once.setdefault(option.movement.slug, option)
            self._harder[slug] = tuple(once.values())
        return self._harder[slug]


def _distances(start: str, following: Callable[[str], Iterable[str]]) -> dict[str, int]:
    found = {start: 0}
    reached = [start]
    while reached:
        next_ones = dict.fromkeys(there for at in reached for there in following(at) if there not in found)
        found.update((there, found[reached[0]] + 1) for there in next_ones)
        reached = list(next_ones)
    del found[start]
    return found


def is_not_harder(other: Known, source: Known, down: Mapping[str, int]) -> bool:
    """Below on a line and not contradicted by its share; else clearly lighter, in the same or a related pattern."""
    theirs, ours = other.side_load, source.side_load
    comparable = theirs is not None and ours is not None and other.measure == source.measure
    if other.slug in down:
        return not comparable or theirs <= ours * TOLERANCE  # type: ignore[operator]
    if not comparable or (other.vigorous and not source.vigorous):
        return False
    kin = other.pattern == source.pattern or other.pattern in RELATED.get(source.pattern, frozenset())
    return kin and theirs <= ours * CLEARLY_LESS  # type: ignore[operator]


def nearness(other: Known, source: Known, down: Mapping[str, int]) -> tuple[int, int, float, int, str]:
    """Sorts the nearest first: same pattern, then the gap in relative load where known, then steps."""
    theirs, ours = other.side_load, source.side_load
    known = theirs is not None and ours is not None and other.measure == source.measure
    gap = round(abs(ours - theirs), 4) if known else 0.0  # type: ignore[operator]
    return (other.pattern != source.pattern, not known, gap, down.get(other.slug, 99), other.slug)


def graph_from(movements: Iterable[Known], links: Iterable[Link]) -> Graph:
    known = {movement.slug: movement for movement in movements}
    return Graph(
        MappingProxyType(known), tuple(link for link in links if link.easier in known and link.harder in known)
    )


_CACHE: OrderedDict[tuple[object, ...], Graph] = OrderedDict()
_MOST_CACHED = 16


def graph_of(practice: Practice) -> tuple[Graph, dict[int, str]]:
    """The graph of a practice, and the slug of every movement by its key.

    Three small queries say whether the one in memory still holds; else it is read again.
    """
    edges = ProgressionEdge.objects.offered_by(practice)
    rows = tuple(
        (easier, harder, Entered(**_entered(dose)))
        for easier, harder, dose in edges.order_by("line__name", "pk").values_list("easier", "harder", "entry_dose")
    )
    slugs = dict(Movement.objects.of(practice).values_list("pk", "slug"))
    # By their random ids: a database that was restored or emptied counts its keys from the start.
    offered = tuple(Movement.objects.offered_by(practice).order_by("pk").values_list("uuid", "current__uuid"))
    key = (practice.uuid, offered, rows)
    if key not in _CACHE:
        _CACHE[key] = _read(practice, rows, slugs)
        while len(_CACHE) > _MOST_CACHED:
            _CACHE.popitem(last=False)
    return _CACHE[key], slugs


def _entered(dose: Mapping[str, int]) -> dict[str, int]:
    return {name: dose[name] for name in Entered.__dataclass_fields__ if name in dose}


def _read(practice: Practice, rows: Iterable[tuple[int, int, Entered]], slugs: Mapping[int, str]) -> Graph:
    """An edge of the shared library leads to the practice's own version where there is one."""
    movements = Movement.objects.offered_by(practice).exclude(current=None).select_related("current").order_by("pk")
    links = (Link(slugs[easier], slugs[harder], entry) for easier, harder, entry in rows)
    return graph_from((known_of_revision(m.slug, m.current, m.uuid) for m in movements if m.current), links)


def known_of_revision(slug: str, revision: MovementRevision, uuid: UUID | None = None) -> Known:
    return Known(
        slug=slug,
        name=revision.name,
        pattern=revision.pattern,
        measure=revision.measure,
        load_kind=revision.load_kind,
        ways=tuple(frozenset(way) for way in revision.equipment),
        areas=frozenset(revision.areas),
        share=None if revision.share is None else float(revision.share),
        one_sided=revision.one_sided,
        vigorous=revision.vigorous,
        lowering=revision.lowering,
        uuid=uuid,
        revision_id=revision.pk,
        revision_uuid=revision.uuid,
        details=revision.details,
    )


def shipped_graph(entries: Iterable[Entry] = MOVEMENTS, lines: Iterable[Line] = LINES) -> Graph:
    """The library as it ships, without a database: for benches and for what is proved about it."""
    links = (Link(e.easier, e.harder, Entered(**_entered(e.entry_dose))) for line in lines for e in line.edges)
    return graph_from((_shipped(entry) for entry in entries), links)


def _shipped(entry: Entry) -> Known:
    return Known(
        slug=entry.slug,
        name=entry.name,
        pattern=entry.pattern.value,
        measure=entry.measure.value,
        load_kind=entry.load_kind.value,
        ways=tuple(frozenset(kind.value for kind in way) for way in entry.equipment),
        areas=frozenset(area.value for area in entry.areas),
        # As the database keeps it.
        share=None if entry.share is None else round(entry.share.value, 4),
        one_sided=entry.one_sided,
        vigorous=entry.vigorous,
        lowering=entry.lowering,
        details={kind.value: dict(wanted) for kind, wanted in entry.details.items()},
    )


def forget() -> None:
    """Read every library again when it is next asked for."""
    _CACHE.clear()
