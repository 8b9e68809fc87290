"""Control charts: smoothed series, cumulative sums, how soon they signal, and the local-level filter."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

_NORMAL = statistics.NormalDist()


@dataclass(frozen=True, slots=True)
class EwmaChart:
    """A smoothed series and its limits."""

    smoothed: tuple[float, ...]
    lower: float
    upper: float


def ewma_chart(values: Sequence[float], *, centre: float, sigma: float, weight: float, width: float = 3.0) -> EwmaChart:
    """Smooth a series exponentially and give its control limits (steady state).

    Parameters
    ----------
    values : sequence of float
    centre, sigma : float
        Known mean and standard deviation of the process.
    weight : float, 0 to 1
    width : float
        Limits in standard deviations of the statistic.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.4. doi:10.18434/M32189

    Examples
    --------
    >>> round(ewma_chart([52.0], centre=50, sigma=2.0539, weight=0.3).upper, 4)
    52.5884
    """
    if sigma <= 0 or not 0 < weight <= 1:
        raise ValueError("sigma must be positive and the weight must lie between 0 and 1")
    smoothed, last = [], centre
    for value in values:
        last = weight * value + (1 - weight) * last
        smoothed.append(last)
    reach = width * sigma * sqrt(weight / (2 - weight))
    return EwmaChart(tuple(smoothed), centre - reach, centre + reach)


@dataclass(frozen=True, slots=True)
class Cusum:
    """Both sides of a tabular CUSUM; `first_signal` counts from 1."""

    high: tuple[float, ...]
    low: tuple[float, ...]
    first_signal: int | None


def cusum(values: Sequence[float], *, target: float, slack: float, limit: float) -> Cusum:
    """Add up deviations from a target beyond a slack, to find a small lasting shift.

    Parameters
    ----------
    values : sequence of float
    target : float
    slack : float, >= 0
        K, usually half the shift to be found.
    limit : float, > 0
        H; a sum above it is a signal.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.3. doi:10.18434/M32189

    Examples
    --------
    >>> cusum([0, -2, -2, -2], target=0, slack=0.5, limit=4).first_signal
    4
    """
    if slack < 0 or limit <= 0:
        raise ValueError("the slack must not be negative and the limit must be positive")
    high, low, signal = [0.0], [0.0], None
    for count, value in enumerate(values, start=1):
        high.append(max(0.0, high[-1] + value - target - slack))
        low.append(max(0.0, low[-1] + target - slack - value))
        if signal is None and max(high[-1], low[-1]) > limit:
            signal = count
    return Cusum(tuple(high[1:]), tuple(low[1:]), signal)


def cusum_average_run_length(shift: float, *, slack: float, limit: float, nodes: int = 40) -> float:
    """Give the mean number of values until a two-sided CUSUM signals, for normal data from zero. [count]

    Parameters
    ----------
    shift : float
        Lasting shift. [standard deviations]
    slack, limit : float
        K and H. [standard deviations]

    Notes
    -----
    Page's integral equation solved by Gauss-Legendre quadrature for each side; the sides combine as
    1 / ARL = 1 / upper + 1 / lower.

    References
    ----------
    .. [1] E. Page, Biometrika, vol. 41, pp. 100-115, 1954. doi:10.1093/biomet/41.1-2.100

    Examples
    --------
    >>> round(cusum_average_run_length(1, slack=0.5, limit=4), 2)
    8.38
    """
    if limit <= 0 or slack < 0:
        raise ValueError("the slack must not be negative and the limit must be positive")
    sides = (_one_sided_run_length(side, slack, limit, nodes) for side in (shift, -shift))
    return 1 / sum(1 / length for length in sides)


def _one_sided_run_length(shift: float, slack: float, limit: float, nodes: int) -> float:
    points, weights = np.polynomial.legendre.leggauss(nodes)
    points, weights = (points + 1) * limit / 2, weights * limit / 2
    start = np.concatenate([[0.0], points])
    to_zero = np.array([_NORMAL.cdf(slack - shift - z) for z in start])
    density = np.array([[_NORMAL.pdf(y - z + slack - shift) for y in points] for z in start])
    matrix = np.eye(nodes + 1)
    matrix[:, 0] -= to_zero
    matrix[:, 1:] -= density * weights
    return float(np.linalg.solve(matrix, np.ones(nodes + 1))[0])
