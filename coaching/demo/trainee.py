"""What a person of the demo does on a day: strength that grows at a known rate, some noise, and the plan's own limits.

The relation between load and repetitions is Epley's, the same that the rules use; noise comes from the name and the
number of days back, so that the demo is the same on every date.
"""

import random
from dataclasses import dataclass

from coaching.demo.person import Habits, Person, Work
from programs.choices import LoadKind, LoggedSide, Measure, RepScheme
from programs.models import MovementRevision, Prescription

# From day to day, of the maximum, and of a hold.
REPS_NOISE, HOLD_NOISE = 0.012, 0.03
# Repetitions that each further set of the day costs, and the share of a hold.
TIRED_REPS, TIRED_HOLD = 0.35, 0.03
# How much of it is left on the next step of a line, and what is held of a range when it is new.
NEXT_STEP, NEW_IN_RANGE = 0.65, 0.85
FALL = 0.93
MOST_RESERVE = 5


@dataclass(frozen=True)
class Moment:
    """When a session is: the week of the plan (from 0), the first week of its block, and days before today."""

    week: int
    block_week: int
    days: int


@dataclass(frozen=True)
class Done:
    number: int
    side: str
    amount: int
    rir: int | None


def sets_done(person: Person, work: Work, first: Prescription, now: Prescription, at: Moment) -> list[Done]:
    """The sets of one prescription on one day. `first` is the dose of the first block, on which `work.can` stands."""
    limit = limit_on(person, work, first, now, at)
    sides = (LoggedSide.LEFT, LoggedSide.RIGHT) if now.per_side else (LoggedSide.BOTH,)
    done = []
    for number in range(1, now.sets + extra_sets(person.habits, at) + 1):
        for side in sides:
            share = person.habits.left_share if side == LoggedSide.LEFT else 1.0
            done.append(_set(now, number, side.value, limit * share))
    return done


def extra_sets(habits: Habits, at: Moment) -> int:
    """Somebody who overdoes it adds a set every second week."""
    return 0 if habits.overdoes is None or at.week < habits.overdoes else 1 + (at.week - habits.overdoes) // 2


def limit_on(person: Person, work: Work, first: Prescription, now: Prescription, at: Moment) -> float:
    """Repetitions to failure, seconds or metres that the first set would reach at most on this day."""
    chance = random.Random(f"{person.email} {work.slug} {at.days}")  # noqa: S311 -- a drawing, not a secret
    falls = person.habits.falls_off is not None and at.days <= person.habits.falls_off
    factor = FALL if falls else 1.0
    is_counted = now.movement.measure == Measure.REPETITIONS
    factor *= 1 + chance.gauss(0, REPS_NOISE if is_counted else HOLD_NOISE)
    if now.movement.movement_id == first.movement.movement_id:
        return _after(work.can, _growth(work, at.week) * _ratio(person, first, now) * factor, is_counted=is_counted)
    can, growth = _on_the_next_step(work, first, now, at)
    return _after(can, growth * factor, is_counted=is_counted)


def _on_the_next_step(work: Work, first: Prescription, now: Prescription, at: Moment) -> tuple[float, float]:
    """What the person can with a movement that took the place of the first one, and how it has grown since."""
    since = _growth(work, at.week) / _growth(work, at.block_week)
    slug = now.movement.movement.slug
    if slug in work.then:
        return work.then[slug], since
    if now.movement.measure != first.movement.measure:
        return now.amount_high * NEW_IN_RANGE, since
    before = _after(work.can, _growth(work, at.block_week), is_counted=now.movement.measure == Measure.REPETITIONS)
    return before * NEXT_STEP, since


def _growth(work: Work, week: int) -> float:
    return 1 + work.gain / 100 * min(week, work.until)


def _after(can: float, factor: float, *, is_counted: bool) -> float:
    """A maximum that grows by a share lets repetitions grow by more."""
    return 30 * ((1 + can / 30) * factor - 1) if is_counted else can * factor


def _ratio(person: Person, first: Prescription, now: Prescription) -> float:
    """The first system load over this one, of the same movement."""
    before, after = _system_kg(person, first), _system_kg(person, now)
    return before / after if before and after else 1.0


def _system_kg(person: Person, dose: Prescription) -> float | None:
    load_kg, share = float(dose.load_kg or 0), _share(dose.movement)
    if share is None:
        return load_kg or None
    return load_kg + share * float(person.masses[-1]) if person.masses else None


def _share(movement: MovementRevision) -> float | None:
    if movement.load_kind in {LoadKind.EXTERNAL, LoadKind.ASSISTED} or movement.share is None:
        return None
    return float(movement.share)


def _set(dose: Prescription, number: int, side: str, limit: float) -> Done:
    if dose.movement.measure != Measure.REPETITIONS:
        amount = int(limit * (1 - TIRED_HOLD * (number - 1)))
        return Done(number, side, max(1, min(dose.amount_high, amount)), None)
    left = limit - TIRED_REPS * (number - 1)
    wanted = 0 if dose.scheme == RepScheme.SAME_EVERY_SET else float(dose.target_rir or 2)
    amount = max(1, min(dose.amount_high, int(left - wanted + 0.4)))
    return Done(number, side, amount, max(0, min(MOST_RESERVE, round(left - amount))))
