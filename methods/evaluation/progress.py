"""Trainees driven by our rules, by a fixed +2.5 kg every session, and by never progressing.

Assumptions: ability y0 (1 + b ln(s + 1)) grows with effective sessions s instead of weeks; a session counts by how
close its load is to the ability of the day (nothing below 55 % of the maximum, whole from 75 % on); a set that fails
the bottom of the range by more than two repetitions is an overload, and each overload makes the client miss the next
session with probability one half. Two sessions a week for 24 weeks. A toy: it ranks rules, it predicts nobody.
"""

from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from methods.pain import PainAction
from methods.progression import Dose, Evidence, FormVerdict, Performance, Target, arbitrate
from methods.screening import Intensity

LOW, HIGH, SETS, SESSIONS = 6, 10, 3, 48
INCREMENT_KG = 2.5

Rule = Callable[[Dose, list[Performance]], Dose]


def ours(dose: Dose, sessions: list[Performance]) -> Dose:
    """The real arbiter."""
    evidence = Evidence(
        dose=dose,
        target=Target(LOW, HIGH),
        sessions=tuple(sessions[-2:]),
        pain=PainAction.CONTINUE,
        form=FormVerdict.SOUND,
        adherence=1.0,
        days_since_last=3.0,
        ceiling=Intensity.VIGOROUS,
        locked=False,
        barred=False,
        increment_kg=INCREMENT_KG,
        body_mass_kg=None,
        share=0.0,
        level="more",
    )
    return replace(arbitrate(evidence).to_dose, rir=dose.rir)


def always_more(dose: Dose, sessions: list[Performance]) -> Dose:
    """Naive: 2.5 kg more every session."""
    return replace(dose, load_kg=(dose.load_kg or 0.0) + INCREMENT_KG)


def never(dose: Dose, sessions: list[Performance]) -> Dose:
    """Naive: the first load for ever."""
    return dose


RULES: dict[str, Rule] = {"ours": ours, "+2.5 kg every session": always_more, "never progress": never}


@dataclass(frozen=True, slots=True)
class Result:
    """What 24 weeks under one rule came to."""

    gain_pct: float
    overloads: int
    missed: int


def live(seed: int, name: str) -> Result:
    """Run one trainee under one rule; the same seed draws the same person."""
    rng = np.random.default_rng([20260303, seed])
    rate, start_kg = float(max(0.02, rng.normal(0.10, 0.03))), float(rng.uniform(50, 110))
    dose = Dose(load_kg=2.5 * round(start_kg / 1.45 / 2.5), repetitions=HIGH, sets=SETS, rir=2.0)
    effective, overloads, missed, misses_next = 0.0, 0, 0, False
    sessions: list[Performance] = []
    for _ in range(SESSIONS):
        noise, luck = float(np.exp(rng.normal(0, 0.04))), float(rng.random())
        if misses_next:
            missed, misses_next = missed + 1, False
            continue
        expected = start_kg * (1 + rate * np.log(effective / 2 + 1))
        done, reserve = _session(float(expected) * noise, dose)
        effective += float(np.clip(((dose.load_kg or 0) / expected - 0.55) / 0.20, 0, 1))
        if min(done) < LOW - 2:
            overloads += 1
            misses_next = luck < 0.5
        sessions.append(Performance(tuple(done), float(np.clip(np.round(reserve - 0.95 + rng.normal(0, 0.7)), 0, 5))))
        next_dose = RULES[name](dose, sessions)
        if next_dose != dose:
            dose, sessions = next_dose, []
    return Result(float(100 * rate * np.log(effective / 2 + 1)), overloads, missed)


def _session(ability: float, dose: Dose) -> tuple[list[int], float]:
    most = max(0.0, 30 * (ability / (dose.load_kg or 1.0) - 1))
    to_failure = [most * 0.95**k for k in range(SETS)]
    done = [int(min(HIGH, np.floor(r))) for r in to_failure]
    return done, to_failure[-1] - done[-1]


def _live(task: tuple[int, str]) -> Result:
    return live(*task)


def lives(seeds: Iterable[int]) -> dict[str, list[Result]]:
    """Run every rule on the same people."""
    seeds = list(seeds)
    with ProcessPoolExecutor(2) as pool:
        return {name: list(pool.map(_live, [(seed, name) for seed in seeds], chunksize=20)) for name in RULES}
