"""When the figure moves: repetitions within the length of a clip, and how far along the way it is at a moment."""

import math
import random

from coaching.demo.figures.movements import Movement
from coaching.demo.figures.truth import Repetition

LEAD_S, TRAIL_S = 0.6, 0.4


def repetitions_within(
    movement: Movement, seconds: float, seed: int, pace: float
) -> tuple[tuple[Repetition, float], ...]:
    """Fill the time with repetitions that slow down a little; each comes with the length of its turn. [s]"""
    chance = random.Random(seed)  # noqa: S311 -- a drawing, not a secret
    at = LEAD_S
    done: list[tuple[Repetition, float]] = []
    while True:
        there, turn, back, rest = (chance.uniform(0.9, 1.1) * part / pace for part in movement.seconds)
        if movement.is_hold:
            turn = seconds - TRAIL_S - at - there - back
        slower = 1 + 0.06 * len(done)
        end = at + there + turn + back * slower
        if end > seconds - TRAIL_S + 1e-9 or turn < 0:
            return tuple(done)
        done.append((Repetition(at, at + there + turn / 2, end), turn))
        at = end + rest


def share_at(at_s: float, repetitions: tuple[tuple[Repetition, float], ...]) -> float:
    """0 at the start position, 1 at the turn, with smooth changes of direction."""
    for repetition, turn in repetitions:
        if repetition.start_s <= at_s <= repetition.end_s:
            turn_from, turn_to = repetition.turn_s - turn / 2, repetition.turn_s + turn / 2
            if at_s < turn_from:
                return _eased((at_s - repetition.start_s) / (turn_from - repetition.start_s))
            if at_s > turn_to:
                return _eased((repetition.end_s - at_s) / (repetition.end_s - turn_to))
            return 1.0
    return 0.0


def _eased(share: float) -> float:
    return (1 - math.cos(math.pi * share)) / 2
