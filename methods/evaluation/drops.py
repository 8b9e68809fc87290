"""A ten per cent decline: found within three exposures of a movement, against alarms without one."""

from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np

from methods.evaluation.stalls import CVS
from methods.evaluation.trainees import Trainee, make_trainee, train_week
from methods.plateau import fell_together
from methods.verdict import SUDDEN_DROP_MIN_EARLIER, sudden_drop

DROP_WEEK, LAST_WEEK, EXPOSURES = 16, 24, 3


# In the order of the tuples below.
RULES = ("a movement's own CUSUM", "all movements together", "either")


@dataclass(frozen=True, slots=True)
class Drop:
    """One trainee whose ability fell by a tenth in every movement."""

    cv_pct: float
    judged: int  # movements with enough before the drop and three exposures after it
    found: int
    client_found: tuple[bool, ...]  # by rule
    alarms: tuple[int, ...]  # by rule: alarms that began although nothing fell
    weeks_before: int


def live(seed: int) -> Drop:
    """Simulate one trainee through a drop."""
    rng = np.random.default_rng([20260202, seed])
    cv = CVS[seed % 3]
    trainee = make_trainee(rng, cv_pct=cv, training_weeks=12, sessions_a_week=2, stop_week=None)
    trainee.drop_week, trainee.drop_share = float(DROP_WEEK), 0.10
    for week in range(LAST_WEEK):
        train_week(rng, trainee, week)
    judged, found = _by_movement(trainee)
    before, after = _looks(trainee)
    alarms = tuple(_onsets([look[rule] for look in before]) for rule in range(3))
    client_found = tuple(any(look[rule] for look in after) for rule in range(3))
    return Drop(cv, judged, found, client_found, alarms, DROP_WEEK)


def _by_movement(trainee: Trainee) -> tuple[int, int]:
    judged = found = 0
    for movement in trainee.movements:
        before = [value for day, value in movement.seen if day < 7 * DROP_WEEK]
        after = [value for day, value in movement.seen if day >= 7 * DROP_WEEK][:EXPOSURES]
        if len(before) >= SUDDEN_DROP_MIN_EARLIER and len(after) == EXPOSURES:
            judged += 1
            found += any(sudden_drop(before + after[: count + 1]) for count in range(EXPOSURES))
    return judged, found


Look = tuple[bool, bool, bool]


def _looks(trainee: Trainee) -> tuple[list[Look], list[Look]]:
    """Look after every training day before the drop, and after the first three from it on."""
    days = sorted({day for movement in trainee.movements for day, _ in movement.seen})
    before = [_look(trainee, day) for day in days if day < 7 * DROP_WEEK]
    return before, [_look(trainee, day) for day in [d for d in days if d >= 7 * DROP_WEEK][:EXPOSURES]]


def _look(trainee: Trainee, day: float) -> Look:
    seen = {str(i): [p for p in movement.seen if p[0] <= day] for i, movement in enumerate(trainee.movements)}
    alone = any(sudden_drop([value for _, value in points]) for points in seen.values())
    together = fell_together(seen, as_of_day=day)
    return alone, together, alone or together


def _onsets(alarmed: Sequence[bool]) -> int:
    return sum(now and not last for last, now in zip([False, *alarmed], alarmed, strict=False))


def lives(seeds: Iterable[int]) -> list[Drop]:
    """Simulate many trainees on both cores."""
    with ProcessPoolExecutor(2) as pool:
        return list(pool.map(live, seeds, chunksize=6))
