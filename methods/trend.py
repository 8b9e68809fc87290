"""Progress or noise? Trend statistics for short, noisy series, and the verdict built on them."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from math import exp, log, sqrt

import numpy as np

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

    Examples
    --------
    >>> round(mann_kendall_upper_p(8, 16), 5)
    0.03051
    """
    if not 2 <= n <= MAX_EXACT_N:
        raise ValueError(f"n must be 2 to {MAX_EXACT_N}, got {n}")
    counts = _inversion_counts(n)
    pairs = n * (n - 1) // 2
    return sum(value for inversions, value in enumerate(counts) if pairs - 2 * inversions >= s) / sum(counts)


@cache
def mann_kendall_critical_s(n: int, level: float) -> int | Undefined:
    """Find the smallest S whose exact one-sided probability is at most `level`.

    Examples
    --------
    >>> mann_kendall_critical_s(8, 0.05)
    16
    """
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

    Examples
    --------
    >>> mann_kendall([80, 81.5, 80.8, 83, 83.9, 83.2, 85.4, 86.1]).s
    24
    """
    n = len(values)
    if n < 3:
        raise ValueError(f"at least three values are needed, got {n}")
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


GROWTH_PER_LOG_WEEK = 0.40 / log(53)


def growth_percent_steele(weeks: float, rate: float = GROWTH_PER_LOG_WEEK) -> float:
    """Expect this gain in strength after so many weeks of training. [%]

    Notes
    -----
    .. math:: gain = 100 b \\ln(w + 1)

    b makes 40 % in the first year, inside the published 30 to 50; it then gives 58 % after six years, inside the
    published 50 to 60.

    References
    ----------
    .. [1] J. Steele et al., Res Q Exerc Sport, vol. 94, pp. 913-930, 2023. doi:10.1080/02701367.2022.2070592

    Examples
    --------
    >>> round(growth_percent_steele(52), 1), round(growth_percent_steele(312), 1)
    (40.0, 57.9)
    """
    if weeks < 0 or rate < 0:
        raise ValueError("weeks and rate must not be negative")
    return 100 * rate * log(weeks + 1)


def expected_rate_percent_per_week(training_weeks: float, rate: float = GROWTH_PER_LOG_WEEK) -> float:
    """Expect this rate of gain at a training age. [% per week]

    Examples
    --------
    >>> round(expected_rate_percent_per_week(12), 3)
    0.616
    """
    if training_weeks < 0:
        raise ValueError(f"training_weeks must not be negative, got {training_weeks}")
    grown = 1 + rate * log(training_weeks + 1)
    return 100 * rate / ((training_weeks + 1) * grown)


class Verdict(StrEnum):
    """What a series of comparable exposures says."""

    PROGRESSING = "progressing"
    DECLINING = "declining"
    STALLED = "stalled"
    MAINTAINING = "maintaining"
    UNCLEAR = "unclear"
    NOT_ENOUGH_DATA = "not_enough_data"


@dataclass(frozen=True, slots=True)
class TrendVerdict:
    """A verdict with everything a coach needs to disagree with it."""

    verdict: Verdict
    n: int
    span_weeks: float
    slope_pct_per_week: float | None
    ci: tuple[float, float] | None
    reason: str
    residual_cv_pct: float | None = None
    expected_pct_per_week: float | None = None


# Noise decides how much is needed: largest residual CV, calendar weeks, exposures.
WINDOWS = ((3.0, 8, 8), (6.0, 10, 10), (8.0, 12, 12))
CONFIDENCE = 0.80
STALL_SHARE = 0.25
BEGINNER_WEEKS = 26
BEGINNER_MIN_RATE = 0.5
SUDDEN_DROP_SLACK = 0.5
SUDDEN_DROP_LIMIT = 4.0
SUDDEN_DROP_RECENT = 3
SUDDEN_DROP_MIN_EARLIER = 8
MIN_SIGMA_PCT = 2.0


def judge_trend(
    exposures: Sequence[tuple[float, float]], training_weeks: float | None, *, as_of_day: float | None = None
) -> TrendVerdict:
    """Judge whether a movement progresses, from comparable exposures only.

    Parameters
    ----------
    exposures : sequence of (day number, best value > 0)
        One estimated system maximum (or best repetitions or seconds) per session: same movement, tempo, range and
        equipment; without deload, illness and pain-limited sessions. Missing sessions are simply absent.
    training_weeks : float or None
        Training age. None is judged like a beginner. [weeks]
    as_of_day : float or None
        The day of the look; the last exposure when None.

    Notes
    -----
    Slopes of 100 ln(value) over calendar time, Theil-Sen with an exact 80 % interval, over the last 8, 10 or 12 weeks
    by how noisy the series is. Against the expected rate r of the training age (at least 0.5 % a week before week 26):

    - DECLINING: interval below 0 and Mann-Kendall p < .05, or a lower CUSUM of the last three signals;
    - PROGRESSING: interval above 0;
    - STALLED: slope below r / 4 and interval below r, at two looks a week apart (MAINTAINING after week 26);
    - UNCLEAR: everything else. "Not significant" is not "stalled".

    House rule; its hit and false-alarm rates are printed by ``make evaluate``.

    Examples
    --------
    >>> judge_trend([(0, 100), (7, 101)], 10).reason
    'not enough data: have 2 of 8 exposures over 1.0 of 8 weeks'
    """
    if any(value <= 0 for _, value in exposures):
        raise ValueError("values must be positive")
    ordered = sorted(exposures)
    if not ordered:
        return TrendVerdict(Verdict.NOT_ENOUGH_DATA, 0, 0.0, None, None, "not enough data: have 0 exposures")
    day = ordered[-1][0] if as_of_day is None else as_of_day
    now = _look(ordered, training_weeks, day)
    if now.verdict is not Verdict.STALLED:
        return now
    before = _look([point for point in ordered if point[0] <= day - 7], training_weeks, day - 7)
    if before.verdict is not Verdict.STALLED:
        return _as(now, Verdict.UNCLEAR, "looks stalled for the first time: wait for next week's look")
    if training_weeks is not None and training_weeks > BEGINNER_WEEKS:
        return _as(now, Verdict.MAINTAINING, now.reason)
    return now


def _as(look: TrendVerdict, verdict: Verdict, reason: str) -> TrendVerdict:
    return TrendVerdict(
        verdict, look.n, look.span_weeks, look.slope_pct_per_week, look.ci, reason, look.residual_cv_pct,
        look.expected_pct_per_week,
    )  # fmt: skip


def _look(ordered: Sequence[tuple[float, float]], training_weeks: float | None, day: float) -> TrendVerdict:
    seen = [point for point in ordered if point[0] <= day]
    widest = _window(seen, day, WINDOWS[-1][1])
    cv = residual_cv_percent([d for d, _ in widest], [value for _, value in widest])
    if isinstance(cv, Undefined):
        return _too_little(widest, WINDOWS[0])
    if sudden_drop([value for _, value in widest]):
        reason = "the last three sessions fell out of the earlier ones"
        return TrendVerdict(Verdict.DECLINING, len(widest), _span_weeks(widest), None, None, reason, cv)
    rule = next((window for window in WINDOWS if cv <= window[0]), None)
    if rule is None:
        reason = f"too noisy to tell: {cv:.1f} % from session to session"
        return TrendVerdict(Verdict.UNCLEAR, len(widest), _span_weeks(widest), None, None, reason, cv)
    points = _window(seen, day, rule[1])
    # A window of so many weeks is full when its first and last exposure lie a week less apart.
    if len(points) < rule[2] or _span_weeks(points) < rule[1] - 1:
        return _too_little(points, rule)
    return _judge(points, training_weeks, cv)


def _window(ordered: Sequence[tuple[float, float]], day: float, weeks: int) -> list[tuple[float, float]]:
    return [point for point in ordered if day - 7 * weeks <= point[0] <= day]


def _span_weeks(points: Sequence[tuple[float, float]]) -> float:
    return (points[-1][0] - points[0][0]) / 7 if points else 0.0


def _too_little(points: Sequence[tuple[float, float]], rule: tuple[float, int, int]) -> TrendVerdict:
    weeks = _span_weeks(points)
    reason = f"not enough data: have {len(points)} of {rule[2]} exposures over {weeks:.1f} of {rule[1]} weeks"
    return TrendVerdict(Verdict.NOT_ENOUGH_DATA, len(points), weeks, None, None, reason)


def residual_cv_percent(days: Sequence[float], values: Sequence[float]) -> float | Undefined:
    """Measure the noise around the median line, so that one bad day counts little. [%]

    Notes
    -----
    1.2533 x the mean absolute residual of 100 ln(value) (a standard deviation for normal noise), widened for the two
    parameters fitted.

    Examples
    --------
    >>> residual_cv_percent([0, 7, 14, 21], [100, 100, 100, 100])
    0.0
    """
    logs = [100 * log(value) for value in values]
    line = theil_sen(days, logs)
    if isinstance(line, Undefined) or len(days) < 3:
        return Undefined("at least three exposures on different days are needed")
    residuals = [y - line.slope * d for d, y in zip(days, logs, strict=True)]
    middle = statistics.median(residuals)
    n = len(days)
    return 1.2533 * statistics.fmean(abs(r - middle) for r in residuals) * sqrt(n / (n - 2))


def expected_rate_for_stall(training_weeks: float | None) -> float:
    """Give the rate that a stall is measured against. [% per week]"""
    if training_weeks is None:
        return BEGINNER_MIN_RATE
    rate = expected_rate_percent_per_week(training_weeks)
    return max(rate, BEGINNER_MIN_RATE) if training_weeks <= BEGINNER_WEEKS else rate


def sudden_drop(values: Sequence[float]) -> bool:
    """Say whether the last three exposures fell out of the earlier ones (lower CUSUM, slack 0.5, limit 4 sigma).

    Parameters
    ----------
    values : sequence of float > 0, oldest first
        At least 8 earlier ones are needed, or the answer is False.

    Examples
    --------
    >>> sudden_drop([100, 101, 99, 100, 102, 100, 99, 101, 90, 89, 90])
    True
    """
    earlier, recent = values[:-SUDDEN_DROP_RECENT], values[-SUDDEN_DROP_RECENT:]
    if len(earlier) < SUDDEN_DROP_MIN_EARLIER:
        return False
    cv = residual_cv_percent(range(len(earlier)), earlier)
    if isinstance(cv, Undefined):
        return False
    centre = statistics.median(100 * log(value) for value in earlier[-SUDDEN_DROP_MIN_EARLIER:])
    scaled = [(100 * log(value) - centre) / max(cv, MIN_SIGMA_PCT) for value in recent]
    return max(cusum(scaled, target=0.0, slack=SUDDEN_DROP_SLACK, limit=SUDDEN_DROP_LIMIT).low) > SUDDEN_DROP_LIMIT


def _judge(points: Sequence[tuple[float, float]], training_weeks: float | None, cv: float) -> TrendVerdict:
    days, values = [day for day, _ in points], [value for _, value in points]
    line = theil_sen([day / 7 for day in days], [100 * log(value) for value in values], confidence=CONFIDENCE)
    if isinstance(line, Undefined) or isinstance(line.low, Undefined) or isinstance(line.high, Undefined):
        return _too_little(points, WINDOWS[0])
    rate = expected_rate_for_stall(training_weeks)
    verdict, reason = _verdict(line.slope, line.low, line.high, rate, values)
    return TrendVerdict(
        verdict, len(points), _span_weeks(points), line.slope, (line.low, line.high), reason, cv, rate
    )  # fmt: skip


def _verdict(slope: float, low: float, high: float, rate: float, values: Sequence[float]) -> tuple[Verdict, str]:
    per_week = f"{slope:+.2f} % a week ({low:+.2f} to {high:+.2f})"
    if high < 0 and mann_kendall(values).p_two_sided < 0.05:
        return Verdict.DECLINING, f"falling: {per_week}"
    if low > 0:
        return Verdict.PROGRESSING, f"rising: {per_week}"
    if slope < STALL_SHARE * rate and high < rate:
        return Verdict.STALLED, f"no longer rising: {per_week}, about {rate:.2f} expected at this training age"
    return Verdict.UNCLEAR, f"could be either: {per_week}"


@dataclass(frozen=True, slots=True)
class StepExposure:
    """One session on a progression line: the best set there."""

    day: float
    step: int
    best: float
    rir: float | None


@dataclass(frozen=True, slots=True)
class TimeOnStep:
    """How long someone has been on one step, as a description and no verdict."""

    step: int
    weeks: float
    exposures: int
    hard_exposures: int
    no_more: bool


NO_MORE_WEEKS = 3.0
NO_MORE_EXPOSURES = 4
NO_MORE_MAX_RIR = 2.0


def time_on_step(exposures: Sequence[StepExposure]) -> TimeOnStep | Undefined:
    """Describe the time on the current step of a line: for beginners and holds, where trends are rare.

    Parameters
    ----------
    exposures : sequence of StepExposure, oldest first

    Notes
    -----
    `no_more` says that over the last 3 weeks and at least 4 exposures with 2 or fewer in reserve there were no more
    repetitions or seconds than before. House rule; a description, not a verdict.

    Examples
    --------
    >>> seen = [StepExposure(day, 4, 8, 1) for day in (0, 7, 14, 21, 28)]
    >>> time_on_step(seen).no_more
    True
    """
    if not exposures:
        return Undefined("no sessions on a step yet")
    step = exposures[-1].step
    count = next((i for i, seen in enumerate(reversed(exposures)) if seen.step != step), len(exposures))
    here = exposures[len(exposures) - count :]
    last_day = here[-1].day
    recent = [
        e for e in here if last_day - e.day < 7 * NO_MORE_WEEKS and e.rir is not None and e.rir <= NO_MORE_MAX_RIR
    ]
    hard = [e for e in here if e.rir is not None and e.rir <= NO_MORE_MAX_RIR]
    earlier = [e for e in here if last_day - e.day >= 7 * NO_MORE_WEEKS]
    no_more = len(hard) >= NO_MORE_EXPOSURES and bool(earlier) and bool(recent)
    no_more = no_more and max(e.best for e in recent) <= max((e.best for e in earlier), default=0.0)
    return TimeOnStep(step, (last_day - here[0].day) / 7, len(here), len(hard), no_more)


def steps_climbed(exposures: Sequence[StepExposure]) -> int | Undefined:
    """Count the steps between the first and the last session of a block.

    Examples
    --------
    >>> steps_climbed([StepExposure(0, 3, 8, 1), StepExposure(30, 5, 6, 2)])
    2
    """
    if not exposures:
        return Undefined("no sessions on a step yet")
    return exposures[-1].step - exposures[0].step
