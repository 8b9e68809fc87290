"""Counting work: volume load, holds, hard sets, balance, and how long a session takes."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import ceil

from methods.ranges import require_between, require_not_negative, require_positive
from methods.undefined import Undefined
from methods.units import round_half_up

HARD_SET_MAX_RIR = 4.0  # a common threshold in trials and practice; no study fixes the exact number
INDIRECT_SET_SHARE = 0.5


class SetKind(StrEnum):
    """What a set was for."""

    WARM_UP = "warm_up"
    WORK = "work"
    TOP = "top"
    BACK_OFF = "back_off"
    MAX_REPS = "max_reps"
    CLUSTER = "cluster"


def volume_load_kg(repetitions: int, system_load_kg: float | Undefined) -> float | Undefined:
    """Give the volume load of one set: repetitions times system load. [kg]

    Evidence: A (a definition).

    Examples
    --------
    >>> volume_load_kg(15, 51.2)
    768.0
    """
    require_not_negative(repetitions=repetitions)
    if isinstance(system_load_kg, Undefined):
        return system_load_kg
    require_not_negative(system_load_kg=system_load_kg)
    return repetitions * system_load_kg


def hold_volume_kg_s(seconds: float, system_load_kg: float | Undefined) -> float | Undefined:
    """Give the volume of one hold: seconds times system load. [kg s]

    Evidence: A (a definition).

    Examples
    --------
    >>> hold_volume_kg_s(20, 80.0)
    1600.0
    """
    require_not_negative(seconds=seconds)
    if isinstance(system_load_kg, Undefined):
        return system_load_kg
    require_not_negative(system_load_kg=system_load_kg)
    return seconds * system_load_kg


def relative_volume(sets: int, repetitions: int, percent_1rm: float) -> float:
    """Give the relative volume: sets x repetitions x %1RM as a fraction. [1]

    Evidence: A (a definition).

    Examples
    --------
    >>> relative_volume(3, 8, 75)
    18.0
    """
    require_not_negative(sets=sets, repetitions=repetitions)
    require_between(0, 100, percent_1rm=percent_1rm)
    return sets * repetitions * percent_1rm / 100


def hard_set_fraction(rir: float | None, kind: str) -> float:
    """Say how much of a hard set one set was. [fraction]

    Parameters
    ----------
    rir : float >= 0, or None where nobody said
        Repetitions in reserve at the end of the set.
    kind : "warm_up", "work", "top", "back_off", "max_reps" or "cluster"

    Raises
    ------
    ValueError
        If the kind is another one or rir is negative.

    Notes
    -----
    Warm-up sets count 0. Work, top, back-off and cluster sets count 1 up to 4 repetitions in reserve, else 0; a set
    of maximum repetitions counts 1. **RIR unknown:** such a set counts 1, because clients rate only the last set
    and a work set is prescribed to be hard. The sum then errs towards too much work, never towards too little.

    Evidence: T (common practice).

    Examples
    --------
    >>> hard_set_fraction(2, "work"), hard_set_fraction(6, "work"), hard_set_fraction(None, "work")
    (1.0, 0.0, 1.0)
    """
    if rir is not None:
        require_not_negative(rir=rir)
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

    Evidence: V.

    Examples
    --------
    >>> fractional_sets(4, 6)
    7.0
    """
    require_not_negative(direct=direct, indirect=indirect)
    return direct + INDIRECT_SET_SHARE * indirect


def weekly_sets_by_muscle(
    sets: Sequence[tuple[float, Sequence[str], Sequence[str]]],
) -> dict[str, float]:
    """Sum fractional sets over a week for each muscle or pattern. [sets]

    Parameters
    ----------
    sets : sequence of (hard-set fraction, trained directly, trained indirectly)

    Evidence: V (the counting).

    Examples
    --------
    >>> weekly_sets_by_muscle([(1, ["lat"], ["biceps"]), (1, ["biceps"], [])])
    {'lat': 1.0, 'biceps': 1.5}
    """
    totals: dict[str, float] = {}
    for fraction, direct, indirect in sets:
        require_not_negative(fraction=fraction)
        for name in direct:
            totals[name] = totals.get(name, 0.0) + fraction
        for name in indirect:
            if name not in direct:
                totals[name] = totals.get(name, 0.0) + INDIRECT_SET_SHARE * fraction
    return totals


def push_pull_ratio(push_sets: float, pull_sets: float) -> float | Undefined:
    """Give weekly push sets per pull set. [1] Practice wants at most 1; no trial stands behind it.

    Evidence: T (common practice).

    Examples
    --------
    >>> push_pull_ratio(8, 10)
    0.8
    """
    require_not_negative(push_sets=push_sets, pull_sets=pull_sets)
    return push_sets / pull_sets if pull_sets else Undefined("no pulling this week")


PUSH_PATTERNS = ("hpush", "vpush", "dip")
PULL_PATTERNS = ("hpull", "vpull")


def balance_notes(sets_by_pattern: Mapping[str, float]) -> tuple[str, ...]:
    """Name the weekly balance checks of common practice that a plan does not meet.

    Evidence: T (common practice).

    Examples
    --------
    >>> balance_notes({"hpush": 6, "vpull": 4, "squat": 3})
    ('more pushing than pulling', 'squats without a hinge')
    """
    for count in sets_by_pattern.values():
        require_not_negative(sets=count)
    push = sum(sets_by_pattern.get(name, 0) for name in PUSH_PATTERNS)
    pull = sum(sets_by_pattern.get(name, 0) for name in PULL_PATTERNS)
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

    Evidence: V (the order of the numbers).

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


LONG_LOWERING_S = 5.0


def is_long_lowering(tempo: str | None) -> bool:
    """Say whether a tempo lowers for five seconds or more, which is treated like a negative.

    Evidence: T (house rule: trials call 5/0/3/0 and 6/0/4/0 slow).

    Examples
    --------
    >>> is_long_lowering("5-0-3-0"), is_long_lowering("4-0-1-0"), is_long_lowering(None)
    (True, False, False)
    """
    return tempo is not None and tempo != "" and parse_tempo(tempo).eccentric_s >= LONG_LOWERING_S


def tempo_seconds(tempo: str) -> float:
    """Give the seconds of one repetition at a tempo, X counted as one second. [s]

    Evidence: V (the notation), T (X as one second).

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

    Evidence: A (a definition).

    Examples
    --------
    >>> time_under_tension_s(8, "3-1-1-0")
    40.0
    """
    require_not_negative(repetitions=repetitions)
    return repetitions * tempo_seconds(tempo)


# Defaults of the session estimate: common practice.
REPETITION_S = 4.0
SET_UP_S = 60.0
SIDE_SWITCH_S = 10.0


@dataclass(frozen=True, slots=True)
class PlannedWork:
    """One prescription, for the clock. Give repetitions (with a tempo or not) or seconds of one set of one side.

    A cluster set is done in parts of `cluster_repetitions`, the last one maybe shorter, with `rest_within_s` between.
    """

    sets: int
    repetitions: int | None = None
    seconds: float | None = None
    tempo: str | None = None
    rest_s: float = 0.0
    sides: int = 1
    cluster_repetitions: int | None = None
    rest_within_s: float = 0.0

    def __post_init__(self) -> None:
        if (self.repetitions is None) == (self.seconds is None):
            raise ValueError("give either repetitions or seconds")
        require_not_negative(
            sets=self.sets, rest_s=self.rest_s, repetitions=self.repetitions or 0, seconds=self.seconds or 0.0
        )
        if self.sides not in (1, 2):
            raise ValueError(f"sides must be 1 or 2, got {self.sides}")
        self._check_cluster()

    def _check_cluster(self) -> None:
        require_not_negative(rest_within_s=self.rest_within_s)
        if self.cluster_repetitions is None:
            if self.rest_within_s:
                raise ValueError("a rest within the set needs the repetitions of a part")
            return
        if self.repetitions is None:
            raise ValueError("only sets of repetitions have parts")
        if not self.cluster_repetitions >= 1:
            raise ValueError(f"a part needs at least one repetition, got {self.cluster_repetitions}")

    @property
    def one_side_s(self) -> float:
        """Seconds of one set of one side, rests between its parts included."""
        if self.seconds is not None:
            return self.seconds
        working_s = (self.repetitions or 0) * (tempo_seconds(self.tempo) if self.tempo else REPETITION_S)
        return working_s + self.gaps_within * self.rest_within_s

    @property
    def gaps_within(self) -> int:
        """How often one set of one side is broken for a rest."""
        if not self.repetitions or self.cluster_repetitions is None:
            return 0
        return ceil(self.repetitions / self.cluster_repetitions) - 1

    def set_s(self, switch_s: float) -> float:
        """Seconds of one set with both its sides."""
        return self.sides * self.one_side_s + (self.sides - 1) * switch_s


def group_duration_s(
    works: Sequence[PlannedWork], *, set_up_s: float = SET_UP_S, switch_s: float = SIDE_SWITCH_S
) -> float:
    """Estimate how long a group takes: one prescription, or several in alternation that rest once a round. [s]

    Parameters
    ----------
    works : sequence of PlannedWork
        One for a single; two (pair) or more are done in alternation, and each round but the last ends with one rest,
        the longest asked for by those who still have a set to come. With rests between stations: `circuit_duration_s`.
    set_up_s, switch_s : float
        Time to set up each movement, and to change sides. [s]

    Notes
    -----
    Common practice:
    set-up + sides x sets x work + (sets - 1) x rest + (sides - 1) x sets x switch.

    Evidence: T (common practice).

    Examples
    --------
    >>> group_duration_s([PlannedWork(4, 8, tempo="3-1-1-0", rest_s=120)], set_up_s=0)
    520.0
    >>> group_duration_s([PlannedWork(3, 10, tempo="2-0-2-0", rest_s=90, sides=2)], set_up_s=0, switch_s=0)
    420.0
    """
    require_not_negative(set_up_s=set_up_s, switch_s=switch_s)
    works = [work for work in works if work.sets]
    if not works:
        return 0.0
    rounds = max(w.sets for w in works)
    resting_s = sum(max(w.rest_s for w in works if w.sets > done) for done in range(1, rounds))
    return float(set_up_s * len(works) + _working_s(works, switch_s) + resting_s)


def _working_s(works: Sequence[PlannedWork], switch_s: float) -> float:
    return sum(work.sets * work.set_s(switch_s) for work in works)


def circuit_duration_s(
    works: Sequence[PlannedWork], *, set_up_s: float = SET_UP_S, switch_s: float = SIDE_SWITCH_S
) -> float:
    """Estimate how long a circuit with a rest after each station takes. [s]

    Parameters
    ----------
    works : sequence of PlannedWork
        The stations in order. The rest of each follows it; that of the last one follows each round but the last.
    set_up_s, switch_s : float
        Time to set up each station, and to change sides. [s]

    Notes
    -----
    A station without a set left drops out with its rest; whichever then ends a round has the round's rest after it.

    Evidence: T (common practice).

    Examples
    --------
    Two rounds of 40 s, rest 15 s, 20 s; 90 s between the rounds: 2 x (40 + 15 + 20) + 90.

    >>> circuit_duration_s([PlannedWork(2, 10, rest_s=15), PlannedWork(2, 5, rest_s=90)], set_up_s=0)
    240.0
    """
    require_not_negative(set_up_s=set_up_s, switch_s=switch_s)
    works = [work for work in works if work.sets]
    if not works:
        return 0.0
    rounds = max(work.sets for work in works)
    resting_s = (rounds - 1) * works[-1].rest_s
    for done in range(rounds):
        stations = [work for work in works if work.sets > done]
        resting_s += sum(work.rest_s for work in stations[:-1])
    return float(set_up_s * len(works) + _working_s(works, switch_s) + resting_s)


def every_interval_duration_s(works: Sequence[PlannedWork], interval_s: float) -> float:
    """Give how long sets at the start of every minute, or of another interval, take, without setting up. [s]

    Parameters
    ----------
    works : sequence of PlannedWork
        Done in turn, one set an interval; their rests are what the interval leaves (`interval_slack_s`).
    interval_s : float, > 0
        From the start of one set to the start of the next. [s]

    Notes
    -----
    Intervals x seconds, whatever the work: rounds x members intervals. The last one is counted whole.

    Evidence: A (arithmetic).

    Examples
    --------
    >>> every_interval_duration_s([PlannedWork(5, 5), PlannedWork(5, 8)], 60)
    600.0
    """
    require_positive(interval_s=interval_s)
    return float(interval_s * sum(work.sets for work in works))


def interval_slack_s(work: PlannedWork, interval_s: float, *, switch_s: float = SIDE_SWITCH_S) -> float:
    """Give the rest that an interval leaves after one set; negative when the set does not fit into it. [s]

    Evidence: A (arithmetic), T (the seconds of a repetition without a tempo).

    Examples
    --------
    >>> interval_slack_s(PlannedWork(10, 4), 60), interval_slack_s(PlannedWork(5, 20), 60)
    (44.0, -20.0)
    """
    require_positive(interval_s=interval_s)
    require_not_negative(switch_s=switch_s)
    return float(interval_s - work.set_s(switch_s))


def fixed_time_duration_s(minutes: float) -> float:
    """Give how long "as many rounds as fit into so many minutes" takes: that time, without setting up. [s]

    Evidence: A (arithmetic).

    Examples
    --------
    >>> fixed_time_duration_s(12)
    720.0
    """
    require_positive(minutes=minutes)
    return 60.0 * minutes


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

    Evidence: T (common practice).

    Examples
    --------
    >>> hold = PlannedWork(5, seconds=20, rest_s=60)
    >>> session_duration_s([[[hold]]], set_up_s=0)
    340.0
    """
    require_not_negative(extra_s=extra_s)
    groups = (group for section in sections for group in section)
    return extra_s + sum(group_duration_s(group, set_up_s=set_up_s, switch_s=switch_s) for group in groups)


def rest_redistribution_s(total_rest_s: float, parts: int) -> float:
    """Give the rest per gap when the same total rest is spread over more, smaller sets. [s]

    References
    ----------
    .. [1] J. Tufano et al., J Hum Kinet, 2017 (36 repetitions, 420 s of rest in all).

    Evidence: V.

    Examples
    --------
    >>> rest_redistribution_s(420, 9), rest_redistribution_s(420, 36)
    (52.5, 12.0)
    """
    require_not_negative(total_rest_s=total_rest_s)
    if not parts >= 2:
        raise ValueError(f"at least two parts are needed, got {parts}")
    return total_rest_s / (parts - 1)


def every_minute_total(repetitions: int, minutes: int) -> int:
    """Give the total of a set done at the start of every minute. [count]

    Evidence: A (arithmetic).

    Examples
    --------
    >>> every_minute_total(4, 10)
    40
    """
    require_not_negative(repetitions=repetitions, minutes=minutes)
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

    Evidence: A on V (the totals of a study).

    Examples
    --------
    >>> round(retention_per_set(24.0, 10), 3)
    0.785
    """
    require_positive(first_set=first_set)
    if sets < 2 or not first_set <= total_repetitions <= sets * first_set:
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

    Evidence: A (a definition).

    Examples
    --------
    >>> drop_off_percent([10, 9, 8])
    20.0
    """
    if len(repetitions) < 2:
        return Undefined("one set has no drop-off")
    for count in repetitions:
        require_not_negative(repetitions=count)
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

    Evidence: V.

    Examples
    --------
    >>> weekly_set_class_schoenfeld(7)
    '5 to 9'
    """
    require_not_negative(weekly_sets=weekly_sets)
    if weekly_sets < 5:
        return "under 5"
    return "5 to 9" if weekly_sets < 10 else "10 or more"


def extra_growth_percent_schoenfeld(extra_weekly_sets: float) -> float:
    """Give the extra gain in muscle size that so many more weekly sets came with on average. [%]

    References
    ----------
    .. [1] B. Schoenfeld, D. Ogborn, J. Krieger, J Sports Sci, vol. 35, no. 11, pp. 1073-1082, 2017.
       doi:10.1080/02640414.2016.1210197

    Evidence: V (0.37 % a set, 15 studies; nothing says that it goes on for ever).

    Examples
    --------
    >>> round(extra_growth_percent_schoenfeld(5), 2)
    1.85
    """
    require_not_negative(extra_weekly_sets=extra_weekly_sets)
    return 0.37 * extra_weekly_sets


def even_set_repetitions(fresh_maximum: int, retention: float, sets: int) -> int:
    """Choose the repetitions with which so many even sets can be finished: what is left for the last one. [count]

    Parameters
    ----------
    fresh_maximum : int, >= 1
        Most repetitions when fresh.
    retention : float, above 0 to 1
        Share of repetitions kept from set to set, as in `retention_per_set`. [fraction]
    sets : int, >= 1

    Evidence: A (the one-parameter description of `retention_per_set`, not a published model).

    Examples
    --------
    >>> even_set_repetitions(10, 0.853, 5), even_set_repetitions(12, 0.785, 4)
    (5, 5)
    """
    if fresh_maximum < 1 or sets < 1:
        raise ValueError(f"at least one repetition and one set, got {fresh_maximum} and {sets}")
    require_positive(retention=retention)
    require_between(0, 1, retention=retention)
    return max(1, int(fresh_maximum * retention ** (sets - 1) + 1e-9))


def many_sets_repetitions(fresh_maximum: int) -> tuple[int, int]:
    """Give the repetitions of one of many sets: 40 to 60 % of the fresh maximum. [count]

    Evidence: T (common practice; sets stopped at about half the maximum did better in one pull-up trial).

    Examples
    --------
    >>> many_sets_repetitions(10)
    (4, 6)
    """
    if fresh_maximum < 1:
        raise ValueError(f"fresh_maximum must be at least 1, got {fresh_maximum}")
    return max(1, round_half_up(0.4 * fresh_maximum)), max(1, round_half_up(0.6 * fresh_maximum))


def repetitions_per_minute(repetitions: int, minutes: float) -> float:
    """Give the density of work: repetitions per minute of its whole time. [1/min]

    Evidence: A (a definition).

    Examples
    --------
    >>> repetitions_per_minute(40, 10)
    4.0
    """
    require_not_negative(repetitions=repetitions)
    require_positive(minutes=minutes)
    return repetitions / minutes


_ACSM_REST_S = {"heavy": (180, 300), "multi_joint": (120, 180), "single_joint": (60, 120)}


def rest_s_acsm(kind: str) -> tuple[int, int]:
    """Give the rest between sets that the 2009 position stand advises for strength. [s]

    Parameters
    ----------
    kind : "heavy" (1 to 6 RM), "multi_joint" or "single_joint"

    References
    ----------
    .. [1] N. Ratamess et al., Med Sci Sports Exerc, vol. 41, no. 3, pp. 687-708, 2009.
       doi:10.1249/MSS.0b013e3181915670

    Evidence: V.

    Examples
    --------
    >>> rest_s_acsm("heavy")
    (180, 300)
    """
    if kind not in _ACSM_REST_S:
        raise ValueError(f"kind must be {', '.join(_ACSM_REST_S)}, got {kind!r}")
    return _ACSM_REST_S[kind]


# Total repetitions of three sets of up to 10 at 75 % of the bench press maximum, by minutes of rest (Ratamess 2012).
TOTALS_BY_REST_RATAMESS: dict[str, dict[int, float]] = {
    "male": {1: 21.1, 2: 24.0, 3: 25.8},
    "female": {1: 26.9, 2: 29.0, 3: 29.7},
}

# A side of its own is half of a set with two sides; a weight is carried at about a metre a second (common practice).
ONE_SIDE_SET_SHARE = 0.5
CARRY_M_S = 1.0
