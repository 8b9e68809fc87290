"""Has growth stopped? Weighs "still on the expected curve" against "flat since some week", over several movements.

A Bayesian change-point over a small grid: growth follows the published linear-log curve with a rate that differs
between people, until a week of the record after which nothing is gained. The noise is integrated out; a bad day is
clipped. Movements of one client share evidence, because whatever stops one (sleep, stress, illness, a plan gone stale)
often stops all; for the same reason weekly check-ins that fell for good make it more probable that all have stopped.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import log

import numpy as np
from numpy.typing import NDArray

from methods.ranges import require_exposures, require_finite, require_not_negative
from methods.undefined import Undefined
from methods.verdict import BEGINNER_WEEKS, TrendVerdict, Verdict, judge_trend, residual_cv_percent

MIN_EXPOSURES = 6
MIN_SPAN_WEEKS = 5.0
HISTORY_WEEKS = 40.0

# Prior of the growth rate b between people (published 30 to 50 % in year one: mean 0.10, SD 0.03).
_RATES = np.array([0.03, 0.055, 0.08, 0.10, 0.12, 0.145, 0.17])
_RATE_WEIGHTS = np.exp(-0.5 * ((_RATES - 0.10) / 0.03) ** 2)
_RATE_WEIGHTS /= _RATE_WEIGHTS.sum()
# Noise of an estimated maximum from day to day, each as probable as the next. [%]
_NOISES = np.array([2.4, 3.2, 4.3, 5.8, 8.0])
_PRIOR = np.log(_RATE_WEIGHTS[:, None] / len(_NOISES) + np.zeros(len(_NOISES)))
_CLIP_SIGMA = 2.5
_MIN_CLIP_PCT = 1.5
# How often a plateau begins, and how often in all movements at once. House rules: chosen in the evaluation, on other
# trainees than those reported.
_HAZARD_PER_WEEK = 1 / 100
_SHARED = 0.8
# How check-ins and a plateau go together. House rules without any study behind them: half of those who stop everywhere
# feel two points worse for good (McLean index, 1.5 points from week to week), one in five does without a plateau.
_FALL_POINTS, _WEEK_TO_WEEK_POINTS = 2.0, 1.5
_FEELS_THE_STOP, _FEELS_WITHOUT = 0.5, 0.2
MIN_CHECK_INS = 6

STALLED_FROM = 0.54  # about one false alarm for four growing clients in 16 weeks

Exposure = tuple[float, float]  # day number, best value


@dataclass(frozen=True, slots=True)
class PlateauEvidence:
    """How probable it is, given the model, that a movement has stopped growing."""

    probability: float
    weeks_flat: float  # most probable length of the flat stretch
    n: int
    span_weeks: float
    log_odds: float  # the same as the probability, but not rounded away near 1


Logs = NDArray[np.float64]


def _log_sum(logs: Logs, axis: tuple[int, ...] | None = None) -> Logs:
    top = np.max(logs, axis=axis, keepdims=True)
    return np.asarray(np.log(np.exp(logs - top).sum(axis=axis)) + np.squeeze(top, axis=axis))


def _stops(first_day: float, as_of_day: float) -> tuple[Logs, Logs]:
    """Weeks of the record after which growth may have stopped, and the log prior of each; the last is "not yet".

    What was flat before the record began cannot be told from slow growth, so it is no story of its own.
    """
    weeks = np.arange(np.floor(first_day / 7), as_of_day / 7)
    survived = np.arange(len(weeks)) * log(1 - _HAZARD_PER_WEEK)
    return weeks, np.append(survived + log(_HAZARD_PER_WEEK), len(weeks) * log(1 - _HAZARD_PER_WEEK))


def _log_likelihoods(points: Sequence[Exposure], start_weeks: float, stops: Logs) -> Logs:
    """Log likelihood by growth rate, noise, and the week in which growth stopped (last: not yet). The level is free."""
    weeks = np.array([day / 7 for day, _ in points])
    x = np.array([100 * log(value) for _, value in points])
    n = len(points)
    trained = np.minimum(weeks[None, :], np.append(stops, np.inf)[:, None]) + start_weeks
    curves = 100 * np.log1p(_RATES[:, None, None] * np.log1p(np.maximum(trained, 0.0))[None])
    residuals = _clipped(x, curves[:, -1])[:, None, :] - curves
    variance = residuals.var(axis=2)[:, None, :]
    sigma = _NOISES[None, :, None]
    return np.asarray(-(n - 1) * np.log(sigma) - n * variance / (2 * sigma**2))


def _clipped(x: Logs, growth: Logs) -> Logs:
    """Pull bad and miraculous days in, around each curve of growth."""
    off = x - growth
    middle = np.median(off, axis=1, keepdims=True)
    reach = _CLIP_SIGMA * max(1.2533 * float(np.abs(off - middle).mean(axis=1).min()), _MIN_CLIP_PCT)
    return np.asarray(growth + middle + np.clip(off - middle, -reach, reach))


def _log_feelings(check_ins: Sequence[Exposure], stops: Logs) -> Logs:
    """Log odds that the check-ins give to "everything stopped in this week" against "nothing did"."""
    if len(check_ins) < MIN_CHECK_INS:
        return np.zeros(len(stops))
    weeks = np.array([day / 7 for day, _ in check_ins])
    told = np.array([value for _, value in check_ins])
    lifted = told[None, :] + _FALL_POINTS * (weeks[None, :] >= stops[:, None])
    gained = len(told) * (told.var() - lifted.var(axis=1)) / (2 * _WEEK_TO_WEEK_POINTS**2)
    fell = np.exp(np.clip(gained, -50, 50))
    return np.asarray(
        np.log(1 - _FEELS_THE_STOP + _FEELS_THE_STOP * fell) - np.log(1 - _FEELS_WITHOUT + _FEELS_WITHOUT * fell.mean())
    )


def plateau_evidence(
    movements: Mapping[str, Sequence[Exposure]],
    training_weeks: float,
    *,
    as_of_day: float,
    check_ins: Sequence[Exposure] = (),
) -> dict[str, PlateauEvidence | Undefined]:
    """Weigh, for each movement of one client, whether its growth has stopped.

    Parameters
    ----------
    movements : mapping of name to comparable exposures (day number, best value > 0)
        Without deload, illness and pain-limited sessions; steps of a line only where shares make them comparable.
    training_weeks : float, >= 0
        Training age at `as_of_day`. [weeks]
    as_of_day : float
        Exposures after it are ignored. [day number]
    check_ins : sequence of (day number, McLean index 5 to 25)
        About one a week; fewer than six say nothing. They bear only on "everything has stopped".

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

    Evidence: V (the spread of growth), T (how often plateaus begin, and how check-ins go with them).

    Examples
    --------
    >>> flat = [(7.0 * week, 100.0 + week % 2) for week in range(14)]
    >>> plateau_evidence({"row": flat}, 14, as_of_day=91.0)["row"].probability > 0.9
    True
    """
    require_not_negative(training_weeks=training_weeks)
    require_finite(as_of_day=as_of_day)
    seen = {
        name: [p for p in sorted(points) if as_of_day - 7 * HISTORY_WEEKS <= p[0] <= as_of_day]
        for name, points in movements.items()
    }
    for points in movements.values():
        require_exposures(points)
    told = sorted(point for point in check_ins if point[0] <= as_of_day)
    if any(not 5 <= value <= 25 for _, value in told):
        raise ValueError("check-ins are McLean indices from 5 to 25")
    enough = {name: points for name, points in seen.items() if _enough(points)}
    found = _weigh(enough, training_weeks, as_of_day, told) if enough else {}
    return {name: found.get(name) or _not_enough(points) for name, points in seen.items()}


def _not_enough(points: Sequence[Exposure]) -> Undefined:
    return Undefined(
        f"not enough data: have {len(points)} of {MIN_EXPOSURES} exposures over "
        f"{_span(points):.1f} of {MIN_SPAN_WEEKS:.0f} weeks"
    )


def _span(points: Sequence[Exposure]) -> float:
    return (points[-1][0] - points[0][0]) / 7 if points else 0.0


def _enough(points: Sequence[Exposure]) -> bool:
    return len(points) >= MIN_EXPOSURES and _span(points) >= MIN_SPAN_WEEKS


def _weigh(
    movements: Mapping[str, Sequence[Exposure]], training_weeks: float, as_of_day: float, told: Sequence[Exposure]
) -> dict[str, PlateauEvidence]:
    """Weigh the stories: nothing stopped, one movement stopped, all stopped in the same week."""
    stops, prior = _stops(min(points[0][0] for points in movements.values()), as_of_day)
    start_weeks = training_weeks - as_of_day / 7
    seen = {name: _log_likelihoods(points, start_weeks, stops) for name, points in movements.items()}
    growing = _PRIOR + sum(logs[:, :, -1] for logs in seen.values())
    together = _PRIOR[:, :, None] + sum(logs[:, :, :-1] for logs in seen.values())
    shared = _SHARED if len(seen) > 1 else 0.0
    all_stopped = (
        _log_sum(together, (0, 1)) + prior[:-1] + _log_feelings(told, stops) + (log(shared) if shared else -np.inf)
    )
    alone = {
        name: _log_sum((growing - logs[:, :, -1])[:, :, None] + logs[:, :, :-1], (0, 1)) + prior[:-1] + log(1 - shared)
        for name, logs in seen.items()
    }
    none = float(_log_sum(growing) + prior[-1])
    return {
        name: _evidence(points, name, all_stopped, alone, none, stops, as_of_day) for name, points in movements.items()
    }


def _evidence(
    points: Sequence[Exposure],
    name: str,
    all_stopped: Logs,
    alone: Mapping[str, Logs],
    none: float,
    stops: Logs,
    as_of_day: float,
) -> PlateauEvidence:
    stopped = np.logaddexp(all_stopped, alone[name])
    # Another movement that stopped alone leaves this one growing.
    elsewhere = [float(_log_sum(logs)) for other, logs in alone.items() if other != name]
    odds = float(_log_sum(stopped)) - float(_log_sum(np.array([none, *elsewhere])))
    weeks_flat = as_of_day / 7 - float(stops[int(np.argmax(stopped))])
    return PlateauEvidence(_probability(odds), weeks_flat, len(points), _span(points), odds)


def _probability(log_odds: float) -> float:
    return float(1 / (1 + np.exp(-min(max(log_odds, -50.0), 50.0))))


_OPEN = (Verdict.UNCLEAR, Verdict.STALLED, Verdict.MAINTAINING, Verdict.NOT_ENOUGH_DATA)


def judge_movements(
    movements: Mapping[str, Sequence[Exposure]],
    training_weeks: float | None,
    *,
    as_of_day: float,
    check_ins: Sequence[Exposure] = (),
) -> dict[str, TrendVerdict]:
    """Judge every movement of one client, the stalls by all of them together.

    Parameters
    ----------
    movements : mapping of name to comparable exposures (day number, best value > 0)
    training_weeks : float or None
        Training age at `as_of_day`; None is judged like a beginner whose age is the length of the record. [weeks]
    as_of_day : float
        The day of the look. [day number]
    check_ins : sequence of (day number, McLean index), as in `plateau_evidence`

    Notes
    -----
    Rising and falling are read as in `judge_trend`, and falling also from `fell_together`. Stalled is what
    `plateau_evidence` holds for at least 54 % probable, after 26 weeks of training called maintaining; it also speaks
    where the windows of `judge_trend` are not full yet.

    Evidence: T (house rule, measured by ``make evaluate``).

    Examples
    --------
    >>> flat = [(7.0 * week, 100.0 + week % 2) for week in range(14)]
    >>> judge_movements({"row": flat}, 14, as_of_day=91.0)["row"].verdict.value
    'stalled'
    """
    days = [day for points in movements.values() for day, _ in points if day <= as_of_day]
    age = training_weeks if training_weeks is not None else max(0.0, as_of_day - min(days, default=as_of_day)) / 7
    found = plateau_evidence(movements, age, as_of_day=as_of_day, check_ins=check_ins)
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

    Evidence: T (house rule).

    Examples
    --------
    >>> before = [(3.5 * i, 100.0 + 2 * (i % 3)) for i in range(10)]
    >>> fell_together({"row": before + [(35.0, 90.0), (38.5, 91.0), (42.0, 90.0)]}, as_of_day=42.0)
    True
    """
    require_finite(as_of_day=as_of_day)
    for points in movements.values():
        require_exposures(points)
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
