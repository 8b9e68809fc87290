"""A ten per cent decline: found within three exposures of a movement, against alarms without one."""

from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np

from methods.evaluation.stalls import CVS
from methods.evaluation.trainees import Trainee, make_trainee, train_week
from methods.plateau import fell_together
from methods.verdict import sudden_drop

DROP_WEEK, LAST_WEEK, EXPOSURES = 16, 24, 3


@dataclass(frozen=True, slots=True)
class Drop:
    """One trainee whose ability fell by a tenth in every movement."""

    cv_pct: float
    judged: int  # movements with enough before the drop and three exposures after it
    found: int
    client_found: bool
    together_found: bool
    together_alarms: int
    alarms_before: int  # looks with an alarm although nothing fell, counted once in a row
    weeks_before: int


def live(seed: int) -> Drop:
    """Simulate one trainee through a drop."""
    rng = np.random.default_rng([20260202, seed])
    cv = CVS[seed % 3]
    trainee = make_trainee(rng, cv_pct=cv, training_weeks=12, sessions_a_week=2, stop_week=None)
    trainee.drop_week, trainee.drop_share = float(DROP_WEEK), 0.10
    for week in range(LAST_WEEK):
        train_week(rng, trainee, week)
    judged = found = alarms = 0
    for movement in trainee.movements:
        before = [value for day, value in movement.seen if day < 7 * DROP_WEEK]
        after = [value for day, value in movement.seen if day >= 7 * DROP_WEEK][:EXPOSURES]
        alarmed = [sudden_drop(before[:count]) for count in range(1, len(before) + 1)]
        alarms += sum(now and not last for last, now in zip([False, *alarmed], alarmed, strict=False))
        if len(before) >= 8 and len(after) == EXPOSURES:
            judged += 1
            found += any(sudden_drop(before + after[: count + 1]) for count in range(EXPOSURES))
    together, cried = _together(trainee)
    return Drop(cv, judged, found, found > 0, together, cried, alarms, DROP_WEEK)


def _together(trainee: Trainee) -> tuple[bool, int]:
    """Look after every training day with the joined rule: found by the third day after the drop, and cried before."""
    seen = {str(i): movement.seen for i, movement in enumerate(trainee.movements)}
    days = sorted({day for points in seen.values() for day, _ in points})
    before = [fell_together(seen, as_of_day=day) for day in days if day < 7 * DROP_WEEK]
    after = [day for day in days if day >= 7 * DROP_WEEK][:EXPOSURES]
    cried = sum(now and not last for last, now in zip([False, *before], before, strict=False))
    return any(fell_together(seen, as_of_day=day) for day in after), cried


def lives(seeds: Iterable[int]) -> list[Drop]:
    """Simulate many trainees on both cores."""
    with ProcessPoolExecutor(2) as pool:
        return list(pool.map(live, seeds, chunksize=6))
