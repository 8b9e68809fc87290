"""What changes from one block to the next, in words."""

import uuid
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from programs.domain.dosing import dose_parts, dose_words
from programs.models import Block, Prescription


@dataclass(frozen=True)
class Change:
    """One part of a dose (or the movement) that is different; `weeks` only when not all weeks change alike."""

    part: str
    was: str
    now: str
    weeks: tuple[int, ...] = ()


@dataclass(frozen=True)
class Changed:
    movement: str
    changes: tuple[Change, ...]
    reason: str


@dataclass(frozen=True)
class Listed:
    """A prescription that is new or gone, at its first dose."""

    movement: str
    dose: str
    reason: str = ""


@dataclass(frozen=True)
class Difference:
    changed: list[Changed] = field(default_factory=list)
    added: list[Listed] = field(default_factory=list)
    removed: list[Listed] = field(default_factory=list)

    def __bool__(self) -> bool:
        return bool(self.changed or self.added or self.removed)


ByWeek = dict[int, Prescription]


def base_of(block: Block) -> Block | None:
    """What a block is compared with: the revision it replaces, else the block before it."""
    former = Block.objects.filter(lineage=block.lineage, revision__lt=block.revision).order_by("-revision").first()
    return former or block.previous


def difference(was: Block, now: Block) -> Difference:
    """Compare two blocks prescription by prescription, joined by lineage, week by week."""
    before, after = _by_lineage(was), _by_lineage(now)
    changed = [_changed(before[lineage], after[lineage]) for lineage in after if lineage in before]
    return Difference(
        changed=[entry for entry in changed if entry.changes or entry.reason],
        added=[_listed(weeks) for lineage, weeks in after.items() if lineage not in before],
        removed=[_listed(weeks) for lineage, weeks in before.items() if lineage not in after],
    )


def _by_lineage(block: Block) -> dict[uuid.UUID, ByWeek]:
    found: dict[uuid.UUID, ByWeek] = defaultdict(dict)
    rows = Prescription.objects.filter(
        group__section__session__block=block, group__section__session__week__lte=block.weeks
    ).select_related("movement", "group__section__session")
    order = ("group__section__session__week", "group__section__session__weekday", "group__section__session__position")
    for row in rows.order_by(*order, "group__section__position", "group__position", "position"):
        found[row.lineage].setdefault(row.group.section.session.week, row)
    return found


def _listed(weeks: ByWeek) -> Listed:
    first = weeks[min(weeks)]
    return Listed(first.movement.name, dose_words(first), first.change_reason)


def _changed(before: ByWeek, after: ByWeek) -> Changed:
    shared = sorted(set(before) & set(after))
    # Blocks that share no week are compared by their ends: where the one stopped, the other starts.
    pairs = [(before[w], after[w], w) for w in shared] or [(before[max(before)], after[min(after)], min(after))]
    weeks: dict[tuple[str, str, str], list[int]] = defaultdict(list)
    for old, new, week in pairs:
        for part, was, now in _different_parts(old, new):
            weeks[part, was, now].append(week)
    changes = [Change(*key, weeks=() if len(at) == len(pairs) else tuple(at)) for key, at in weeks.items()]
    reasons = dict.fromkeys(p.change_reason for p in after.values() if p.change_reason)
    return Changed(after[min(after)].movement.name, tuple(changes), " ".join(reasons))


def _different_parts(old: Prescription, new: Prescription) -> Iterator[tuple[str, str, str]]:
    if old.movement.movement_id != new.movement.movement_id:
        yield _("movement"), old.movement.name, new.movement.name
    was, now = dose_parts(old), dose_parts(new)
    for part, label in _part_labels().items():
        if was[part] != now[part]:
            yield label, was[part] or _("not set"), now[part] or _("not set")


def _part_labels() -> dict[str, str]:
    return {
        "sets": _("sets"),
        "amount": _("amount"),
        "scheme": _("scheme"),
        "side": _("sides"),
        "load": _("load"),
        "effort": _("effort"),
        "tempo": _("tempo"),
        "rest": _("rest"),
        "grip": _("grip"),
    }
