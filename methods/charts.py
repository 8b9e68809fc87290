"""Control charts: smoothed series, cumulative sums, how soon they signal, and the local-level filter."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from methods.ranges import require_between, require_finite, require_not_negative, require_positive

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

    Evidence: V2 (the handbook's values, transcribed in several public test files).

    Examples
    --------
    >>> round(ewma_chart([52.0], centre=50, sigma=2.0539, weight=0.3).upper, 4)
    52.5884
    """
    require_positive(sigma=sigma, weight=weight, width=width)
    require_between(0, 1, weight=weight)
    require_finite(centre=centre, **{f"value_{i}": value for i, value in enumerate(values)})
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

    Evidence: V2 (the handbook's values, transcribed in several public test files).

    Examples
    --------
    >>> cusum([0, -2, -2, -2], target=0, slack=0.5, limit=4).first_signal
    4
    """
    require_not_negative(slack=slack)
    require_positive(limit=limit)
    require_finite(target=target, **{f"value_{i}": value for i, value in enumerate(values)})
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

    Evidence: M (Montgomery's table, from memory; recomputed here).

    Examples
    --------
    >>> round(cusum_average_run_length(1, slack=0.5, limit=4), 2)
    8.38
    """
    require_not_negative(slack=slack)
    require_positive(limit=limit)
    require_finite(shift=shift)
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


def ewma_half_width(count: int, *, sigma: float, weight: float, width: float = 3.0) -> float:
    """Give the half-width of an EWMA chart's limits at the count-th value, before the steady state. [unit of sigma]

    Parameters
    ----------
    count : int, >= 1
    sigma : float, > 0
    weight : float, above 0 to 1
    width : float, > 0
        In standard deviations of the statistic.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.4. doi:10.18434/M32189

    Evidence: A (arithmetic from the handbook's formula).

    Examples
    --------
    >>> round(ewma_half_width(1, sigma=2.0539, weight=0.3), 4)
    1.8485
    """
    if not count >= 1:
        raise ValueError(f"count must be at least 1, got {count}")
    require_positive(sigma=sigma, weight=weight, width=width)
    require_between(0, 1, weight=weight)
    return width * sigma * sqrt(weight / (2 - weight) * (1 - (1 - weight) ** (2 * count)))


def ewma_average_run_length(shift: float, *, weight: float, width: float, nodes: int = 60) -> float:
    """Give the mean number of values until an EWMA chart signals, for normal data from the centre. [count]

    Parameters
    ----------
    shift : float
        Lasting shift. [standard deviations]
    weight : float, above 0 to 1
    width : float, > 0
        Steady-state limits. [standard deviations of the statistic]

    Notes
    -----
    The run length's integral equation, solved by Gauss-Legendre quadrature.

    References
    ----------
    .. [1] J. Lucas and M. Saccucci, Technometrics, vol. 32, pp. 1-12, 1990. doi:10.1080/00401706.1990.10484583

    Evidence: M (their table, from memory; recomputed here).

    Examples
    --------
    >>> round(ewma_average_run_length(1, weight=0.1, width=2.814), 1)
    10.3
    """
    require_finite(shift=shift)
    require_positive(weight=weight, width=width)
    require_between(0, 1, weight=weight)
    limit = width * sqrt(weight / (2 - weight))
    points, weights = np.polynomial.legendre.leggauss(nodes)
    points, weights = points * limit, weights * limit
    start = np.concatenate([[0.0], points])
    density = np.array([[_NORMAL.pdf((y - (1 - weight) * z) / weight - shift) / weight for y in points] for z in start])
    lengths = np.linalg.solve(np.eye(nodes) - density[1:] * weights, np.ones(nodes))
    return float(1 + (density[0] * weights) @ lengths)


@dataclass(frozen=True, slots=True)
class LocalLevel:
    """A filtered level with its variance after the last value."""

    levels: tuple[float, ...]
    variance: float


def local_level(values: Sequence[float], *, noise_variance: float, step_variance: float) -> LocalLevel:
    """Filter a slowly wandering level out of noise (the local-level model). [unit of the values]

    Parameters
    ----------
    values : sequence of float, at least one
    noise_variance : float, > 0
        R, of one value around the level.
    step_variance : float, >= 0
        Q, of the level's step from one value to the next. Fix both from many series: on fewer than 15 values their
        likelihood says next to nothing.

    Notes
    -----
    .. math:: P^- = P + Q, \\quad K = P^- / (P^- + R), \\quad m = m + K (y - m), \\quad P = (1 - K) P^-

    from m = the first value and P = R.

    References
    ----------
    .. [1] J. Durbin and S. Koopman, Time Series Analysis by State Space Methods, 2nd ed., Oxford, 2012.

    Evidence: V (statsmodels' own answers), M (the book's Nile figures).

    Examples
    --------
    >>> round(local_level([80, 81.5, 80.8], noise_variance=1, step_variance=0.1).levels[-1], 5)
    80.7912
    """
    if not values:
        raise ValueError("at least one value is needed")
    require_positive(noise_variance=noise_variance)
    require_not_negative(step_variance=step_variance)
    for value in values:
        require_finite(value=value)
    levels, variance = [float(values[0])], noise_variance
    for value in values[1:]:
        before = variance + step_variance
        gain = before / (before + noise_variance)
        levels.append(levels[-1] + gain * (value - levels[-1]))
        variance = (1 - gain) * before
    return LocalLevel(tuple(levels), variance)
