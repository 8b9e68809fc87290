"""The resolver once more: slow, by brute force over every movement, written from the rules and from nothing else."""

from clients.choices import Ceiling
from programs.domain.intensity import needed_ceiling

KIN = {
    ("vpull", "hpull"), ("hpull", "vpull"), ("hpush", "dip"), ("hpush", "vpush"), ("vpush", "hpush"), ("vpush", "dip"),
    ("dip", "hpush"), ("dip", "vpush"), ("squat", "hinge"), ("hinge", "squat"),
}  # fmt: skip
BEARS = {"bar", "low_bar", "rings", "straps", "dip_bars", "parallettes", "table", "pole", "climbing_rope"}
ORDER = ["none", "light", "moderate", "vigorous"]


def can_do(movement, dose, day):
    """Whether this movement at this dose is possible for this client today, one rule after another."""
    if day.no_start or day.ceiling == "none":
        return False
    for area in movement.areas:
        if area in day.barred:
            return False
    if movement.ways:
        steady = 0
        for way in movement.ways:
            if any(thing not in day.usable for thing in way):
                continue
            if any(
                too_little(movement.details[thing], day.things.get(thing, []))
                for thing in way
                if thing in movement.details
            ):
                continue
            on_chairs = "chair" in way and not any(thing in BEARS for thing in way)
            if on_chairs and movement.pattern in ("dip", "hpull") and not day.chairs_carry:
                continue
            steady += 1
        if steady == 0:
            return False
    needed = needed_ceiling(movement, dose.kind, target_rir=dose.target_rir, target_rpe=dose.target_rpe)
    return ORDER.index(Ceiling(needed).value) <= ORDER.index(day.ceiling)


def too_little(wanted, things):
    """Whether all things of a kind are known to be too low, too light or of another strength."""
    lacking = 0
    for thing in things:
        for code, least in wanted.items():
            told = thing.get(code)
            if told in (None, []):
                continue
            if isinstance(least, (list, tuple)):
                bad = not [level for level in told if level in least]
            else:
                bad = (max(told) if isinstance(told, list) else told) < least
            if bad:
                lacking += 1
                break
    return bool(things) and lacking == len(things)


def shortest_paths(graph):
    """Steps from every movement down to every other, by relaxing until nothing changes."""
    steps = {(link.harder, link.easier): 1 for link in graph.links}
    changed = True
    while changed:
        changed = False
        for (top, middle), first in list(steps.items()):
            for link in graph.links:
                if link.harder == middle and link.easier != top and steps.get((top, link.easier), 99) > first + 1:
                    steps[(top, link.easier)] = first + 1
                    changed = True
    return steps


def load_on_a_side(movement):
    if movement.share is None or movement.lowering or movement.load_kind in ("assisted", "external", "lever", "band"):
        return None
    return movement.share * (2 if movement.one_sided else 1)


def not_harder(other, source, steps):
    ours, theirs = load_on_a_side(source), load_on_a_side(other)
    known = ours is not None and theirs is not None and source.measure == other.measure
    if (other.slug, source.slug) in steps:
        return False
    if (source.slug, other.slug) in steps:
        return not (known and theirs > 1.02 * ours)
    if other.vigorous and not source.vigorous:
        return False
    is_kin = other.pattern == source.pattern or (source.pattern, other.pattern) in KIN
    return known and is_kin and theirs <= 0.95 * ours


def best_easier(source, graph, steps, possible):
    """The slug that must be chosen among the possible ones below, or None."""
    found = None
    for other in graph.movements.values():
        if other.slug == source.slug or not not_harder(other, source, steps) or not possible(other):
            continue
        ours, theirs = load_on_a_side(source), load_on_a_side(other)
        known = ours is not None and theirs is not None and source.measure == other.measure
        rank = (
            0 if other.pattern == source.pattern else 1,
            0 if known else 1,
            round(abs(ours - theirs), 4) if known else 0,
            steps.get((source.slug, other.slug), 99),
            other.slug,
        )
        if found is None or rank < found[0]:
            found = (rank, other.slug)
    return found and found[1]


def best_harder(source, graph, possible):
    found = None
    for link in graph.links:
        if link.easier != source.slug or not possible(graph.movements[link.harder]):
            continue
        other = graph.movements[link.harder]
        ours, theirs = load_on_a_side(source), load_on_a_side(other)
        known = ours is not None and theirs is not None and source.measure == other.measure
        gap = round(abs(ours - theirs), 4) if known else 0
        rank = (other.pattern != source.pattern, not known, gap, other.slug)
        if found is None or rank < found[0]:
            found = (rank, other.slug)
    return found and found[1]
