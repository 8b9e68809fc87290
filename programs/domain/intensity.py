"""Which screening ceiling a prescription needs."""

from decimal import Decimal
from typing import Protocol

from clients.choices import Ceiling
from methods.screening import effort_intensity
from programs.choices import LoadKind, Pattern, SetKind

EASY_PATTERNS = frozenset({Pattern.SHOULDER_MOBILITY, Pattern.HIP_MOBILITY, Pattern.RAISE})


class Movable(Protocol):
    """A movement in the database, or as the resolver knows it."""

    @property
    def pattern(self) -> str: ...
    @property
    def load_kind(self) -> str: ...
    @property
    def vigorous(self) -> bool: ...


def needed_ceiling(movement: Movable, kind: str, *, target_rir: Decimal | None, target_rpe: Decimal | None) -> Ceiling:
    """The hardest effort that this could turn into (methods.screening.effort_intensity).

    An effort that nobody stated counts as vigorous in work sets; warm-up and ramp sets are moderate by what they are.
    """
    is_easy = movement.pattern in EASY_PATTERNS or movement.load_kind == LoadKind.NONE
    is_all_out = movement.vigorous or kind == SetKind.MAX_REPS
    is_stated = target_rir is not None or target_rpe is not None
    if kind == SetKind.WARM_UP and not is_stated and not is_all_out and not is_easy:
        return Ceiling.MODERATE
    effort = effort_intensity(
        # Older rows may say 0: the scale begins at 1.
        rpe=None if target_rpe is None else max(1.0, float(target_rpe)),
        rir=None if target_rir is None else float(target_rir),
        breath_holding=is_all_out,
        unloaded=is_easy,
    )
    return Ceiling(effort.name.lower())
