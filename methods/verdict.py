"""Progress or noise? The verdict on one movement's comparable exposures, and the description of time on a step."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import log, sqrt

from methods.charts import cusum
from methods.growth import expected_rate_percent_per_week
from methods.ranges import require_exposures, require_not_negative
from methods.trend import mann_kendall, theil_sen
from methods.undefined import Undefined


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

    Evidence: T (house rule on published statistics).

    Examples
    --------
    >>> judge_trend([(0, 100), (7, 101)], 10).reason
    'not enough data: have 2 of 8 exposures over 1.0 of 8 weeks'
    """
    require_exposures(exposures)
    if training_weeks is not None:
        require_not_negative(training_weeks=training_weeks)
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

    Evidence: A (arithmetic).

    Examples
    --------
    >>> residual_cv_percent([0, 7, 14, 21], [100, 100, 100, 100])
    0.0
    """
    require_exposures(zip(days, values, strict=True))
    logs = [100 * log(value) for value in values]
    line = theil_sen(days, logs)
    if isinstance(line, Undefined) or len(days) < 3:
        return Undefined("at least three exposures on different days are needed")
    residuals = [y - line.slope * d for d, y in zip(days, logs, strict=True)]
    middle = statistics.median(residuals)
    n = len(days)
    return 1.2533 * statistics.fmean(abs(r - middle) for r in residuals) * sqrt(n / (n - 2))


def expected_rate_for_stall(training_weeks: float | None) -> float:
    """Give the rate that a stall is measured against. [% per week]

    Evidence: V (the curve's ranges), T (the floor before week 26).

    Examples
    --------
    >>> expected_rate_for_stall(None), round(expected_rate_for_stall(52), 3)
    (0.5, 0.136)
    """
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

    Evidence: M (run lengths of the chart), T (its use here).

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

    Evidence: T (house rule).

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

    Evidence: A (a count).

    Examples
    --------
    >>> steps_climbed([StepExposure(0, 3, 8, 1), StepExposure(30, 5, 6, 2)])
    2
    """
    if not exposures:
        return Undefined("no sessions on a step yet")
    return exposures[-1].step - exposures[0].step
