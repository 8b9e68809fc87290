"""What a prescription may come to: its movement, and the options that the client may take without asking."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from clients.choices import Area, Ceiling
from clients.domain.safety import is_within
from programs.domain.intensity import needed_ceiling
from programs.models import MovementRevision, Prescription


class Demand(Protocol):
    """A movement at an effort: what safety looks at."""

    @property
    def movement(self) -> MovementRevision: ...
    @property
    def kind(self) -> str: ...
    @property
    def target_rir(self) -> Decimal | None: ...
    @property
    def target_rpe(self) -> Decimal | None: ...


class WithOptions(Demand, Protocol):
    @property
    def easier(self) -> MovementRevision | None: ...
    @property
    def harder(self) -> MovementRevision | None: ...


@dataclass(frozen=True)
class Option:
    """Another movement in a prescription's place, at its effort."""

    movement: MovementRevision
    kind: str
    target_rir: Decimal | None
    target_rpe: Decimal | None


def options_of(dose: WithOptions | Prescription) -> list[Option]:
    named = [movement for movement in (dose.easier, dose.harder) if movement is not None]
    return [Option(movement, dose.kind, dose.target_rir, dose.target_rpe) for movement in named]


def demands_of(dose: WithOptions | Prescription) -> list[Demand]:
    """As written, and as it is known by now: a draft may be older than what was learnt of a movement since."""
    written: list[Demand] = [dose, *options_of(dose)]
    return [*written, *(newer for demand in written if (newer := _as_known_now(demand)))]


def _as_known_now(demand: Demand) -> Option | None:
    revision = demand.movement
    current = revision.movement.current if revision.movement_id is not None else None
    if current is None or current.pk == revision.pk:
        return None
    return Option(current, demand.kind, demand.target_rir, demand.target_rpe)


def is_above_ceiling(demand: Demand, ceiling: Ceiling) -> bool:
    needed = needed_ceiling(demand.movement, demand.kind, target_rir=demand.target_rir, target_rpe=demand.target_rpe)
    return not is_within(needed, ceiling)


def loaded_areas(demand: Demand, areas: Iterable[str]) -> str:
    """Those of the areas that this movement stresses, in words; empty when none."""
    return ", ".join(str(Area(area).label) for area in sorted(set(demand.movement.areas) & set(areas)))
