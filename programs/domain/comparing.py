"""What changes from one block to the next, in words."""

import uuid
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from django.db.models import Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clients.choices import Weekday
from programs.choices import BY_THE_CLOCK
from programs.domain.dosing import dose_parts, dose_words
from programs.models import Block, BlockSession, Prescription


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
    # How long the block is, and which sessions stand on which days.
    frame: list[Change] = field(default_factory=list)
    changed: list[Changed] = field(default_factory=list)
    added: list[Listed] = field(default_factory=list)
    removed: list[Listed] = field(default_factory=list)

    def __bool__(self) -> bool:
        return bool(self.frame or self.changed or self.added or self.removed)


ByWeek = dict[int, Prescription]
Sessions = dict[int, BlockSession]


def base_of(block: Block) -> Block | None:
    """What a block is compared with: the revision it replaces, else the block before it."""
    former = Block.objects.filter(lineage=block.lineage, revision__lt=block.revision).order_by("-revision").first()
    return former or block.previous


def follows_nothing(block: Block) -> bool:
    """Whether it is the client's first block at all; one that was written anew may still come after others."""
    published = Block.objects.filter(client=block.client_id, published_at__isnull=False).exclude(lineage=block.lineage)
    # Of two that begin in the same week, the one written first comes before.
    is_earlier = Q(starts_on__lt=block.starts_on) | Q(starts_on=block.starts_on, pk__lt=block.pk)
    return not published.filter(is_earlier).exists()


def difference(was: Block, now: Block) -> Difference:
    """Compare two blocks prescription by prescription, joined by lineage, week by week."""
    before, after = _by_lineage(was), _by_lineage(now)
    changed = [_changed(before[lineage], after[lineage]) for lineage in after if lineage in before]
    return Difference(
        frame=[*_length(was, now), *_days(was, now)],
        changed=[entry for entry in changed if entry.changes or entry.reason],
        added=[_listed(weeks) for lineage, weeks in after.items() if lineage not in before],
        removed=[_listed(weeks) for lineage, weeks in before.items() if lineage not in after],
    )


def _length(was: Block, now: Block) -> Iterator[Change]:
    if was.lineage == now.lineage and was.starts_on != now.starts_on:
        yield Change(_("first week"), date_format(was.starts_on, "j F Y"), date_format(now.starts_on, "j F Y"))
    if was.weeks != now.weeks:
        day = date_format(now.ends_on, "j F Y")
        yield Change(_("weeks"), str(was.weeks), _("%(weeks)d, until %(day)s") % {"weeks": now.weeks, "day": day})


def _days(was: Block, now: Block) -> Iterator[Change]:
    """Sessions that are new, gone, called otherwise, or on another day of the week, joined by lineage."""
    before, after = _sessions_by_lineage(was, now)
    for lineage, weeks in after.items():
        if lineage not in before:
            yield Change(weeks[min(weeks)].name, _("not in the plan"), _weekdays(weeks))
        else:
            yield from _moved(before[lineage], weeks)
    for lineage, weeks in before.items():
        if lineage not in after:
            yield Change(weeks[min(weeks)].name, _weekdays(weeks), _("no longer in the plan"))


def _moved(before: Sessions, after: Sessions) -> Iterator[Change]:
    shared = sorted(set(before) & set(after))
    found: dict[tuple[str, str, str], list[int]] = defaultdict(list)
    for week in shared:
        old, new = before[week], after[week]
        if old.name != new.name:
            found[_("session"), old.name, new.name].append(week)
        if old.weekday != new.weekday:
            found[new.name, str(Weekday(old.weekday).label), str(Weekday(new.weekday).label)].append(week)
    for key, weeks in found.items():
        yield Change(*key, weeks=() if len(weeks) == len(shared) else tuple(weeks))


def _weekdays(sessions: Sessions) -> str:
    days = sorted({session.weekday for session in sessions.values()})
    return ", ".join(str(Weekday(day).label) for day in days)


def _sessions_by_lineage(was: Block, now: Block) -> tuple[dict[uuid.UUID, Sessions], dict[uuid.UUID, Sessions]]:
    found: dict[int, dict[uuid.UUID, Sessions]] = {was.pk: defaultdict(dict), now.pk: defaultdict(dict)}
    ends = {was.pk: was.weeks, now.pk: now.weeks}
    for session in BlockSession.objects.filter(block__in=list(found)):
        if session.week <= ends[session.block_id]:
            found[session.block_id][session.lineage][session.week] = session
    return found[was.pk], found[now.pk]


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
    words = dose_words(first, rests=first.group.kind not in BY_THE_CLOCK)
    return Listed(first.movement.name, words, first.change_reason)


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
    was, now = _parts(old), _parts(new)
    for part, label in _part_labels().items():
        if was[part] != now[part]:
            yield label, was[part] or _("not set"), now[part] or _("not set")


def _parts(dose: Prescription) -> dict[str, str]:
    parts = dose_parts(dose)
    return parts | {"rest": _("what the clock leaves")} if dose.group.kind in BY_THE_CLOCK else parts


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
        "cluster": _("parts of a set"),
    }
