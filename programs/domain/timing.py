"""How long a session takes."""

from collections.abc import Iterable
from typing import Any

from methods.volume import (
    SET_UP_S,
    SIDE_SWITCH_S,
    PlannedWork,
    circuit_duration_s,
    every_interval_duration_s,
    fixed_time_duration_s,
    group_duration_s,
    interval_slack_s,
)
from programs.choices import GroupKind, Measure
from programs.domain.dosing import Dosed
from programs.domain.resolving import METRES_PER_SECOND
from programs.domain.rows import MOST_INTERVAL_S, Together

# Intervals that are worked out come in quarters of a minute.
INTERVAL_STEP_S = 15


def planned_work(dose: Dosed) -> PlannedWork:
    sides = 2 if dose.per_side else 1
    if dose.movement.measure == Measure.REPETITIONS:
        return PlannedWork(
            dose.sets,
            repetitions=dose.amount_high,
            tempo=dose.tempo or None,
            rest_s=dose.rest_s,
            sides=sides,
            cluster_repetitions=dose.cluster_reps,
            rest_within_s=dose.rest_within_s or 0,
        )
    is_hold = dose.movement.measure == Measure.SECONDS
    seconds = dose.amount_high if is_hold else dose.amount_high / METRES_PER_SECOND
    return PlannedWork(dose.sets, seconds=seconds, rest_s=dose.rest_s, sides=sides)


def seconds_of(group: Together[Any]) -> float:
    """How long what is done together takes: what is planned at most, with rests and setting up. [s]"""
    works = [planned_work(dose) for dose in group]
    if group.kind == GroupKind.CIRCUIT:
        return circuit_duration_s(works)
    if group.kind == GroupKind.ROUNDS and group.minutes:
        return SET_UP_S * len(works) + fixed_time_duration_s(group.minutes)
    if group.kind == GroupKind.EVERY_MINUTE and group.interval_s:
        return SET_UP_S * len(works) + every_interval_duration_s(works, group.interval_s)
    return group_duration_s(works)


def minutes_of(groups: Iterable[Together[Any]]) -> int:
    """How long a session takes, in whole minutes rounded up."""
    return -int(-sum(seconds_of(group) for group in groups) // 60)


def too_long_for_its_interval(group: Together[Any]) -> list[Any]:
    """The prescriptions of an every-minute group whose set is not over when the next one begins."""
    if group.kind != GroupKind.EVERY_MINUTE or not group.interval_s:
        return []
    return [dose for dose in group if interval_slack_s(planned_work(dose), group.interval_s) < 0]


def rounds_over_time_s(group: Together[Any]) -> float:
    """How much longer the rounds that are asked for take than their minutes; 0 where they fit. [s]"""
    if group.kind != GroupKind.ROUNDS or not group.minutes:
        return 0.0
    needed = sum(dose.sets * planned_work(dose).set_s(SIDE_SWITCH_S) for dose in group)
    return max(0.0, needed - fixed_time_duration_s(group.minutes))


def long_enough_interval_s(group: Together[Any]) -> int | None:
    """The interval of an every-minute group, wider where a set would not be over when the next one begins."""
    if not too_long_for_its_interval(group) or group.interval_s is None:
        return group.interval_s
    longest = max(planned_work(dose).set_s(SIDE_SWITCH_S) for dose in group)
    return min(MOST_INTERVAL_S, (int(longest) // INTERVAL_STEP_S + 1) * INTERVAL_STEP_S)


def clock_of(group: Together[Any]) -> tuple[int | None, int]:
    """Seconds and rounds of a clock that calls each set, or runs once for all rounds; no seconds where none does."""
    if group.interval_s:
        return group.interval_s, sum(dose.sets for dose in group)
    return group.minutes * 60 if group.minutes else None, 1
