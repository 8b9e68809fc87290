"""Has growth stopped? Weighs "still on the expected curve" against "flat since some week", over several movements.

A Bayesian change-point over a small grid: growth follows the published linear-log curve with a rate that differs
between people, until a week after which nothing is gained. Noise is integrated out; a bad day is clipped. Movements of
one client share evidence, because whatever stops one (sleep, stress, illness, a plan gone stale) often stops all.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import log

import numpy as np
from numpy.typing import NDArray

from methods.trend import BEGINNER_WEEKS, TrendVerdict, Verdict, judge_trend, residual_cv_percent, theil_sen
from methods.undefined import Undefined

MIN_EXPOSURES = 6
MIN_SPAN_WEEKS = 5.0
HISTORY_WEEKS = 40.0

# Prior of the growth rate b between people (published 30 to 50 % in year one: mean 0.10, SD 0.03).
_RATES = np.array([0.03, 0.055, 0.08, 0.10, 0.12, 0.145, 0.17])
_RATE_WEIGHTS = np.exp(-0.5 * ((_RATES - 0.10) / 0.03) ** 2)
_RATE_WEIGHTS /= _RATE_WEIGHTS.sum()
# Prior of the noise of an estimated maximum: about 5 % with the weight of four exposures.
_NOISE_PRIOR_N = 4.0
_NOISE_PRIOR_PCT = 4.0
_CLIP_SIGMA = 2.0
# How often a plateau begins, and how often in all movements at once. House rules: chosen in the evaluation, on other
# trainees than those reported.
_HAZARD_PER_WEEK = 1 / 100
_SHARED = 0.6

STALLED_FROM = 0.60  # about one false alarm for four growing clients in 16 weeks

Exposure = tuple[float, float]  # day number, best value


@dataclass(frozen=True, slots=True)
class PlateauEvidence:
    """How probable it is, given the model, that a movement has stopped growing."""

    probability: float
    weeks_flat: float  # most probable length of the flat stretch
    n: int
    span_weeks: float


@cache
def _onsets(weeks: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Weeks before now at which growth may have stopped, with their prior weights; the last entry is "not yet"."""
    ago = np.arange(weeks, -1.0, -1.0)
    survive = (1 - _HAZARD_PER_WEEK) ** (weeks - ago)
    weights = survive * _HAZARD_PER_WEEK
    weights[-1] = survive[-1]
    return ago, weights / weights.sum()


def _clipped(days: Sequence[float], logs: Sequence[float]) -> NDArray[np.float64]:
    """Pull bad and miraculous days in to two sigma of a robust line."""
    line = theil_sen(days, logs, exact=False)
    if isinstance(line, Undefined):
        return np.asarray(logs, dtype=float)
    fitted = np.asarray([line.slope * d for d in days])
    residuals = np.asarray(logs) - fitted
    middle = float(np.median(residuals))
    reach = _CLIP_SIGMA * max(1.2533 * float(np.mean(np.abs(residuals - middle))), 1.0)
    return np.asarray(np.clip(residuals, middle - reach, middle + reach) + fitted)


def _log_likelihoods(exposures: Sequence[Exposure], training_weeks: float, day: float) -> NDArray[np.float64]:
    """Log marginal likelihood for every week in which growth may have stopped (last: not yet)."""
    days = [d for d, _ in exposures]
    x = _clipped(days, [100 * log(value) for _, value in exposures])
    ago, _ = _onsets(int(HISTORY_WEEKS))
    when = np.array([training_weeks - (day - d) / 7 for d in days]).clip(min=0.0)
    stop = np.maximum(training_weeks - ago, 0.0)
    grown = np.log1p(np.minimum(when[None, :], stop[:, None]))  # (stops, exposures)
    curves = 100 * np.log1p(_RATES[:, None, None] * grown[None, :, :])
    residuals = x - curves
    residuals -= residuals.mean(axis=2, keepdims=True)
    rss = np.square(residuals).sum(axis=2)  # (rates, stops)
    n = len(days)
    log_p = -0.5 * (n - 1 + _NOISE_PRIOR_N) * np.log(rss + _NOISE_PRIOR_N * _NOISE_PRIOR_PCT**2)
    top = log_p.max()
    return np.asarray(np.log(_RATE_WEIGHTS @ np.exp(log_p - top)) + top)


def plateau_evidence(
    movements: Mapping[str, Sequence[Exposure]], training_weeks: float, *, as_of_day: float
) -> dict[str, PlateauEvidence | Undefined]:
    """Weigh, for each movement of one client, whether its growth has stopped.

    Parameters
    ----------
    movements : mapping of name to comparable exposures (day number, best value > 0)
        Without deload, illness and pain-limited sessions; steps of a line only where shares make them comparable.
    training_weeks : float, >= 0
        Training age at `as_of_day`. [weeks]
    as_of_day : float
        Exposures after it are ignored.

    Returns
    -------
    dict of name to PlateauEvidence, or Undefined while a movement has too few exposures.

    Notes
    -----
    .. math:: x_i = a + 100 \\ln(1 + b \\ln(\\min(w_i, \\tau) + 1)) + e_i

    with the level a free, b from the published spread, the stopping week tau from a constant hazard, and the noise
    integrated out. For several movements the three stories "none", "only this one" and "all since the same week" are
    weighed together. A model, not a published rule: what it finds and what it cries in vain is printed by
    ``make evaluate``.

    References
    ----------
    .. [1] J. Steele et al., Res Q Exerc Sport, vol. 94, pp. 913-930, 2023. doi:10.1080/02701367.2022.2070592

    Examples
    --------
    >>> flat = [(7.0 * week, 100.0 + week % 2) for week in range(14)]
    >>> plateau_evidence({"row": flat}, 14, as_of_day=91.0)["row"].probability > 0.9
    True
    """
    if training_weeks < 0:
        raise ValueError(f"training_weeks must not be negative, got {training_weeks}")
    seen = {
        name: [p for p in sorted(points) if as_of_day - 7 * HISTORY_WEEKS <= p[0] <= as_of_day]
        for name, points in movements.items()
    }
    if any(value <= 0 for points in seen.values() for _, value in points):
        raise ValueError("values must be positive")
    likelihoods = {
        name: _log_likelihoods(points, training_weeks, as_of_day) for name, points in seen.items() if _enough(points)
    }
    results: dict[str, PlateauEvidence | Undefined] = {}
    for name, points in seen.items():
        if name in likelihoods:
            results[name] = _weigh(name, likelihoods, points)
        else:
            results[name] = Undefined(
                f"not enough data: have {len(points)} of {MIN_EXPOSURES} exposures over "
                f"{_span(points):.1f} of {MIN_SPAN_WEEKS:.0f} weeks"
            )
    return results


def _span(points: Sequence[Exposure]) -> float:
    return (points[-1][0] - points[0][0]) / 7 if points else 0.0


def _enough(points: Sequence[Exposure]) -> bool:
    return len(points) >= MIN_EXPOSURES and _span(points) >= MIN_SPAN_WEEKS


def _weigh(name: str, likelihoods: Mapping[str, NDArray[np.float64]], points: Sequence[Exposure]) -> PlateauEvidence:
    ago, prior = _onsets(int(HISTORY_WEEKS))
    # Relative to "not yet", so that movements without news add nothing.
    relative = {other: values - values[-1] for other, values in likelihoods.items()}
    shared = _SHARED if len(relative) > 1 else 0.0
    alone = np.exp(relative[name][:-1]) * prior[:-1] * (1 - shared)
    together = np.exp(np.clip(sum(relative.values())[:-1], None, 600)) * prior[:-1] * shared
    stopped = alone + together
    # Another movement stopping alone says nothing about this one, but it is a story of its own.
    elsewhere = sum(
        float((np.exp(np.clip(values[:-1], None, 600)) * prior[:-1]).sum()) * (1 - shared)
        for other, values in relative.items()
        if other != name
    )
    total = float(stopped.sum())
    growing = float(prior[-1]) + elsewhere
    return PlateauEvidence(total / (total + growing), float(ago[int(np.argmax(stopped))]), len(points), _span(points))


_OPEN = (Verdict.UNCLEAR, Verdict.STALLED, Verdict.MAINTAINING, Verdict.NOT_ENOUGH_DATA)


def judge_movements(
    movements: Mapping[str, Sequence[Exposure]], training_weeks: float | None, *, as_of_day: float
) -> dict[str, TrendVerdict]:
    """Judge every movement of one client, the stalls by all of them together.

    Parameters
    ----------
    movements : mapping of name to comparable exposures (day number, best value > 0)
    training_weeks : float or None
        Training age at `as_of_day`; None is judged like a beginner whose age is the length of the record. [weeks]
    as_of_day : float
        The day of the look.

    Notes
    -----
    Rising and falling are read as in `judge_trend`, and falling also from `fell_together`. Stalled is what
    `plateau_evidence` holds for at least 60 % probable, after 26 weeks of training called maintaining; it also speaks
    where the windows of `judge_trend` are not full yet.

    Examples
    --------
    >>> flat = [(7.0 * week, 100.0 + week % 2) for week in range(14)]
    >>> judge_movements({"row": flat}, 14, as_of_day=91.0)["row"].verdict.value
    'stalled'
    """
    days = [day for points in movements.values() for day, _ in points if day <= as_of_day]
    age = training_weeks if training_weeks is not None else max(0.0, as_of_day - min(days, default=as_of_day)) / 7
    found = plateau_evidence(movements, age, as_of_day=as_of_day)
    verdicts = {
        name: _with_evidence(judge_trend(points, training_weeks, as_of_day=as_of_day), found[name], age)
        for name, points in movements.items()
    }
    if not fell_together(movements, as_of_day=as_of_day):
        return verdicts
    return {name: _fallen(verdict, movements[name], as_of_day) for name, verdict in verdicts.items()}


def _fallen(verdict: TrendVerdict, points: Sequence[Exposure], as_of_day: float) -> TrendVerdict:
    recent = [z for _, z in _recent_z([p for p in sorted(points) if p[0] <= as_of_day])]
    if not recent or sum(recent) >= 0:
        return verdict
    reason = "the movements fell together over the last training days"
    return replace(verdict, verdict=Verdict.DECLINING, reason=reason)


def _with_evidence(verdict: TrendVerdict, evidence: PlateauEvidence | Undefined, age: float) -> TrendVerdict:
    if verdict.verdict not in _OPEN or isinstance(evidence, Undefined):
        return verdict
    # No model is that sure, and nothing is known from before the record.
    percent = f"{100 * evidence.probability:.0f} %" if evidence.probability < 0.99 else "over 99 %"
    flat_weeks = min(evidence.weeks_flat, evidence.span_weeks)
    if evidence.probability >= STALLED_FROM:
        name = Verdict.MAINTAINING if age > BEGINNER_WEEKS else Verdict.STALLED
        reason = f"no longer rising, for about {flat_weeks:.0f} weeks ({percent} probable from all movements)"
        return replace(verdict, verdict=name, n=evidence.n, span_weeks=evidence.span_weeks, reason=reason)
    if verdict.verdict in (Verdict.STALLED, Verdict.MAINTAINING):
        return replace(verdict, verdict=Verdict.UNCLEAR, reason=f"could be either: stalled is {percent} probable")
    return verdict


FELL_DAYS = 2
FELL_WINDOW_DAYS = 21.0
FELL_EACH_DAY_Z = -0.4
FELL_POOLED_Z = -2.4
FELL_MIN_EARLIER = 8
_MIN_SIGMA_PCT = 2.0


def fell_together(movements: Mapping[str, Sequence[Exposure]], *, as_of_day: float) -> bool:
    """Say whether a client's movements fell on the last two or more training days, taken together.

    Parameters
    ----------
    movements : mapping of name to comparable exposures (day number, best value > 0)
    as_of_day : float

    Notes
    -----
    Each recent value (three last of a movement, at most three weeks old) is compared with the median of its eight
    earlier ones in units of its own noise. Two or more different days must each lie low on average, so that one bad
    day never speaks alone, and all together must lie far below. House rule, measured by ``make evaluate``.

    Examples
    --------
    >>> before = [(3.5 * i, 100.0 + 2 * (i % 3)) for i in range(10)]
    >>> fell_together({"row": before + [(35.0, 90.0), (38.5, 91.0), (42.0, 90.0)]}, as_of_day=42.0)
    True
    """
    by_day: dict[float, list[float]] = {}
    for points in movements.values():
        for day, z in _recent_z([p for p in sorted(points) if p[0] <= as_of_day]):
            if as_of_day - day <= FELL_WINDOW_DAYS:
                by_day.setdefault(day, []).append(z)
    if len(by_day) < FELL_DAYS:
        return False
    latest = [by_day[day] for day in sorted(by_day)][-3:]
    everything = [z for values in latest for z in values]
    low_days = [sum(values) / len(values) <= FELL_EACH_DAY_Z for values in latest[-FELL_DAYS:]]
    return all(low_days) and sum(everything) / len(everything) ** 0.5 <= FELL_POOLED_Z


def _recent_z(points: Sequence[Exposure]) -> list[Exposure]:
    """The last three values in standard deviations from the median of the eight before them."""
    earlier, recent = points[:-3], points[-3:]
    if len(earlier) < FELL_MIN_EARLIER:
        return []
    cv = residual_cv_percent([day for day, _ in earlier], [value for _, value in earlier])
    if isinstance(cv, Undefined):
        return []
    logs = [100 * log(value) for _, value in earlier[-FELL_MIN_EARLIER:]]
    centre = float(np.median(logs))
    # The centre is itself known from few values.
    sigma = max(cv, _MIN_SIGMA_PCT) * (1 + 1 / len(logs)) ** 0.5
    return [(day, (100 * log(value) - centre) / sigma) for day, value in recent]
