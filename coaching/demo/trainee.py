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
# How much of it is left on a harder step whose share of body mass says nothing.
HARDER_REPS, HARDER_HOLD, SAME_SHARE = 0.88, 0.6, 0.95
FALL = 0.88
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
    slug = now.movement.movement.slug
    has_own = slug in work.then
    grown = 1 + work.gain / 100 * (min(at.week, work.until) - (at.block_week if has_own else 0))
    if person.habits.falls_off is not None and at.days <= person.habits.falls_off:
        grown *= FALL
    can = work.then.get(slug, work.can)
    if now.movement.measure != Measure.REPETITIONS:
        kept = 1.0 if has_own or slug == work.slug else HARDER_HOLD
        return can * grown * kept * (1 + chance.gauss(0, HOLD_NOISE))
    ratio = 1.0 if has_own else _ratio(person, first, now)
    maximum = (1 + can / 30) * grown * ratio * (1 + chance.gauss(0, REPS_NOISE))
    return 30 * (maximum - 1)


def _ratio(person: Person, first: Prescription, now: Prescription) -> float:
    """The first system load over this one; common sense where the shares are not known."""
    before, after = _system_kg(person, first), _system_kg(person, now)
    if first.movement.movement_id == now.movement.movement_id:
        return before / after if before and after else 1.0
    if before and after and before != after:
        return before / after
    return SAME_SHARE if before else HARDER_REPS


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
