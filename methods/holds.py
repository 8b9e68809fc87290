"""Isometric holds: how endurance falls with intensity, and doses in seconds."""

from dataclasses import dataclass
from typing import Literal

from methods.ranges import require_between, require_positive

Region = Literal["ankle", "trunk", "grip", "elbow", "knee", "shoulder", "general"]

# Power-law coefficients, from memory; the printed ranking of regions was read and is reproduced by them.
_FREY_LAW: dict[str, tuple[float, float]] = {
    "ankle": (34.71, -2.06),
    "trunk": (22.69, -2.27),
    "grip": (33.55, -1.61),
    "elbow": (17.98, -2.21),
    "knee": (19.38, -1.88),
    "shoulder": (14.86, -1.83),
    "general": (21.93, -1.98),
}


def _coefficients(region: str) -> tuple[float, float]:
    if region not in _FREY_LAW:
        raise ValueError(f"region must be one of {', '.join(_FREY_LAW)}, got {region!r}")
    return _FREY_LAW[region]


def endurance_time_frey_law(intensity: float, region: Region = "general") -> float:
    """Predict how long a steady effort can be held. [s]

    Parameters
    ----------
    intensity : float, 0.1 to 0.95
        Share of the maximal voluntary force. [fraction]
    region : str

    Raises
    ------
    ValueError
        Outside the fitted range, or for another region.

    Notes
    -----
    Group means of single joints with wide prediction intervals. The intensity of a bodyweight hold is unknown: use it
    to compare one person's times on one hold, never as a target.

    References
    ----------
    .. [1] L. Frey Law and K. Avin, "Endurance time is joint-specific," Ergonomics, vol. 53, no. 1, pp. 109-129, 2010.
       doi:10.1080/00140130903389068 (coefficients from memory)

    Evidence: M (coefficients), V (the ranking of regions, which they reproduce).

    Examples
    --------
    >>> round(endurance_time_frey_law(0.5, "shoulder"), 1)
    52.8
    """
    require_between(0.1, 0.95, intensity=intensity)
    scale, power = _coefficients(region)
    return float(scale * intensity**power)


def intensity_for_endurance_frey_law(seconds: float, region: Region = "general") -> float:
    """Invert `endurance_time_frey_law`. [fraction]

    Evidence: M (coefficients).

    Examples
    --------
    >>> round(intensity_for_endurance_frey_law(60, "trunk"), 3)
    0.652
    """
    scale, power = _coefficients(region)
    require_positive(seconds=seconds)
    intensity = float((seconds / scale) ** (1 / power))
    if not 0.1 <= intensity <= 0.95:
        raise ValueError(f"{seconds} s lies outside the fitted range")
    return intensity


def endurance_time_rohmert(intensity: float) -> float:
    """Predict endurance by the old general curve, for comparison only. [s]

    Notes
    -----
    It takes efforts up to 15 % as endless, against newer data.

    References
    ----------
    .. [1] W. Rohmert, Int Z angew Physiol, vol. 18, pp. 123-164, 1960. doi:10.1007/BF00698869 (from memory)

    Evidence: M.

    Examples
    --------
    >>> round(endurance_time_rohmert(0.5))
    66
    """
    if not 0.15 < intensity <= 1:
        raise ValueError(f"the curve covers more than 0.15 up to 1, got {intensity}")
    return 60 * (-1.5 + 2.1 / intensity - 0.6 / intensity**2 + 0.1 / intensity**3)


def skill_hold_dose_s(best_s: float) -> tuple[float, float]:
    """Give the seconds of one work set of a skill hold: half to 70 % of the best (common practice). [s]

    Evidence: T (common practice).

    Examples
    --------
    >>> [round(seconds, 1) for seconds in skill_hold_dose_s(24)]
    [12.0, 16.8]
    """
    require_positive(best_s=best_s)
    return 0.5 * best_s, 0.7 * best_s


@dataclass(frozen=True, slots=True)
class IsometricDose:
    """Ranges of an isometric session: share of the maximal force, seconds of one repetition, seconds in all."""

    intensity: tuple[float, float]
    repetition_s: tuple[float, float]
    session_s: tuple[float, float]


_LUM_BARBOSA = {
    "size": IsometricDose((0.70, 0.75), (3, 30), (80, 150)),
    "strength": IsometricDose((0.80, 1.00), (1, 5), (30, 90)),
}


def isometric_dose_lum_barbosa(goal: str) -> IsometricDose:
    """Give the isometric dose of a review, for muscle size or for maximal strength. [fraction, s, s]

    Parameters
    ----------
    goal : "size" or "strength"

    References
    ----------
    .. [1] D. Lum and T. Barbosa, Int J Sports Med, vol. 40, no. 6, pp. 363-375, 2019. doi:10.1055/a-0863-4539

    Evidence: M (numbers from memory; the review's existence read).

    Examples
    --------
    >>> isometric_dose_lum_barbosa("strength").repetition_s
    (1, 5)
    """
    if goal not in _LUM_BARBOSA:
        raise ValueError(f"goal must be size or strength, got {goal!r}")
    return _LUM_BARBOSA[goal]
