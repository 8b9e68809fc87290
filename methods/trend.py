"""Trend statistics for short, noisy series: exact Mann-Kendall and Theil-Sen."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import sqrt

import numpy as np

from methods.ranges import require_all_finite, require_between, require_finite
from methods.undefined import Undefined

MAX_EXACT_N = 40
_NORMAL = statistics.NormalDist()


@cache
def _inversion_counts(n: int) -> tuple[int, ...]:
    counts = [1]
    for size in range(2, n + 1):
        longer = [0] * (len(counts) + size - 1)
        for index, value in enumerate(counts):
            for shift in range(size):
                longer[index + shift] += value
        counts = longer
    return tuple(counts)


@cache
def mann_kendall_upper_p(n: int, s: int) -> float:
    """Give the exact probability of a Mann-Kendall S at least this large without trend or ties. [1]

    Parameters
    ----------
    n : int, 2 to 40
    s : int

    References
    ----------
    .. [1] M. Kendall, Rank Correlation Methods, 4th ed., Griffin, 1975. R. Gilbert, Statistical Methods for
       Environmental Pollution Monitoring, 1987, ch. 16 (exact for small n).

    Evidence: V (critical values of a printed table), A (counting permutations).

    Examples
    --------
    >>> round(mann_kendall_upper_p(8, 16), 5)
    0.03051
    """
    require_between(2, MAX_EXACT_N, n=n)
    require_finite(s=s)
    counts = _inversion_counts(n)
    pairs = n * (n - 1) // 2
    return sum(value for inversions, value in enumerate(counts) if pairs - 2 * inversions >= s) / sum(counts)


@cache
def mann_kendall_critical_s(n: int, level: float) -> int | Undefined:
    """Find the smallest S whose exact one-sided probability is at most `level`.

    Evidence: V (a printed table).

    Examples
    --------
    >>> mann_kendall_critical_s(8, 0.05)
    16
    """
    require_between(2, MAX_EXACT_N, n=n)
    require_between(0, 1, level=level)
    pairs = n * (n - 1) // 2
    for s in range(pairs % 2, pairs + 1, 2):
        if mann_kendall_upper_p(n, s) <= level:
            return s
    return Undefined(f"{n} values cannot reach this level")


@dataclass(frozen=True, slots=True)
class MannKendall:
    """The test's statistic with its two-sided probability and both versions of tau."""

    s: int
    variance: float
    z: float
    p_two_sided: float
    is_exact: bool
    tau_a: float
    tau_b: float


def mann_kendall(values: Sequence[float]) -> MannKendall:
    """Test a series for a monotonic trend, exactly for up to 40 values without ties.

    Parameters
    ----------
    values : sequence of float, in order of time, at least 3

    Notes
    -----
    With ties, or above 40 values, the normal approximation with tie and continuity correction is used.

    References
    ----------
    .. [1] H. Mann, Econometrica, vol. 13, pp. 245-259, 1945. doi:10.2307/1907187

    Evidence: V (a college note's example by hand).

    Examples
    --------
    >>> mann_kendall([80, 81.5, 80.8, 83, 83.9, 83.2, 85.4, 86.1]).s
    24
    """
    n = len(values)
    if n < 3:
        raise ValueError(f"at least three values are needed, got {n}")
    require_all_finite(values)
    x = np.asarray(values, dtype=float)
    s = int(np.sign(np.subtract.outer(x, x))[np.tril_indices(n, k=-1)].sum())
    ties = [values.count(value) for value in set(values)]
    pairs = n * (n - 1) / 2
    variance = (n * (n - 1) * (2 * n + 5) - sum(t * (t - 1) * (2 * t + 5) for t in ties)) / 18
    z = (s - (s > 0) + (s < 0)) / sqrt(variance) if variance else 0.0
    is_exact = max(ties) == 1 and n <= MAX_EXACT_N
    p = min(1.0, 2 * mann_kendall_upper_p(n, abs(s))) if is_exact else 2 * _NORMAL.cdf(-abs(z))
    untied = pairs - sum(t * (t - 1) / 2 for t in ties)
    return MannKendall(s, variance, z, p, is_exact, s / pairs, s / sqrt(pairs * untied) if untied else 0.0)


@dataclass(frozen=True, slots=True)
class TheilSen:
    """A median slope with its interval."""

    slope: float
    intercept: float
    low: float | Undefined
    high: float | Undefined


def _sorted_slopes(times: Sequence[float], values: Sequence[float]) -> list[float]:
    t, x = np.asarray(times, dtype=float), np.asarray(values, dtype=float)
    first, second = np.triu_indices(len(t), k=1)
    apart = t[second] != t[first]
    first, second = first[apart], second[apart]
    slopes: list[float] = np.sort((x[second] - x[first]) / (t[second] - t[first])).tolist()
    return slopes


def _exact_rank(n: int, confidence: float) -> int | None:
    """The rank of the lower bound among the ordered pair slopes (Hollander and Wolfe's M), or None."""
    critical = mann_kendall_critical_s(n, (1 - confidence) / 2)
    if isinstance(critical, Undefined):
        return None
    return (n * (n - 1) // 2 - (critical - 2)) // 2


def _normal_ranks(times: Sequence[float], values: Sequence[float], pairs: int, confidence: float) -> tuple[int, int]:
    n = len(times)
    ties = [group.count(value) for group in (times, values) for value in set(group)]
    variance = (n * (n - 1) * (2 * n + 5) - sum(t * (t - 1) * (2 * t + 5) for t in ties)) / 18
    reach = _NORMAL.inv_cdf((1 + confidence) / 2) * sqrt(max(variance, 0.0))
    return max(round((pairs - reach) / 2) - 1, 0), min(round((pairs + reach) / 2), pairs - 1)


def theil_sen(
    times: Sequence[float], values: Sequence[float], *, confidence: float = 0.95, exact: bool = True
) -> TheilSen | Undefined:
    """Fit a line whose slope is the median of all pair slopes. [values per time]

    Parameters
    ----------
    times, values : sequences of float, the same length, in order of time
        Real days, not numbers of exposures, where spacing is uneven.
    confidence : float between 0 and 1
    exact : bool
        Take the interval from the exact distribution of Kendall's S (distinct times, up to 40 values); its bounds are
        undefined where so few values cannot reach the confidence. False, tied times, or more values: the normal
        approximation.

    References
    ----------
    .. [1] P. Sen, J Am Stat Assoc, vol. 63, pp. 1379-1389, 1968. doi:10.1080/01621459.1968.10480934
    .. [2] M. Hollander and D. Wolfe, Nonparametric Statistical Methods, 2nd ed., Wiley, 1999, section 9.3.

    Evidence: V (a teaching page's slopes), M (the exact interval).

    Examples
    --------
    >>> line = theil_sen(range(8), [80, 81.5, 80.8, 83, 83.9, 83.2, 85.4, 86.1])
    >>> round(line.slope, 6), round(line.intercept, 6)
    (0.8, 80.3)
    """
    if len(times) != len(values):
        raise ValueError(f"{len(times)} times and {len(values)} values")
    if not 0 < confidence < 1:
        raise ValueError(f"confidence must lie between 0 and 1, got {confidence}")
    require_all_finite([*times, *values])
    slopes = _sorted_slopes(times, values)
    if not slopes:
        return Undefined("at least two different times are needed")
    slope = statistics.median(slopes)
    intercept = statistics.median(values) - slope * statistics.median(times)
    n, none = len(times), Undefined(f"{len(times)} values are too few for this confidence")
    if exact and len(set(times)) == n and n <= MAX_EXACT_N:
        rank = _exact_rank(n, confidence)
        if rank is None:
            return TheilSen(slope, intercept, none, none)
        return TheilSen(slope, intercept, slopes[rank - 1], slopes[len(slopes) - rank])
    low, high = _normal_ranks(times, values, len(slopes), confidence)
    return TheilSen(slope, intercept, slopes[low], slopes[high])
