"""Counting work: volume load, holds, hard sets, balance, and how long a session takes."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from methods.undefined import Undefined

HARD_SET_MAX_RIR = 4.0  # a common threshold in trials and practice; no study fixes the exact number
INDIRECT_SET_SHARE = 0.5


class SetKind(StrEnum):
    """What a set was for."""

    WARM_UP = "warm_up"
    WORK = "work"
    BACK_OFF = "back_off"
    MAX_REPS = "max_reps"


def volume_load_kg(repetitions: int, system_load_kg: float | Undefined) -> float | Undefined:
    """Give the volume load of one set: repetitions times system load. [kg]

    Examples
    --------
    >>> volume_load_kg(15, 51.2)
    768.0
    """
    if repetitions < 0:
        raise ValueError(f"repetitions must not be negative, got {repetitions}")
    return system_load_kg if isinstance(system_load_kg, Undefined) else repetitions * system_load_kg


def hold_volume_kg_s(seconds: float, system_load_kg: float | Undefined) -> float | Undefined:
    """Give the volume of one hold: seconds times system load. [kg s]

    Examples
    --------
    >>> hold_volume_kg_s(20, 80.0)
    1600.0
    """
    if seconds < 0:
        raise ValueError(f"seconds must not be negative, got {seconds}")
    return system_load_kg if isinstance(system_load_kg, Undefined) else seconds * system_load_kg


def relative_volume(sets: int, repetitions: int, percent_1rm: float) -> float:
    """Give the relative volume: sets x repetitions x %1RM as a fraction. [1]

    Examples
    --------
    >>> relative_volume(3, 8, 75)
    18.0
    """
    if sets < 0 or repetitions < 0 or not 0 <= percent_1rm <= 100:
        raise ValueError("sets and repetitions must not be negative, percent_1rm must be 0 to 100")
    return sets * repetitions * percent_1rm / 100


def hard_set_fraction(rir: float | None, kind: str) -> float:
    """Say how much of a hard set one set was. [fraction]

    Parameters
    ----------
    rir : float >= 0, or None where nobody said
        Repetitions in reserve at the end of the set.
    kind : "warm_up", "work", "back_off" or "max_reps"

    Raises
    ------
    ValueError
        If the kind is another one or rir is negative.

    Notes
    -----
    Warm-up sets count 0. Work and back-off sets count 1 up to 4 repetitions in reserve, else 0; a set of maximum
    repetitions counts 1. **RIR unknown:** a work or back-off set counts 1, because clients rate only the last set
    and a work set is prescribed to be hard. The sum then errs towards too much work, never towards too little.

    Examples
    --------
    >>> hard_set_fraction(2, "work"), hard_set_fraction(6, "work"), hard_set_fraction(None, "work")
    (1.0, 0.0, 1.0)
    """
    if rir is not None and rir < 0:
        raise ValueError(f"rir must not be negative, got {rir}")
    if SetKind(kind) is SetKind.WARM_UP:
        return 0.0
    if rir is None or SetKind(kind) is SetKind.MAX_REPS:
        return 1.0
    return 1.0 if rir <= HARD_SET_MAX_RIR else 0.0


def fractional_sets(direct: float, indirect: float) -> float:
    """Count weekly sets for one muscle or pattern: direct ones whole, indirect ones half. [sets]

    References
    ----------
    .. [1] J. Pelland et al., Sports Med, 2025. doi:10.1007/s40279-025-02344-w (the counting that fitted best)

    Examples
    --------
    >>> fractional_sets(4, 6)
    7.0
    """
    if direct < 0 or indirect < 0:
        raise ValueError("sets must not be negative")
    return direct + INDIRECT_SET_SHARE * indirect


def weekly_sets_by_muscle(
    sets: Sequence[tuple[float, Sequence[str], Sequence[str]]],
) -> dict[str, float]:
    """Sum fractional sets over a week for each muscle or pattern. [sets]

    Parameters
    ----------
    sets : sequence of (hard-set fraction, trained directly, trained indirectly)

    Examples
    --------
    >>> weekly_sets_by_muscle([(1, ["lat"], ["biceps"]), (1, ["biceps"], [])])
    {'lat': 1.0, 'biceps': 1.5}
    """
    totals: dict[str, float] = {}
    for fraction, direct, indirect in sets:
        for name in direct:
            totals[name] = totals.get(name, 0.0) + fraction
        for name in indirect:
            if name not in direct:
                totals[name] = totals.get(name, 0.0) + INDIRECT_SET_SHARE * fraction
    return totals


def push_pull_ratio(push_sets: float, pull_sets: float) -> float | Undefined:
    """Give weekly push sets per pull set. [1] Practice wants at most 1; no trial stands behind it.

    Examples
    --------
    >>> push_pull_ratio(8, 10)
    0.8
    """
    if push_sets < 0 or pull_sets < 0:
        raise ValueError("sets must not be negative")
    return push_sets / pull_sets if pull_sets else Undefined("no pulling this week")


def balance_notes(sets_by_pattern: Mapping[str, float]) -> tuple[str, ...]:
    """Name the weekly balance checks of common practice that a plan does not meet.

    Examples
    --------
    >>> balance_notes({"hpush": 6, "vpull": 4, "squat": 3})
    ('more pushing than pulling', 'squats without a hinge')
    """
    push = sum(sets_by_pattern.get(name, 0) for name in ("hpush", "vpush", "dip"))
    pull = sum(sets_by_pattern.get(name, 0) for name in ("hpull", "vpull"))
    notes = []
    if push > pull:
        notes.append("more pushing than pulling")
    if sets_by_pattern.get("squat", 0) and not sets_by_pattern.get("hinge", 0):
        notes.append("squats without a hinge")
    return tuple(notes)


@dataclass(frozen=True, slots=True)
class Tempo:
    """Seconds of each phase; the concentric is None when it is "as fast as possible"."""

    eccentric_s: float
    bottom_s: float
    concentric_s: float | None
    top_s: float


EXPLOSIVE_CONCENTRIC_S = 1.0  # how long "as fast as possible" is counted: common practice
_TEMPO = re.compile(r"(\d{1,2})([-/])(\d{1,2})\2(\d{1,2}|[Xx])\2(\d{1,2})")


def parse_tempo(tempo: str) -> Tempo:
    """Read a tempo written as eccentric-bottom-concentric-top. [s]

    Parameters
    ----------
    tempo : str
        Four numbers of seconds joined by hyphens or slashes; the third may be X, as fast as possible. The eccentric
        comes first also in movements that begin with the lift.

    Raises
    ------
    ValueError
        For anything else, and for a repetition that lasts no time.

    References
    ----------
    .. [1] M. Wilk et al., 2018, PMC6006544, prints 2/0/2/0, 5/0/3/0 and 6/0/4/0.

    Examples
    --------
    >>> parse_tempo("3-1-X-0")
    Tempo(eccentric_s=3.0, bottom_s=1.0, concentric_s=None, top_s=0.0)
    """
    match = _TEMPO.fullmatch(tempo)
    if match is None:
        raise ValueError(f"a tempo is four numbers joined by hyphens, the third may be X, as in 3-1-X-0; got {tempo!r}")
    eccentric, _, bottom, concentric, top = match.groups()
    parsed = Tempo(float(eccentric), float(bottom), None if concentric in "Xx" else float(concentric), float(top))
    if parsed == Tempo(0, 0, 0, 0):
        raise ValueError("a repetition must take some time")
    return parsed


def tempo_seconds(tempo: str) -> float:
    """Give the seconds of one repetition at a tempo, X counted as one second. [s]

    Examples
    --------
    >>> tempo_seconds("3-1-1-0"), tempo_seconds("4-0-X-1")
    (5.0, 6.0)
    """
    phases = parse_tempo(tempo)
    lift_s = EXPLOSIVE_CONCENTRIC_S if phases.concentric_s is None else phases.concentric_s
    return phases.eccentric_s + phases.bottom_s + lift_s + phases.top_s


def time_under_tension_s(repetitions: int, tempo: str) -> float:
    """Give the time one set keeps the muscle working. [s]

    Examples
    --------
    >>> time_under_tension_s(8, "3-1-1-0")
    40.0
    """
    if repetitions < 0:
        raise ValueError(f"repetitions must not be negative, got {repetitions}")
    return repetitions * tempo_seconds(tempo)


# Defaults of the session estimate: common practice.
REPETITION_S = 4.0
SET_UP_S = 60.0
SIDE_SWITCH_S = 10.0


@dataclass(frozen=True, slots=True)
class PlannedWork:
    """One prescription, for the clock. Give repetitions (with a tempo or not) or seconds of one set of one side."""

    sets: int
    repetitions: int | None = None
    seconds: float | None = None
    tempo: str | None = None
    rest_s: float = 0.0
    sides: int = 1

    def __post_init__(self) -> None:
        if (self.repetitions is None) == (self.seconds is None):
            raise ValueError("give either repetitions or seconds")
        if self.sets < 0 or self.rest_s < 0 or (self.repetitions or 0) < 0 or (self.seconds or 0) < 0:
            raise ValueError("sets, repetitions, seconds and rest must not be negative")
        if self.sides not in (1, 2):
            raise ValueError(f"sides must be 1 or 2, got {self.sides}")

    @property
    def one_side_s(self) -> float:
        """Seconds of one set of one side."""
        if self.seconds is not None:
            return self.seconds
        return (self.repetitions or 0) * (tempo_seconds(self.tempo) if self.tempo else REPETITION_S)


def group_duration_s(
    works: Sequence[PlannedWork], *, set_up_s: float = SET_UP_S, switch_s: float = SIDE_SWITCH_S
) -> float:
    """Estimate how long a group takes: one prescription, a pair, or a circuit. [s]

    Parameters
    ----------
    works : sequence of PlannedWork
        One for a single; two (pair) or more (circuit) are done in alternation, and each round but the last ends
        with one rest, the longest asked for by those who still have a set to come.
    set_up_s, switch_s : float
        Time to set up each movement, and to change sides. [s]

    Notes
    -----
    Common practice:
    set-up + sides x sets x work + (sets - 1) x rest + (sides - 1) x sets x switch.

    Examples
    --------
    >>> group_duration_s([PlannedWork(4, 8, tempo="3-1-1-0", rest_s=120)], set_up_s=0)
    520.0
    >>> group_duration_s([PlannedWork(3, 10, tempo="2-0-2-0", rest_s=90, sides=2)], set_up_s=0, switch_s=0)
    420.0
    """
    works = [work for work in works if work.sets]
    if not works:
        return 0.0
    working_s = sum(w.sets * (w.sides * w.one_side_s + (w.sides - 1) * switch_s) for w in works)
    rounds = max(w.sets for w in works)
    resting_s = sum(max(w.rest_s for w in works if w.sets > done) for done in range(1, rounds))
    return float(set_up_s * len(works) + working_s + resting_s)


def session_duration_s(
    sections: Sequence[Sequence[Sequence[PlannedWork]]],
    *,
    set_up_s: float = SET_UP_S,
    switch_s: float = SIDE_SWITCH_S,
    extra_s: float = 0.0,
) -> float:
    """Estimate how long a session takes: sections of groups of prescriptions. [s]

    Parameters
    ----------
    sections : sequence of sections, each a sequence of groups, each a sequence of PlannedWork
    extra_s : float
        Warm-up or cool-down time that is not written as prescriptions. [s]

    Examples
    --------
    >>> hold = PlannedWork(5, seconds=20, rest_s=60)
    >>> session_duration_s([[[hold]]], set_up_s=0)
    340.0
    """
    if extra_s < 0:
        raise ValueError(f"extra_s must not be negative, got {extra_s}")
    groups = (group for section in sections for group in section)
    return extra_s + sum(group_duration_s(group, set_up_s=set_up_s, switch_s=switch_s) for group in groups)


def rest_redistribution_s(total_rest_s: float, parts: int) -> float:
    """Give the rest per gap when the same total rest is spread over more, smaller sets. [s]

    References
    ----------
    .. [1] J. Tufano et al., J Hum Kinet, 2017 (36 repetitions, 420 s of rest in all).

    Examples
    --------
    >>> rest_redistribution_s(420, 9), rest_redistribution_s(420, 36)
    (52.5, 12.0)
    """
    if parts < 2 or total_rest_s < 0:
        raise ValueError("at least two parts and a rest of zero or more are needed")
    return total_rest_s / (parts - 1)


def every_minute_total(repetitions: int, minutes: int) -> int:
    """Give the total of a set done at the start of every minute. [count]

    Examples
    --------
    >>> every_minute_total(4, 10)
    40
    """
    if repetitions < 0 or minutes < 0:
        raise ValueError("repetitions and minutes must not be negative")
    return repetitions * minutes


def retention_per_set(total_repetitions: float, first_set: float, sets: int = 3) -> float:
    """Find the share of repetitions kept from set to set that gives a total over all sets. [fraction]

    Parameters
    ----------
    total_repetitions : float
        Over all sets; at least `first_set`, at most sets x first_set.
    first_set : float, > 0
    sets : int, >= 2

    Notes
    -----
    A one-parameter description, not a published model: repetitions of set k = first x q^(k-1). Studies that stop
    every set at a cap make q too high at long rests.

    Examples
    --------
    >>> round(retention_per_set(24.0, 10), 3)
    0.785
    """
    if first_set <= 0 or sets < 2 or not first_set <= total_repetitions <= sets * first_set:
        raise ValueError("the total must lie between one set and all sets at the first set's repetitions")
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        if sum(middle**k for k in range(sets)) < total_repetitions / first_set:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def drop_off_percent(repetitions: Sequence[int]) -> float | Undefined:
    """Measure how far repetitions fell from the first set to the last. [%]

    Examples
    --------
    >>> drop_off_percent([10, 9, 8])
    20.0
    """
    if len(repetitions) < 2:
        return Undefined("one set has no drop-off")
    if any(count < 0 for count in repetitions):
        raise ValueError("repetitions must not be negative")
    if repetitions[0] == 0:
        return Undefined("no repetitions in the first set")
    return 100 * (repetitions[0] - repetitions[-1]) / repetitions[0]


MINIMUM_WEEKLY_SETS_IVERSEN = 4  # per muscle when time is short (Iversen et al. 2021)
STANDARD_WEEKLY_SETS_BAZ_VALLE = (12, 20)  # per muscle for young trained men (Baz-Valle et al. 2022)


def weekly_set_class_schoenfeld(weekly_sets: float) -> str:
    """Put the weekly sets of a muscle into the classes of the dose-response analysis.

    Notes
    -----
    More sets, more growth: each extra weekly set about 0.37 % more; the classes' own trend had p = 0.074.

    References
    ----------
    .. [1] B. Schoenfeld, D. Ogborn, J. Krieger, J Sports Sci, vol. 35, no. 11, pp. 1073-1082, 2017.
       doi:10.1080/02640414.2016.1210197

    Examples
    --------
    >>> weekly_set_class_schoenfeld(7)
    '5 to 9'
    """
    if weekly_sets < 0:
        raise ValueError(f"weekly_sets must not be negative, got {weekly_sets}")
    if weekly_sets < 5:
        return "under 5"
    return "5 to 9" if weekly_sets < 10 else "10 or more"
