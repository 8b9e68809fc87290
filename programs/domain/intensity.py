"""Which screening ceiling a prescription needs."""

from decimal import Decimal

from clients.choices import Ceiling
from programs.choices import LoadKind, Pattern, SetKind
from programs.models import MovementRevision

# Moderate effort leaves several repetitions in reserve (RIR-based RPE 6 is about 4: Zourdos et al. 2016).
MODERATE_RPE = Decimal(6)
MODERATE_RIR = Decimal(3)
LIGHT_PATTERNS = frozenset({Pattern.SHOULDER_MOBILITY, Pattern.HIP_MOBILITY, Pattern.RAISE})


def needed_ceiling(
    movement: MovementRevision, kind: str, *, target_rir: Decimal | None, target_rpe: Decimal | None
) -> Ceiling:
    """The hardest effort that this could turn into. An effort that nobody stated counts as vigorous in work sets."""
    if movement.vigorous or kind == SetKind.MAX_REPS:
        return Ceiling.VIGOROUS
    if target_rir is not None and target_rir < MODERATE_RIR:
        return Ceiling.VIGOROUS
    if target_rpe is not None and target_rpe > MODERATE_RPE:
        return Ceiling.VIGOROUS
    if movement.pattern in LIGHT_PATTERNS or movement.load_kind == LoadKind.NONE:
        return Ceiling.LIGHT
    is_stated = target_rir is not None or target_rpe is not None
    return Ceiling.MODERATE if is_stated or kind == SetKind.WARM_UP else Ceiling.VIGOROUS
