"""The movement library: loading it, what is easier or harder, and what a client can do with what is there."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction
from django.db.models import OuterRef, Subquery

from clients.choices import ItemKind
from clients.domain.chairs import chairs_carry
from clients.domain.equipment import ALWAYS_THERE, counts_on, items_at
from clients.models import Client, Place, Practice
from programs.domain.fitting import Things
from programs.domain.graph import known_of_revision
from programs.domain.resolving import Day, set_up_words
from programs.library import LINES, MOVEMENTS
from programs.library.checks import check_library
from programs.library.schema import Entry, Line
from programs.models import Movement, MovementRevision, ProgressionEdge, ProgressionLine


@dataclass(frozen=True)
class Loaded:
    added: int
    revised: int
    unchanged: int


@transaction.atomic
def load_library(entries: Iterable[Entry] = MOVEMENTS, lines: Iterable[Line] = LINES) -> Loaded:
    """Bring the shared library up to date. Loading twice changes nothing.

    A changed entry becomes a new revision; what was prescribed and logged keeps pointing at the old one. Lines follow
    the library, edges that left it are dropped. Raises LibraryFlaw with all that is wrong, before anything is written.
    """
    entries, lines = tuple(entries), tuple(lines)
    check_library(entries, lines)
    known = {m.slug: m for m in Movement.objects.filter(practice=None).select_related("current")}
    had_revision = {slug for slug, movement in known.items() if movement.current is not None}
    changed = [entry for entry in entries if entry.slug not in had_revision or _differs(entry, known[entry.slug])]
    known |= _add_movements([entry.slug for entry in changed if entry.slug not in known])
    _revise([(known[entry.slug], revision_facts(entry)) for entry in changed])
    for line in lines:
        _load_line(line, known)
    revised = sum(entry.slug in had_revision for entry in changed)
    return Loaded(added=len(changed) - revised, revised=revised, unchanged=len(entries) - len(changed))


def _differs(entry: Entry, movement: Movement) -> bool:
    return any(getattr(movement.current, name) != value for name, value in revision_facts(entry).items())


def _add_movements(slugs: list[str]) -> dict[str, Movement]:
    return {made.slug: made for made in Movement.objects.bulk_create([Movement(slug=slug) for slug in slugs])}


def _revise(changes: list[tuple[Movement, dict[str, Any]]]) -> None:
    MovementRevision.objects.bulk_create(
        [
            MovementRevision(movement=movement, number=movement.current.number + 1 if movement.current else 1, **facts)
            for movement, facts in changes
        ]
    )
    newest = MovementRevision.objects.filter(movement=OuterRef("pk")).order_by("-number").values("pk")[:1]
    Movement.objects.filter(pk__in=[movement.pk for movement, _facts in changes]).update(current=Subquery(newest))


def revision_facts(entry: Entry) -> dict[str, object]:
    """An entry as the columns of a revision, in the types that the database gives back."""
    share = entry.share
    return {
        "name": entry.name,
        "pattern": entry.pattern.value,
        "measure": entry.measure.value,
        "one_sided": entry.one_sided,
        "load_kind": entry.load_kind.value,
        "share": None if share is None else MovementRevision._meta.get_field("share").to_python(f"{share.value:.4f}"),
        "share_basis": "" if share is None else share.basis.value,
        "share_source": "" if share is None else share.source,
        "equipment": [[kind.value for kind in together] for together in entry.equipment],
        "details": _details_of(entry),
        "grips": [grip.value for grip in entry.grips],
        "muscles": {muscle.value: part for muscle, part in entry.muscles.items()},
        "areas": [area.value for area in entry.areas],
        "cautions": list(entry.cautions),
        "caution_codes": entry.caution_codes,
        "cues": list(entry.cues),
        "set_up": entry.set_up,
        "film_from": entry.film_from,
        "vigorous": entry.vigorous,
        "lowering": entry.lowering,
    }


def _details_of(entry: Entry) -> dict[str, dict[str, object]]:
    return {
        kind.value: {code: list(least) if isinstance(least, tuple) else least for code, least in wanted.items()}
        for kind, wanted in entry.details.items()
    }


def _load_line(line: Line, known: dict[str, Movement]) -> None:
    row, _created = ProgressionLine.objects.update_or_create(
        practice=None, slug=line.slug, defaults={"name": line.name}
    )
    wanted = {
        (known[e.easier].pk, known[e.harder].pk): {"entry_dose": e.entry_dose, "reason": e.reason} for e in line.edges
    }
    standing = {(edge.easier_id, edge.harder_id): edge for edge in row.edges.all()}
    for ends, edge in standing.items():
        _follow(edge, wanted.get(ends))
    ProgressionEdge.objects.bulk_create(
        [
            ProgressionEdge(line=row, easier_id=easier, harder_id=harder, **facts)
            for (easier, harder), facts in wanted.items()
            if (easier, harder) not in standing
        ]
    )


def _follow(edge: ProgressionEdge, facts: dict[str, Any] | None) -> None:
    if facts is None:
        edge.delete()
    elif (edge.entry_dose, edge.reason) != (facts["entry_dose"], facts["reason"]):
        ProgressionEdge.objects.filter(pk=edge.pk).update(**facts)


@dataclass(frozen=True)
class Step:
    """A neighbour on a line. The dose is the one to start the movement at, when one comes from below."""

    line: str
    movement: Movement
    entry_dose: dict[str, int]
    reason: str = ""


@dataclass(frozen=True)
class Neighbours:
    easier: list[Step]
    harder: list[Step]


def easier_and_harder(movement: Movement, practice: Practice | None) -> Neighbours:
    """One step down and one step up, on every line of the shared library and the practice's own."""
    edges = ProgressionEdge.objects.select_related("line", "easier__current", "harder__current").order_by(
        "line__name", "pk"
    )
    edges = edges.offered_by(practice)
    return Neighbours(
        [Step(e.line.name, e.easier, e.entry_dose, e.reason) for e in edges.filter(harder__slug=movement.slug)],
        [Step(e.line.name, e.harder, e.entry_dose, e.reason) for e in edges.filter(easier__slug=movement.slug)],
    )


@dataclass(frozen=True)
class AtHand:
    """What is at a place, and which of it may bear weight or a body."""

    present: frozenset[str]
    usable: frozenset[str]
    # What the client told of each thing, by its kind.
    things: Things = field(default_factory=dict)
    # The coach allows sturdy chairs there to carry a dip or a row.
    chairs_carry: bool = False

    @property
    def unchecked(self) -> frozenset[str]:
        return self.present - self.usable


def at_hand(client: Client, *, on: datetime.date, place: Place | None = None) -> AtHand:
    """What a client has at a place on a day, the default place when none is named."""
    items = items_at(client, place)
    present = {item.kind for item in items}
    usable = {item.kind for item in items if counts_on(item, on)}
    things: dict[str, list[dict[str, Any]]] = {}
    for item in items:
        things.setdefault(item.kind, []).append(item.attributes)
    return AtHand(
        frozenset(present) | ALWAYS_THERE,
        frozenset(usable) | ALWAYS_THERE,
        things,
        chairs_carry=ItemKind.CHAIR in usable and chairs_carry(client, place),
    )


def why_not(revision: MovementRevision, there: AtHand) -> str:
    """What keeps a client from this movement at this place, in words; empty when nothing does."""
    day = Day(present=there.present, usable=there.usable, things=there.things, chairs_carry=there.chairs_carry)
    return set_up_words(known_of_revision("", revision), day)


def current_movements(practice: Practice) -> dict[str, MovementRevision]:
    """Every movement a coach of this practice can prescribe, by name in small letters; its own win over shared ones."""
    movements = Movement.objects.offered_by(practice).exclude(current=None).select_related("current")
    rows = sorted(movements, key=lambda m: m.practice_id is not None)
    for movement in rows:
        if movement.current is not None:
            # The way back, which would be a query for each.
            movement.current.movement = movement
    return {m.current.name.lower(): m.current for m in rows if m.current}
