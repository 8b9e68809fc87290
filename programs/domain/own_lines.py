"""Progression lines of a practice: its own, and its version of a shared one."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter

from django.db import transaction
from django.db.models import QuerySet
from django.utils.text import slugify
from django.utils.translation import gettext_lazy as _

from clients.models import Practice
from methods.bodyweight import Basis, Share
from programs.choices import LoadKind, Measure, Pattern
from programs.errors import LineEditedMeanwhile, LineRefused
from programs.library.checks import line_flaws
from programs.library.schema import Edge, Entry, Line
from programs.models import Movement, ProgressionEdge, ProgressionLine


@dataclass(frozen=True)
class OwnEdge:
    easier: Movement
    harder: Movement
    entry_dose: dict[str, int] = field(default_factory=dict)
    reason: str = ""


def save_line(
    practice: Practice,
    *,
    name: str,
    edges: Iterable[OwnEdge],
    line: ProgressionLine | None = None,
    like: ProgressionLine | None = None,
    seen: int = 0,
) -> ProgressionLine:
    """Keep a line of the practice's own with just these steps; one made like a shared one takes its place here.

    Raises LineEditedMeanwhile, LineRefused.
    """
    edges = tuple(edges)
    with transaction.atomic():
        Practice.objects.select_for_update().get(pk=practice.pk)
        row = _new_line(practice, name, like) if line is None else _locked_line(practice, line, seen)
        if flaws := own_line_flaws(practice, name, edges, in_place_of=row):
            raise LineRefused(flaws)
        row.name, row.version = name, row.version + 1
        row.save()
        ProgressionEdge.objects.filter(line=row).delete()
        ProgressionEdge.objects.bulk_create(
            ProgressionEdge(line=row, easier=e.easier, harder=e.harder, entry_dose=e.entry_dose, reason=e.reason)
            for e in edges
        )
    return row


def _new_line(practice: Practice, name: str, like: ProgressionLine | None) -> ProgressionLine:
    if like is None:
        base = (slugify(name) or "line")[:70]
        taken = set(ProgressionLine.objects.of(practice).values_list("slug", flat=True))
        slug = next(s for s in (base, *(f"{base}-{n}" for n in range(2, len(taken) + 3))) if s not in taken)
        return ProgressionLine(practice=practice, slug=slug, name=name)
    standing = ProgressionLine.objects.filter(practice=practice, slug=like.slug).first()
    if standing is not None:
        raise LineEditedMeanwhile(standing.version)
    return ProgressionLine(practice=practice, slug=like.slug, name=name)


def _locked_line(practice: Practice, line: ProgressionLine, seen: int) -> ProgressionLine:
    row = ProgressionLine.objects.select_for_update(of=("self",)).get(pk=line.pk, practice=practice)
    if row.version != seen:
        raise LineEditedMeanwhile(row.version)
    return row


def remove_line(practice: Practice, line: ProgressionLine) -> None:
    """Without it from now on; a shared line that it stood for is offered again. Raises LineRefused for a circle."""
    with transaction.atomic():
        Practice.objects.select_for_update().get(pk=practice.pk)
        shared = ProgressionEdge.objects.filter(line__practice=None, line__slug=line.slug)
        if _is_circular([*_slugs(_others(practice, line)), *_slugs(shared)]):
            raise LineRefused([str(CIRCLE)])
        ProgressionLine.objects.filter(pk=line.pk, practice=practice).delete()


CIRCLE = _("Together with the other lines this would go in a circle.")


def without_step(edges: Iterable[OwnEdge], step: Movement) -> list[OwnEdge]:
    """The steps of a line when one movement is left out: whatever led to it leads to what it led on to.

    The harder one starts at the dose at which it was entered before. What stood last just ends earlier.
    """
    edges = list(edges)
    into = [edge for edge in edges if edge.harder == step]
    onward = [edge for edge in edges if edge.easier == step]
    kept = {(edge.easier.pk, edge.harder.pk): edge for edge in edges if step not in {edge.easier, edge.harder}}
    for before in into:
        for after in onward:
            bridge = OwnEdge(before.easier, after.harder, after.entry_dose, after.reason)
            kept.setdefault((before.easier.pk, after.harder.pk), bridge)
    return list(kept.values())


def own_line_flaws(
    practice: Practice, name: str, edges: tuple[OwnEdge, ...], *, in_place_of: ProgressionLine
) -> list[str]:
    """The rules of the shipped lines, and no circle together with all other lines of this practice."""
    known = {_key(m): _as_entry(m) for edge in edges for m in (edge.easier, edge.harder)}
    drawn = tuple(Edge(_key(e.easier), _key(e.harder), e.entry_dose, e.reason) for e in edges)
    flaws = list(dict.fromkeys(line_flaws(Line(name, name, drawn), known)))
    if _is_circular([*_slugs(_others(practice, in_place_of)), *((e.easier.slug, e.harder.slug) for e in edges)]):
        flaws.append(str(CIRCLE))
    return [_with_names(flaw, known) for flaw in flaws]


def _others(practice: Practice, line: ProgressionLine) -> QuerySet[ProgressionEdge]:
    """The steps of all other lines that this practice works with: without this one, and without what it stands for."""
    offered = ProgressionEdge.objects.offered_by(practice).exclude(line__practice=None, line__slug=line.slug)
    return offered.exclude(line=line.pk) if line.pk else offered


def _slugs(edges: QuerySet[ProgressionEdge]) -> Iterable[tuple[str, str]]:
    return edges.values_list("easier__slug", "harder__slug")


def _is_circular(steps: Iterable[tuple[str, str]]) -> bool:
    """By slug: a practice's own version stands where the shared movement stood."""
    below: dict[str, set[str]] = {}
    for easier, harder in steps:
        below.setdefault(harder, set()).add(easier)
    try:
        TopologicalSorter(below).prepare()
    except CycleError:
        return True
    return False


def _key(movement: Movement) -> str:
    """Two own movements may share a slug with ours, so steps are told apart by their row."""
    return f"#{movement.pk}#"


def _with_names(flaw: str, known: Mapping[str, Entry]) -> str:
    for key, entry in known.items():
        flaw = flaw.replace(key, entry.name)
    return flaw


def _as_entry(movement: Movement) -> Entry:
    """A stored movement in the shape that the rules of lines look at."""
    now = movement.current
    assert now is not None  # noqa: S101 -- only offered movements get here
    share = None if now.share is None else Share(float(now.share), now.share_source or "own", Basis(now.share_basis))
    return Entry(
        _key(movement),
        now.name,
        Pattern(now.pattern),
        LoadKind(now.load_kind),
        (),
        {},
        (),
        (),
        "",
        "",
        measure=Measure(now.measure),
        share=share,
        one_sided=now.one_sided,
    )
