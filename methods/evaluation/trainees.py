"""Trainees that behave like clients: they stop at the prescribed repetitions and say how many they had left.

Assumptions, all stated because the figures are worth no more than they are:
ability grows like y0 (1 + b ln(w + 1)), b between people N(.10, .03) cut at .02; half of the trainees stop growing at a
random week, half of those in every movement and half in one; day noise is log-normal (CV 2.5, 5 or 8 %), one day in
twenty is 10 % worse; 15 % of sessions are missed; a movement is swapped in 10 % of sessions (equipment missing);
loads come in steps of 2.5 kg from the real arbiter. A set stops at the top of the range or where the prescribed
reserve is felt, so strength is seen only through the reserve: it is felt about one repetition too low, less precisely
the further from failure, and left out in a third of the sets.

Check-ins once a week, one in four forgotten: a McLean index around the person's own 18 (SD 2 between people, 1.5 from
week to week). No study says how wellness and a plateau go together. Assumed: where everything stops, one in two people
also feels two points worse for good from that week on; and one in five feels so from some week on without any plateau.
"""

from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from methods.pain import PainAction
from methods.progression import Action, Dose, Evidence, FormVerdict, Performance, Target, arbitrate
from methods.screening import Intensity
from methods.strength import estimated_maximum_from_set
from methods.undefined import Undefined

Kind = Literal["loaded", "weighted", "line"]
KINDS: tuple[Kind, ...] = ("loaded", "weighted", "line")
SHARES = (0.41, 0.49, 0.55, 0.64, 0.70, 0.74, 0.80, 0.86, 0.92, 0.98)  # steps of a push-up line and beyond
LOW, HIGH, SETS, TARGET_RIR = 6, 10, 3, 2.0
MISSED, SWAPPED, SILENT, BAD_DAY = 0.15, 0.10, 1 / 3, 0.05
FELT_TOO_LOW = 0.95
WELL, WELL_BETWEEN, WELL_WITHIN, WELL_FALL = 18.0, 2.0, 1.5, 2.0
FORGOTTEN, FEELS_THE_STOP, FEELS_WITHOUT = 0.25, 0.5, 0.2
LATEST_FEELING = 36


@dataclass
class Movement:
    """One movement of a trainee: what it can do, what it is asked to do, what was seen."""

    kind: Kind
    start_kg: float
    dose: Dose
    share: float
    share_errors: tuple[float, ...]
    stops_at: float | None = None  # week of the study in which it stops growing
    sessions: list[Performance] = field(default_factory=list)
    seen: list[tuple[float, float]] = field(default_factory=list)  # (day, estimated maximum) as the app sees it
    truth: list[tuple[float, float]] = field(default_factory=list)  # (day, ability of the day), for the reference
    asked_kg: list[tuple[float, float]] = field(default_factory=list)


@dataclass
class Trainee:
    """One simulated client."""

    training_weeks: float
    rate: float
    cv_pct: float
    sessions_a_week: int
    body_mass_kg: float
    movements: list[Movement]
    stop_week: float | None
    usual_wellness: float = WELL
    feels_from: float | None = None  # week from which the check-ins are lower
    check_ins: list[tuple[float, float]] = field(default_factory=list)  # (day, McLean index)
    drop_week: float | None = None
    drop_share: float = 0.0

    def expected_log(self, week: float, stops_at: float | None = None) -> float:
        """100 ln of the expected ability over the start, at a week of the study."""
        grown = min(week, stops_at) if stops_at is not None else week
        age = self.training_weeks + grown
        start = 1 + self.rate * np.log(self.training_weeks + 1)
        return float(100 * np.log((1 + self.rate * np.log(age + 1)) / start))


def make_trainee(
    rng: np.random.Generator, *, cv_pct: float, training_weeks: float, sessions_a_week: int, stop_week: float | None
) -> Trainee:
    """Draw one trainee with three movements."""
    body_mass_kg = float(np.clip(rng.normal(75, 12), 50, 110))
    movements = [_movement(rng, kind, body_mass_kg) for kind in KINDS]
    if stop_week is not None:
        stopped = movements if rng.random() < 0.5 else [movements[int(rng.integers(3))]]
        for movement in stopped:
            movement.stops_at = stop_week
    rate = float(max(0.02, rng.normal(0.10, 0.03)))
    trainee = Trainee(training_weeks, rate, cv_pct, sessions_a_week, body_mass_kg, movements, stop_week)
    trainee.usual_wellness = float(rng.normal(WELL, WELL_BETWEEN))
    trainee.feels_from = _feels_from(rng, trainee)
    return trainee


def _feels_from(rng: np.random.Generator, trainee: Trainee) -> float | None:
    if all(m.stops_at is not None for m in trainee.movements) and rng.random() < FEELS_THE_STOP:
        return trainee.stop_week
    return float(rng.integers(LATEST_FEELING)) if rng.random() < FEELS_WITHOUT else None


def _movement(rng: np.random.Generator, kind: Kind, body_mass_kg: float) -> Movement:
    errors = tuple(float(error) for error in np.exp(rng.normal(0, 0.02, len(SHARES))))
    if kind == "loaded":
        start_kg, share = float(rng.uniform(60, 120)), 0.0
        dose = _dose(load_kg=_round(start_kg / 1.45))
    elif kind == "weighted":
        start_kg, share = body_mass_kg * float(rng.uniform(1.3, 1.6)), 1.0
        dose = _dose(load_kg=_round(start_kg / 1.45 - body_mass_kg))
    else:
        step = int(rng.integers(1, 4))
        share = SHARES[step]
        start_kg = body_mass_kg * share * 1.42
        dose = _dose(step=step)
    return Movement(kind, start_kg, dose, share, errors)


def _dose(load_kg: float | None = None, step: int | None = None) -> Dose:
    return Dose(load_kg=load_kg, repetitions=HIGH, sets=SETS, step=step, rir=TARGET_RIR, rest_s=120)


def _round(load_kg: float) -> float:
    return 2.5 * round(load_kg / 2.5)


def train_week(rng: np.random.Generator, trainee: Trainee, week: int) -> None:
    """Let a trainee live through one week of the study and decide the next doses with the real arbiter."""
    _check_in(rng, trainee, week)
    for number in range(trainee.sessions_a_week):
        day = 7.0 * week + 7.0 * number / trainee.sessions_a_week
        if rng.random() < MISSED:
            continue
        bad = 0.9 if rng.random() < BAD_DAY else 1.0
        for movement in trainee.movements:
            if rng.random() >= SWAPPED:
                _train(rng, trainee, movement, day, bad)


def _check_in(rng: np.random.Generator, trainee: Trainee, week: int) -> None:
    fallen = WELL_FALL if trainee.feels_from is not None and week >= trainee.feels_from else 0.0
    told = trainee.usual_wellness - fallen + rng.normal(0, WELL_WITHIN)
    if rng.random() >= FORGOTTEN:
        trainee.check_ins.append((7.0 * week, float(np.clip(np.round(told), 5, 25))))


def _ability(rng: np.random.Generator, trainee: Trainee, movement: Movement, day: float, bad: float) -> float:
    week = day / 7
    noise = float(np.exp(rng.normal(0, trainee.cv_pct / 100)))
    fallen = 1 - trainee.drop_share if trainee.drop_week is not None and week >= trainee.drop_week else 1.0
    expected = trainee.expected_log(week, movement.stops_at)
    return movement.start_kg * float(np.exp(expected / 100)) * noise * bad * fallen


def _system_kg(trainee: Trainee, movement: Movement, *, real: bool) -> float:
    if movement.kind == "line":
        step = movement.dose.step or 0
        error = movement.share_errors[step] if real else 1.0
        return trainee.body_mass_kg * SHARES[step] * error
    return trainee.body_mass_kg * movement.share + (movement.dose.load_kg or 0.0)


def _train(rng: np.random.Generator, trainee: Trainee, movement: Movement, day: float, bad: float) -> None:
    ability = _ability(rng, trainee, movement, day, bad)
    movement.truth.append((day, ability))
    real_kg = _system_kg(trainee, movement, real=True)
    most = max(0.0, 30 * (ability / real_kg - 1))
    done, felt = _sets(rng, most)
    said = float(np.clip(np.round(felt), 0, 5)) if rng.random() >= SILENT else None
    shown_kg = _system_kg(trainee, movement, real=False)
    movement.asked_kg.append((day, shown_kg))
    estimate = estimated_maximum_from_set(shown_kg, done[-1], said)
    if not isinstance(estimate, Undefined):
        movement.seen.append((day, estimate))
    movement.sessions.append(Performance(tuple(done), said))
    _decide(trainee, movement)


def _sets(rng: np.random.Generator, most: float) -> tuple[list[int], float]:
    """Repetitions of each set, and the reserve felt at the end of the last."""
    done, felt = [], 0.0
    for number in range(SETS):
        to_failure = most * 0.97**number
        # Whoever stops by feel stops where the felt reserve is the prescribed one, with that feeling's error.
        stops_with = TARGET_RIR + FELT_TOO_LOW
        error = rng.normal(0, 0.5 + 0.2 * stops_with)
        count = int(np.clip(np.floor(to_failure - max(0.0, stops_with - error)), 0, HIGH))
        left = to_failure - count
        if count == HIGH:
            error = rng.normal(0, 0.5 + 0.2 * left)
        done.append(count)
        felt = left - FELT_TOO_LOW + error
    return done, felt


def _decide(trainee: Trainee, movement: Movement) -> None:
    line = movement.kind == "line"
    decision = arbitrate(
        Evidence(
            dose=movement.dose,
            target=Target(LOW, HIGH),
            sessions=tuple(movement.sessions[-2:]),
            pain=PainAction.CONTINUE,
            form=FormVerdict.SOUND,
            adherence=0.85,
            days_since_last=3.0,
            ceiling=Intensity.VIGOROUS,
            locked=False,
            barred=False,
            increment_kg=None if line else 2.5,
            next_step_known=line and (movement.dose.step or 0) < len(SHARES) - 1,
            body_mass_kg=trainee.body_mass_kg,
            share=movement.share,
            area="upper",
            level="more",
        )
    )
    if decision.action in (Action.HARDER, Action.EASIER):
        movement.dose = replace(decision.to_dose, rir=TARGET_RIR)
        movement.sessions.clear()
