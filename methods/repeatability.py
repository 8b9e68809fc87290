"""What is published about the noise of single tests: the smallest change of one person that is more than noise.

Where nothing usable was found there is no function: a test without one is answered with "unknown".
"""

from dataclasses import dataclass
from typing import Literal

from methods.measurement import (
    minimal_detectable_change,
    minimal_detectable_change_log_percent,
    standard_error_of_measurement,
)
from methods.norms import TRUNK_HOLDS_MCGILL
from methods.segments import Sex

# Reliability of the trunk holds, at least (McGill et al. 1999).
TRUNK_HOLD_RELIABILITY = 0.97
# Median coefficient of variation of a tested one-rep maximum (Grgic et al. 2020, 32 studies, 1,595 people). [%]
TESTED_MAXIMUM_CV_PERCENT = 4.2
HoldSide = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class Noise:
    """The smallest change of one person that is more than the test's own noise, and what it rests on."""

    change: float
    unit: Literal["s", "%"]
    source: str
    doubt: str


def side_bridge_noise_mcgill(side: HoldSide, sex: Sex | None = None) -> Noise:
    """Give the smallest detectable change of a side bridge held to the end. [s]

    Parameters
    ----------
    side : "left" or "right"
    sex : "male", "female" or None
        Without it the larger of both, so that less is called a change.

    Notes
    -----
    From the printed reliability and spread: :math:`1.96 \\sqrt{2} \\cdot SD \\sqrt{1 - 0.97}`. The reliability is
    printed as "above 0.97", so the change is at most this.

    References
    ----------
    .. [1] S. McGill, A. Childs, C. Liebenson, Arch Phys Med Rehabil, vol. 80, no. 8, pp. 941-944, 1999.
       doi:10.1016/S0003-9993(99)90087-4

    Evidence: V (reliability), M (spreads), A (the change from both).

    Examples
    --------
    >>> round(side_bridge_noise_mcgill("right", "male").change, 1)
    16.3
    """
    if side not in ("left", "right"):
        raise ValueError(f"side must be 'left' or 'right', got {side!r}")
    if sex is not None and sex not in TRUNK_HOLDS_MCGILL:
        raise ValueError(f"the study divides by male and female, got {sex!r}")
    sexes = list(TRUNK_HOLDS_MCGILL) if sex is None else [sex]
    spread = max(TRUNK_HOLDS_MCGILL[each][f"side_{side}"][1] for each in sexes)
    error = standard_error_of_measurement(spread, TRUNK_HOLD_RELIABILITY)
    return Noise(
        minimal_detectable_change(error),
        "s",
        "McGill, Childs & Liebenson 1999, 75 young healthy people",
        "Worked out from the printed reliability; the spreads are from memory. For holds to the end only.",
    )


def tested_maximum_noise_grgic() -> Noise:
    """Give the smallest detectable change of a tested one-rep maximum. [%]

    Notes
    -----
    From the median coefficient of variation over all lifts; single studies lie between 0.5 and 12.1 %.

    References
    ----------
    .. [1] J. Grgic et al., Sports Med Open, vol. 6, no. 31, 2020.

    Evidence: V (the coefficient), A (the change from it).

    Examples
    --------
    >>> round(tested_maximum_noise_grgic().change, 1)
    12.1
    """
    return Noise(
        minimal_detectable_change_log_percent(TESTED_MAXIMUM_CV_PERCENT),
        "%",
        "median of 32 studies, Grgic et al. 2020",
        "Over all lifts; the coefficients of single studies lie between 0.5 and 12.1 %.",
    )
