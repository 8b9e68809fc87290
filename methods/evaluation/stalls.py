"""Plateaus found against false alarms: the whole trade-off."""

from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np

from methods.evaluation import detectors
from methods.evaluation.trainees import Trainee, make_trainee, train_week
from methods.plateau import judge_movements, plateau_evidence
from methods.undefined import Undefined
from methods.verdict import Verdict

Detector = Callable[[Trainee, float], list[float]]
DETECTORS: dict[str, Detector] = {
    "ours, with check-ins": detectors.with_check_ins,
    "ours, movements joined": detectors.joined,
    "ours, one movement": detectors.alone,
    "reference (told more)": detectors.reference,
    "windows of weeks (7.7)": detectors.windowed,
    "inside +-3 % (11.3)": detectors.inside_worthwhile,
    "no best in last three": detectors.no_best_in_three,
    "trend not significant": detectors.not_significant,
    "fixed threshold": detectors.fixed_threshold,
}
WITH_CHECK_INS, JOINED, REFERENCE = "ours, with check-ins", "ours, movements joined", "reference (told more)"
CURVES = (WITH_CHECK_INS, JOINED, "ours, one movement", REFERENCE)
CVS, AGES, FREQUENCIES = (2.5, 5.0, 8.0), (4, 26, 52), (1, 2, 3)
FIRST_LOOK, LAST_WEEK, WATCHED = 8, 40, 16
NO_SCORE = -90.0
EARLIEST_STOP, LATEST_STOP = 12, 24


@dataclass(frozen=True, slots=True)
class Life:
    """What every detector said about one trainee, week by week."""

    cv_pct: float
    training_weeks: float
    frequency: int
    stop_week: float | None
    stopped: tuple[bool, ...]  # per movement
    scores: dict[str, np.ndarray]  # detector -> (looks, movements)


def live(seed: int, names: tuple[str, ...]) -> Life:
    """Simulate one trainee and look every week with every detector."""
    rng = np.random.default_rng([20260101, seed])
    cv, age, frequency = CVS[seed % 3], AGES[seed // 3 % 3], FREQUENCIES[seed // 9 % 3]
    stop = float(rng.integers(EARLIEST_STOP, LATEST_STOP + 1)) if seed // 27 % 2 else None
    trainee = make_trainee(rng, cv_pct=cv, training_weeks=age, sessions_a_week=frequency, stop_week=stop)
    looks: dict[str, list[list[float]]] = {name: [] for name in names}
    for week in range(LAST_WEEK):
        train_week(rng, trainee, week)
        if week + 1 >= FIRST_LOOK:
            for name in names:
                looks[name].append(DETECTORS[name](trainee, week + 1.0))
    stopped = tuple(movement.stops_at is not None for movement in trainee.movements)
    return Life(cv, age, frequency, stop, stopped, {name: np.array(rows) for name, rows in looks.items()})


def _live(task: tuple[int, tuple[str, ...]]) -> Life:
    return live(*task)


def lives(seeds: Iterable[int], names: tuple[str, ...] = tuple(DETECTORS), workers: int = 2) -> list[Life]:
    """Simulate many trainees on both cores."""
    tasks = [(seed, names) for seed in seeds]
    if workers == 1:
        return [_live(task) for task in tasks]
    with ProcessPoolExecutor(workers) as pool:
        return list(pool.map(_live, tasks, chunksize=6))


QUIET_WEEKS = 4


def onsets(scores: np.ndarray, threshold: float) -> np.ndarray:
    """Looks at which a movement turns alarmed after four quiet weeks: (looks, movements) of bool."""
    is_on = scores >= threshold
    new = is_on.copy()
    for back in range(1, QUIET_WEEKS + 1):
        new[back:] &= ~is_on[:-back]
    return np.asarray(new)


@dataclass(frozen=True, slots=True)
class Figures:
    """Counts of one detector at one threshold."""

    false_alarms: int
    client_weeks: float
    plateaus: int
    found_8: int
    found_16: int

    @property
    def alarms_per_client(self) -> float:
        """False alarms per client and 16 weeks, over all movements."""
        return WATCHED * self.false_alarms / self.client_weeks if self.client_weeks else 0.0

    @property
    def alarms_interval(self) -> tuple[float, float]:
        """The 95 % interval of that rate, as if alarms came independently (Byar's approximation)."""
        per_client = WATCHED / self.client_weeks if self.client_weeks else 0.0
        low, high = self.false_alarms, self.false_alarms + 1
        below = low * (1 - 1 / (9 * low) - 1.96 / (3 * low**0.5)) ** 3 if low else 0.0
        above = high * (1 - 1 / (9 * high) + 1.96 / (3 * high**0.5)) ** 3
        return below * per_client, above * per_client


def figures(people: Iterable[Life], name: str, threshold: float) -> Figures:
    """Count false alarms while growing, and plateaus found within 8 and 16 weeks of their start.

    A movement that is growing and turns alarmed is one false alarm; back within four weeks it is the same one. A
    plateau is found when its movement is alarmed at some look from 1 to 8 (16) weeks after it began, also if the
    alarm began (in vain) before.
    """
    alarms, weeks, plateaus, found_8, found_16 = 0, 0.0, 0, 0, 0
    for life in people:
        looks = np.arange(FIRST_LOOK, LAST_WEEK + 1, dtype=float)
        turned = onsets(life.scores[name], threshold)
        is_on = life.scores[name] >= threshold
        until = life.stop_week if life.stop_week is not None else LAST_WEEK
        growing = looks <= until
        alarms += int(turned[growing].sum())
        weeks += float(growing.sum())
        for movement, stopped in enumerate(life.stopped):
            if stopped and life.stop_week is not None:
                after = looks - life.stop_week
                plateaus += 1
                found_8 += bool(is_on[(after >= 1) & (after <= 8), movement].any())
                found_16 += bool(is_on[(after >= 1) & (after <= 16), movement].any())
    return Figures(alarms, weeks, plateaus, found_8, found_16)


def threshold_for(people: list[Life], name: str, alarms: float) -> float:
    """Find the lowest threshold with at most so many false alarms per client and 16 weeks."""
    scores = np.concatenate([life.scores[name].ravel() for life in people])
    low, high = float(np.quantile(scores[scores > NO_SCORE], 0.3)), float(scores.max()) + 0.1
    for _ in range(24):
        middle = (low + high) / 2
        low, high = (low, middle) if figures(people, name, middle).alarms_per_client <= alarms else (middle, high)
    return high


def verdict_share(seeds: Iterable[int]) -> tuple[int, int, int]:
    """Count client-weeks looked at, those with enough data in a movement, and those where one gets a clear verdict."""
    with ProcessPoolExecutor(2) as pool:
        counts = list(pool.map(_verdicts, seeds, chunksize=3))
    looks, enough, judged = (sum(column) for column in zip(*counts, strict=True))
    return looks, enough, judged


def _verdicts(seed: int) -> tuple[int, int, int]:
    rng = np.random.default_rng([20260505, seed])
    trainee = make_trainee(
        rng, cv_pct=CVS[seed % 3], training_weeks=AGES[seed // 3 % 3], sessions_a_week=FREQUENCIES[seed // 9 % 3],
        stop_week=None,
    )  # fmt: skip
    looks = enough = judged = 0
    for week in range(LAST_WEEK):
        train_week(rng, trainee, week)
        if week + 1 >= FIRST_LOOK:
            seen = {str(i): movement.seen for i, movement in enumerate(trainee.movements)}
            age, day = trainee.training_weeks + week + 1, 7.0 * (week + 1)
            found = plateau_evidence(seen, age, as_of_day=day)
            verdicts = judge_movements(seen, age, as_of_day=day).values()
            looks += 1
            enough += any(not isinstance(evidence, Undefined) for evidence in found.values())
            judged += any(v.verdict not in (Verdict.UNCLEAR, Verdict.NOT_ENOUGH_DATA) for v in verdicts)
    return looks, enough, judged
