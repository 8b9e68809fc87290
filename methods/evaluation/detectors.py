"""The rules that are compared: ours, their predecessors, three naive ones, and a reference that is told more."""

from collections.abc import Mapping, Sequence
from math import log
from statistics import fmean

import numpy as np

from methods.evaluation.trainees import Movement, Trainee
from methods.plateau import PlateauEvidence, plateau_evidence
from methods.trend import mann_kendall, theil_sen
from methods.undefined import Undefined
from methods.verdict import Verdict, judge_trend

Points = Sequence[tuple[float, float]]


NO_SCORE = -99.0


def _scores(found: Mapping[str, PlateauEvidence | Undefined]) -> list[float]:
    return [NO_SCORE if isinstance(e, Undefined) else e.log_odds for e in found.values()]


def _weighed(trainee: Trainee, week: float, check_ins: Points = ()) -> list[float]:
    seen = {str(i): movement.seen for i, movement in enumerate(trainee.movements)}
    age = trainee.training_weeks + week
    return _scores(plateau_evidence(seen, age, as_of_day=7 * week, check_ins=check_ins))


def with_check_ins(trainee: Trainee, week: float) -> list[float]:
    """Our rule over all movements of a client and the weekly check-ins."""
    return _weighed(trainee, week, trainee.check_ins)


def joined(trainee: Trainee, week: float) -> list[float]:
    """Our rule over all movements of a client at once."""
    return _weighed(trainee, week)


def alone(trainee: Trainee, week: float) -> list[float]:
    """Our rule for each movement by itself."""
    age = trainee.training_weeks + week
    return [_scores(plateau_evidence({"it": m.seen}, age, as_of_day=7 * week))[0] for m in trainee.movements]


def reference(trainee: Trainee, week: float) -> list[float]:
    """Single-movement likelihood ratio, told the ability of the day, its noise and the trainee's own curve."""
    return [_told(trainee, movement, week) for movement in trainee.movements]


def _told(trainee: Trainee, movement: Movement, week: float) -> float:
    points = [(day / 7, value) for day, value in movement.truth if day <= 7 * week]
    if len(points) < 4:
        return NO_SCORE
    weeks = np.array([w for w, _ in points])
    x = np.array([100 * log(value) for _, value in points])
    age = trainee.training_weeks
    growing = 100 * np.log1p(trainee.rate * np.log1p(age + weeks))
    stops = np.arange(0.0, week, 1.0)[:, None]
    stopped = 100 * np.log1p(trainee.rate * np.log1p(age + np.minimum(weeks[None, :], stops)))
    residual = np.clip(x - growing - np.median(x - growing), -2.5 * trainee.cv_pct, 2.5 * trainee.cv_pct)
    level = growing + residual
    variance = trainee.cv_pct**2
    rss_growing = np.square(residual - residual.mean()).sum()
    other = level - stopped
    rss_stopped = np.square(other - other.mean(axis=1, keepdims=True)).sum(axis=1)
    return float(((rss_growing - rss_stopped) / (2 * variance)).max())


def windowed(trainee: Trainee, week: float) -> list[float]:
    """The rule of the methods sheet: Theil-Sen over calendar windows, two looks."""
    verdicts = [judge_trend(m.seen, trainee.training_weeks + week, as_of_day=7 * week) for m in trainee.movements]
    return [1.0 if v.verdict in (Verdict.STALLED, Verdict.MAINTAINING) else 0.0 for v in verdicts]


def inside_worthwhile(trainee: Trainee, week: float) -> list[float]:
    """The other proposal: the 80 % interval of the change over the last six exposures lies inside 3 %."""
    return [_inside(m.seen, week) for m in trainee.movements]


def _inside(points: Points, week: float) -> float:
    recent = [p for p in points if p[0] <= 7 * week][-8:]
    if len(recent) < 6 or recent[-1][0] - recent[0][0] < 21:
        return 0.0
    line = theil_sen([d for d, _ in recent], [100 * log(v) for _, v in recent], confidence=0.80, exact=False)
    if isinstance(line, Undefined) or isinstance(line.low, Undefined) or isinstance(line.high, Undefined):
        return 0.0
    days = recent[-1][0] - recent[0][0]
    return 1.0 if line.low * days > -3 and line.high * days < 3 else 0.0


def no_best_in_three(trainee: Trainee, week: float) -> list[float]:
    """Naive: no new best in the last three sessions."""
    scores = []
    for movement in trainee.movements:
        values = [value for day, value in movement.seen if day <= 7 * week]
        scores.append(1.0 if len(values) >= 6 and max(values[-3:]) <= max(values[:-3]) else 0.0)
    return scores


def not_significant(trainee: Trainee, week: float) -> list[float]:
    """Naive: the trend of the last eight weeks is not significant."""
    scores = []
    for movement in trainee.movements:
        values = [value for day, value in movement.seen if 7 * (week - 8) <= day <= 7 * week]
        scores.append(1.0 if len(values) >= 6 and _one_sided(values) > 0.10 else 0.0)
    return scores


def _one_sided(values: Sequence[float]) -> float:
    test = mann_kendall(values)
    return test.p_two_sided / 2 if test.s > 0 else 1 - test.p_two_sided / 2


def fixed_threshold(trainee: Trainee, week: float) -> list[float]:
    """Naive: the mean of the last four weeks is less than 1 % above that of the four before."""
    scores = []
    for movement in trainee.movements:
        last = [value for day, value in movement.seen if 7 * (week - 4) < day <= 7 * week]
        before = [value for day, value in movement.seen if 7 * (week - 8) < day <= 7 * (week - 4)]
        scores.append(1.0 if len(last) >= 3 and len(before) >= 3 and fmean(last) < 1.01 * fmean(before) else 0.0)
    return scores
