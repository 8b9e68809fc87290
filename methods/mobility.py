"""Stretching doses and what long stretches do to strength right after."""

from math import ceil

from methods.ranges import require_between, require_not_negative, require_positive

ACSM_TOTAL_S = 60
ACSM_HOLD_S = (10, 30)
OLDER_HOLD_S = (30, 60)
MAX_REPETITIONS = 4
LONG_STRETCH_S = 60


def stretch_repetitions_acsm(hold_s: float) -> int:
    """Give how often a static stretch is held to make 60 seconds in all. [count]

    Parameters
    ----------
    hold_s : float, 10 to 60
        One hold; 10 to 30 s is advised, 30 to 60 s for older adults. [s]

    Notes
    -----
    The guideline names 2 to 4 repetitions: holds under 15 s would need more, and then more than four are returned.

    References
    ----------
    .. [1] C. Garber et al., Med Sci Sports Exerc, vol. 43, no. 7, pp. 1334-1359, 2011. doi:10.1249/MSS.0b013e318213fefb

    Evidence: V (dose, and the repetitions for 15 and 20 s).

    Examples
    --------
    >>> stretch_repetitions_acsm(15), stretch_repetitions_acsm(20)
    (4, 3)
    """
    require_between(ACSM_HOLD_S[0], OLDER_HOLD_S[1], hold_s=hold_s)
    return ceil(ACSM_TOTAL_S / hold_s)


def long_stretch_before_strength(total_s_per_muscle: float) -> bool:
    """Say whether so much static stretching right before strength work costs strength: from 60 s a muscle.

    Notes
    -----
    On average -1.1 % under 60 s and -4.6 % from 60 s on; the gain in range is gone within half an hour [1]_.

    References
    ----------
    .. [1] D. Behm et al., Appl Physiol Nutr Metab, vol. 41, no. 1, pp. 1-11, 2016. doi:10.1139/apnm-2015-0235

    Evidence: V.

    Examples
    --------
    >>> long_stretch_before_strength(45), long_stretch_before_strength(60)
    (False, True)
    """
    require_not_negative(total_s_per_muscle=total_s_per_muscle)
    return total_s_per_muscle >= LONG_STRETCH_S


def ramp_sets(work_load_kg: float) -> tuple[tuple[float, int], ...]:
    """Give the ramp to a first heavy set: 40, 60, 75, 90 % for 8, 5, 3, 1 repetitions (common practice). [kg, count]

    Evidence: T (common practice).

    Examples
    --------
    >>> ramp_sets(100)
    ((40.0, 8), (60.0, 5), (75.0, 3), (90.0, 1))
    """
    require_positive(work_load_kg=work_load_kg)
    return tuple((work_load_kg * percent / 100, count) for percent, count in ((40, 8), (60, 5), (75, 3), (90, 1)))


def strength_change_percent_behm(total_s_per_muscle: float) -> float:
    """Give the mean change in strength right after static stretching of a muscle. [%]

    Parameters
    ----------
    total_s_per_muscle : float, > 0
        All holds of the muscle together. [s]

    References
    ----------
    .. [1] D. Behm et al., Appl Physiol Nutr Metab, vol. 41, no. 1, pp. 1-11, 2016. doi:10.1139/apnm-2015-0235

    Evidence: V (means of many studies; the step at 60 s is how they were grouped).

    Examples
    --------
    >>> strength_change_percent_behm(30), strength_change_percent_behm(60)
    (-1.1, -4.6)
    """
    require_positive(total_s_per_muscle=total_s_per_muscle)
    return -4.6 if total_s_per_muscle >= LONG_STRETCH_S else -1.1
