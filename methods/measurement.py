"""How much of a change is error of measurement: typical error, smallest detectable and worthwhile changes."""

import statistics
from collections.abc import Sequence
from math import exp, log, sqrt

from methods.ranges import require_all_finite, require_between, require_not_negative

_NORMAL = statistics.NormalDist()


def typical_error(first: Sequence[float], second: Sequence[float]) -> float:
    """Give the typical error of a test repeated once: SD of the differences over the root of two. [unit of the values]

    References
    ----------
    .. [1] W. Hopkins, "Measures of reliability in sports medicine and science," Sports Med, vol. 30, no. 1, pp. 1-15,
       2000. doi:10.2165/00007256-200030010-00001

    Evidence: V2 (the printed five lifters, on lecture notes).

    Examples
    --------
    >>> round(typical_error([62, 78, 81, 55, 66], [67, 76, 87, 55, 63]), 2)
    2.89
    """
    require_all_finite([*first, *second])
    if len(first) != len(second) or len(first) < 2:
        raise ValueError("both tests need the same people, at least two")
    return statistics.stdev(b - a for a, b in zip(first, second, strict=True)) / sqrt(2)


def standard_error_of_measurement(between_person_sd: float, icc: float) -> float:
    """Give the standard error of measurement from a reliability coefficient. [unit of the SD]

    References
    ----------
    .. [1] J. Weir, J Strength Cond Res, vol. 19, no. 1, pp. 231-240, 2005.

    Evidence: M (formula from memory), A.

    Examples
    --------
    >>> round(standard_error_of_measurement(10, 0.97), 6)
    1.732051
    """
    require_not_negative(between_person_sd=between_person_sd)
    require_between(0, 1, icc=icc)
    return between_person_sd * sqrt(1 - icc)


def minimal_detectable_change(error: float, *, confidence: float = 0.95) -> float:
    """Give the smallest change of one person that is more than noise: z x root 2 x error. [unit of the error]

    Evidence: A (the formula's factor 2.772).

    Examples
    --------
    >>> round(minimal_detectable_change(1.1), 2)
    3.05
    """
    require_not_negative(error=error)
    if not 0 < confidence < 1:
        raise ValueError(f"confidence must lie between 0 and 1, got {confidence}")
    return _NORMAL.inv_cdf((1 + confidence) / 2) * sqrt(2) * error


def minimal_detectable_change_log_percent(cv_percent: float, *, confidence: float = 0.95) -> float:
    """Give the same in per cent for a coefficient of variation, through logarithms. [%]

    Evidence: A.

    Examples
    --------
    >>> round(minimal_detectable_change_log_percent(4.2), 2)
    12.08
    """
    require_not_negative(cv_percent=cv_percent)
    return 100 * (exp(minimal_detectable_change(log(1 + cv_percent / 100), confidence=confidence)) - 1)


def smallest_worthwhile_change(values: Sequence[float]) -> float:
    """Give a fifth of the spread between people, a group idea. (Hopkins, from memory) [unit of the values]

    Evidence: M (from memory).

    Examples
    --------
    >>> smallest_worthwhile_change([10, 20, 30])
    2.0
    """
    require_all_finite(values)
    if len(values) < 2:
        raise ValueError("at least two people are needed")
    return 0.2 * statistics.stdev(values)


def standard_error_of_mean_difference(error: float, sessions: int) -> float:
    """Give the error of the difference between two means of so many sessions each. [unit of the error]

    Parameters
    ----------
    error : float, >= 0
        Typical error of one session.
    sessions : int, >= 1
        Sessions in each mean.

    Notes
    -----
    .. math:: SE = TE \\sqrt{2 / k}

    Evidence: A (arithmetic on independent sessions).

    Examples
    --------
    >>> round(standard_error_of_mean_difference(4, 3), 2)
    3.27
    """
    require_not_negative(error=error)
    if not sessions >= 1:
        raise ValueError(f"sessions must be at least 1, got {sessions}")
    return error * sqrt(2 / sessions)


def own_smallest_change(error: float) -> tuple[float, float]:
    """Give the smallest change of one person worth a word: half to one typical error of their own. [unit of the error]

    References
    ----------
    .. [1] W. Hopkins, Sports Med, vol. 30, no. 1, pp. 1-15, 2000. doi:10.2165/00007256-200030010-00001

    Evidence: M (from memory; a fifth of the spread between people is a group idea).

    Examples
    --------
    >>> own_smallest_change(2.0)
    (1.0, 2.0)
    """
    require_not_negative(error=error)
    return 0.5 * error, error
