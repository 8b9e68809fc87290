"""How much of a change is error of measurement: typical error, smallest detectable and worthwhile changes."""

import statistics
from collections.abc import Sequence
from math import exp, log, sqrt

_NORMAL = statistics.NormalDist()


def typical_error(first: Sequence[float], second: Sequence[float]) -> float:
    """Give the typical error of a test repeated once: SD of the differences over the root of two.

    References
    ----------
    .. [1] W. Hopkins, "Measures of reliability in sports medicine and science," Sports Med, vol. 30, no. 1, pp. 1-15,
       2000. doi:10.2165/00007256-200030010-00001

    Examples
    --------
    >>> round(typical_error([62, 78, 81, 55, 66], [67, 76, 87, 55, 63]), 2)
    2.89
    """
    if len(first) != len(second) or len(first) < 2:
        raise ValueError("both tests need the same people, at least two")
    return statistics.stdev(b - a for a, b in zip(first, second, strict=True)) / sqrt(2)


def standard_error_of_measurement(between_person_sd: float, icc: float) -> float:
    """Give the standard error of measurement from a reliability coefficient.

    References
    ----------
    .. [1] J. Weir, J Strength Cond Res, vol. 19, no. 1, pp. 231-240, 2005.

    Examples
    --------
    >>> round(standard_error_of_measurement(10, 0.97), 6)
    1.732051
    """
    if between_person_sd < 0 or not 0 <= icc <= 1:
        raise ValueError("the SD must not be negative and the coefficient must lie between 0 and 1")
    return between_person_sd * sqrt(1 - icc)


def minimal_detectable_change(error: float, *, confidence: float = 0.95) -> float:
    """Give the smallest change of one person that is more than noise: z x root 2 x error.

    Examples
    --------
    >>> round(minimal_detectable_change(1.1), 2)
    3.05
    """
    if error < 0 or not 0 < confidence < 1:
        raise ValueError("the error must not be negative and the confidence must lie between 0 and 1")
    return _NORMAL.inv_cdf((1 + confidence) / 2) * sqrt(2) * error


def minimal_detectable_change_log_percent(cv_percent: float, *, confidence: float = 0.95) -> float:
    """Give the same in per cent for a coefficient of variation, through logarithms. [%]

    Examples
    --------
    >>> round(minimal_detectable_change_log_percent(4.2), 2)
    12.08
    """
    if cv_percent < 0:
        raise ValueError(f"cv_percent must not be negative, got {cv_percent}")
    return 100 * (exp(minimal_detectable_change(log(1 + cv_percent / 100), confidence=confidence)) - 1)


def smallest_worthwhile_change(values: Sequence[float]) -> float:
    """Give a fifth of the spread between people, a group idea. (Hopkins, from memory)

    Examples
    --------
    >>> smallest_worthwhile_change([10, 20, 30])
    2.0
    """
    if len(values) < 2:
        raise ValueError("at least two people are needed")
    return 0.2 * statistics.stdev(values)
