"""A session as rows: one prescription each, with what is done together bracketed."""

import uuid
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, Generic, TypeVar

from django.db.models import Prefetch, QuerySet

from programs.choices import IN_ROUNDS, GroupKind, RepScheme, SectionKind, SetKind
from programs.domain.dosing import DOSE_FIELDS
from programs.models import BlockSession, Group, MovementRevision, Prescription

T = TypeVar("T")
D = TypeVar("D")

DEFAULT_INTERVAL_S = 60
MOST_INTERVAL_S = 1200
STEP_FIELDS = ("step_sets", "step_amount", "step_rir", "step_load")
# What a row and a prescription have in common.
ROW_COLUMNS = (
    *DOSE_FIELDS,
    "movement",
    "cue",
    "and_or",
    "change_reason",
    "easier",
    "easier_below",
    "harder",
    "harder_from",
    *STEP_FIELDS,
)


@dataclass(frozen=True, kw_only=True)
class Row:
    """One prescription as the editor sees it. `joined` brackets it with the next row of its section.

    `together`, `minutes` and `interval_s` speak for the bracket that begins with this row; an empty `together` is what
    the number of rows says: alone, a pair, a circuit.
    """

    movement: MovementRevision
    section: str = SectionKind.STRENGTH
    joined: bool = False
    together: str = ""
    minutes: int | None = None
    interval_s: int | None = None
    lineage: uuid.UUID | None = None
    kind: str = SetKind.WORK
    sets: int = 3
    amount_low: int = 8
    amount_high: int = 12
    scheme: str = RepScheme.RANGE
    per_side: bool = False
    rest_s: int = 90
    tempo: str = ""
    target_rir: Decimal | None = None
    target_rpe: Decimal | None = None
    load_entered: Decimal | None = None
    load_unit: str = ""
    load_kg: Decimal | None = None
    percent_of_max: Decimal | None = None
    assistance_kg: Decimal | None = None
    grip: str = ""
    cluster_reps: int | None = None
    rest_within_s: int | None = None
    cue: str = ""
    and_or: str = ""
    change_reason: str = ""
    easier: MovementRevision | None = None
    easier_below: int | None = None
    harder: MovementRevision | None = None
    harder_from: int | None = None
    step_sets: int = 0
    step_amount: int = 0
    step_rir: Decimal = Decimal(0)
    step_load: Decimal = Decimal(0)


@dataclass(frozen=True)
class Together(Generic[D]):
    """What is done together, in its order; `minutes` of rounds, `interval_s` of every minute."""

    doses: Sequence[D]
    kind: str = GroupKind.SINGLE
    minutes: int | None = None
    interval_s: int | None = None

    def __iter__(self) -> Iterator[D]:
        return iter(self.doses)

    def __len__(self) -> int:
        return len(self.doses)


def chained(items: Sequence[T], *, joins_next: Callable[[T], bool]) -> list[list[T]]:
    """Bracket each item that asks for it with the next one, over as many as ask."""
    groups: list[list[T]] = []
    is_open = False
    for item in items:
        if is_open:
            groups[-1].append(item)
        else:
            groups.append([item])
        is_open = joins_next(item)
    return groups


def kind_by_number(members: int) -> GroupKind:
    return {1: GroupKind.SINGLE, 2: GroupKind.PAIR}.get(members, GroupKind.CIRCUIT)


def wider_interval_s(interval_s: int | None, planned: int, left: int) -> int | None:
    """Of every minute, when somebody's set is left out: each of the others begins as seldom as before."""
    return None if interval_s is None or not left else min(MOST_INTERVAL_S, interval_s * planned // left)


def group_columns(rows: Sequence[Row]) -> dict[str, Any]:
    """The kind of a bracket with the times that belong to the kind. The first row speaks for it."""
    first = rows[0]
    kind = first.together or kind_by_number(len(rows))
    return {
        "kind": kind,
        "minutes": first.minutes if kind == GroupKind.ROUNDS else None,
        "interval_s": (first.interval_s or DEFAULT_INTERVAL_S) if kind == GroupKind.EVERY_MINUTE else None,
    }


def together(rows: Sequence[Row]) -> list[Together[Row]]:
    """Rows as what is done together. Brackets end where a section does."""
    last = len(rows) - 1
    numbered = list(enumerate(rows))
    chains = chained(
        numbered, joins_next=lambda pair: pair[1].joined and pair[0] < last and _same_section(rows, pair[0])
    )
    members = [[row for _n, row in chain] for chain in chains]
    return [Together(doses, **group_columns(doses)) for doses in members]


def _same_section(rows: Sequence[Row], n: int) -> bool:
    return rows[n].section == rows[n + 1].section


def level_rounds(rows: Sequence[Row]) -> list[Row]:
    """Where a set is a round, everybody does as many: the least of them."""
    return [row for bracket in together(rows) for row in _leveled(bracket)]


def _leveled(bracket: Together[Row]) -> Iterator[Row]:
    sets = min(row.sets for row in bracket)
    for row in bracket:
        yield replace(row, sets=sets) if bracket.kind in IN_ROUNDS else row


def with_contents(sessions: QuerySet[BlockSession]) -> QuerySet[BlockSession]:
    """Sessions with all that they hold, in a fixed number of queries."""
    known = (f"{name}__movement__current" for name in ("movement", "easier", "harder"))
    prescriptions = Prescription.objects.select_related(*known)
    return sessions.prefetch_related(Prefetch("sections__groups__prescriptions", queryset=prescriptions))


def groups_of(session: BlockSession) -> list[Together[Prescription]]:
    """The groups of a session in order, each with its prescriptions."""
    return [as_together(group) for section in session.sections.all() for group in section.groups.all()]


def as_together(group: Group) -> Together[Prescription]:
    return Together(list(group.prescriptions.all()), group.kind, group.minutes, group.interval_s)


def rows_of(session: BlockSession) -> list[Row]:
    """What a session holds, as the editor's rows. Prefetch with `with_contents` to spare queries."""
    return [
        row
        for section in session.sections.all()
        for group in section.groups.all()
        for row in _rows(group, section.kind)
    ]


def _rows(group: Group, section: str) -> Iterator[Row]:
    members = list(group.prescriptions.all())
    stated = "" if group.kind == kind_by_number(len(members)) else group.kind
    for n, prescription in enumerate(members):
        fields = {name: getattr(prescription, name) for name in ROW_COLUMNS}
        if n == 0:
            fields |= {"together": stated, "minutes": group.minutes, "interval_s": group.interval_s}
        yield Row(section=section, joined=n + 1 < len(members), lineage=prescription.lineage, **fields)


def movements_in(rows: Sequence[Row]) -> dict[str, MovementRevision]:
    """The movements of rows and of their options, by name in small letters."""
    named = [revision for row in rows for revision in (row.movement, row.easier, row.harder) if revision is not None]
    return {revision.name.lower(): revision for revision in named}
