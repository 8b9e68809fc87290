"""The published and the common steps of progression, each as a small pure function."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import floor
from typing import Literal

from methods.dose import Dose, written
from methods.strength import one_repetition_maximum_epley, repetitions_at_load_epley
from methods.undefined import Undefined
from methods.units import round_down_to_increment, round_half_up
from methods.volume import Tempo, parse_tempo

Area = Literal["upper", "lower"]
Level = Literal["less", "more"]

ACSM_MIN_STEP = 0.02
ACSM_MAX_STEP = 0.10
TWO_FOR_TWO_EXTRA = 2

# Smaller or less trained against larger or more trained people; the handbook's own kg columns, from memory.
HANDBOOK_INCREMENT_KG: dict[tuple[str, str], tuple[float, float]] = {
    ("less", "upper"): (1.0, 2.0),
    ("less", "lower"): (2.0, 4.0),
    ("more", "upper"): (2.0, 4.0),
    ("more", "lower"): (4.0, 7.0),
}


def acsm_step_kg(system_load_kg: float) -> tuple[float, float]:
    """Give the smallest and largest rise of load that the 2009 position stand advises: 2 to 10 %. [kg]

    Parameters
    ----------
    system_load_kg : float, > 0
        Load of the whole system, so for a weighted pull-up body and plate together. [kg]

    Notes
    -----
    Applied once one or two repetitions over target are done at the current load; the lower end for small muscles.

    References
    ----------
    .. [1] N. Ratamess et al., "Progression models in resistance training for healthy adults," Med Sci Sports Exerc,
       vol. 41, no. 3, pp. 687-708, 2009. doi:10.1249/MSS.0b013e3181915670

    Examples
    --------
    >>> [round(60 + step, 1) for step in acsm_step_kg(60)]
    [61.2, 66.0]
    """
    if system_load_kg <= 0:
        raise ValueError(f"system_load_kg must be positive, got {system_load_kg}")
    return ACSM_MIN_STEP * system_load_kg, ACSM_MAX_STEP * system_load_kg


def two_for_two(goal_repetitions: int, last_set_repetitions: Sequence[int]) -> bool:
    """Say whether the load may rise: two or more over the goal in the last set, two sessions running.

    Parameters
    ----------
    goal_repetitions : int, >= 1
    last_set_repetitions : sequence of int
        Repetitions of the last set of each session, latest last; only the last two count.

    References
    ----------
    .. [1] G. Haff and N. Triplett (eds.), Essentials of Strength Training and Conditioning (rule read on secondary
       pages, attributed to Baechle).

    Examples
    --------
    >>> two_for_two(10, [12, 12]), two_for_two(10, [12, 11])
    (True, False)
    """
    if goal_repetitions < 1:
        raise ValueError(f"goal_repetitions must be at least 1, got {goal_repetitions}")
    latest = last_set_repetitions[-2:]
    return len(latest) == 2 and all(done >= goal_repetitions + TWO_FOR_TWO_EXTRA for done in latest)


def handbook_increment_kg(area: Area, level: Level) -> tuple[float, float]:
    """Read the handbook's load increments for a body area and a kind of athlete. [kg]

    Examples
    --------
    >>> handbook_increment_kg("lower", "less")
    (2.0, 4.0)
    """
    if (level, area) not in HANDBOOK_INCREMENT_KG:
        raise ValueError(f"area must be upper or lower and level less or more, got {area!r}, {level!r}")
    return HANDBOOK_INCREMENT_KG[(level, area)]


def load_jump_kg(system_load_kg: float, increment_kg: float, area: Area, level: Level) -> float | Undefined:
    """Choose the next rise of load that the equipment allows: small, and never above 10 % of the system. [kg]

    Parameters
    ----------
    system_load_kg : float, > 0
    increment_kg : float, > 0
        The smallest rise the equipment allows. [kg]
    area, level : see `handbook_increment_kg`

    Returns
    -------
    float, or Undefined when even one increment is more than 10 %.

    Notes
    -----
    The fewest increments that make 2 %, held to the handbook's upper number where more than one would be needed.

    Examples
    --------
    >>> load_jump_kg(90, 1.25, "upper", "less"), load_jump_kg(4, 1, "upper", "less").reason
    (1.25, 'the smallest rise the equipment allows is 25 % of the load')
    """
    if increment_kg <= 0:
        raise ValueError(f"increment_kg must be positive, got {increment_kg}")
    least, most = acsm_step_kg(system_load_kg)
    if increment_kg > most + 1e-9:
        percent = 100 * increment_kg / system_load_kg
        return Undefined(f"the smallest rise the equipment allows is {percent:.0f} % of the load")
    _, handbook_most = handbook_increment_kg(area, level)
    count = 1
    while count * increment_kg < least - 1e-9 and (count + 1) * increment_kg <= min(most, handbook_most) + 1e-9:
        count += 1
    return count * increment_kg


def repetitions_after_jump(system_load_kg: float, repetitions: float, jump_kg: float) -> int | Undefined:
    """Predict the repetitions at the next load from a constant maximum (Epley), rounded down. [count]

    Examples
    --------
    >>> repetitions_after_jump(80, 12, 5), repetitions_after_jump(80, 12, 2.5)
    (9, 10)
    """
    if not 1 <= repetitions <= 15:
        return Undefined("more than 15 repetitions to failure: too many for a prediction")
    maximum_kg = one_repetition_maximum_epley(system_load_kg, repetitions)
    if system_load_kg + jump_kg > maximum_kg:
        return Undefined("the next load lies above the estimated maximum")
    return floor(repetitions_at_load_epley(maximum_kg, system_load_kg + jump_kg) + 1e-9)


MAX_LOWERING_S = 4.0
USUAL_TEMPO = Tempo(2.0, 0.0, 1.0, 0.0)


def slower_tempo(dose: Dose) -> Dose | Undefined:
    """Lower one second more slowly, up to four: the step before a jump in load that is too coarse (common practice).

    Examples
    --------
    >>> slower_tempo(Dose(load_kg=4, repetitions=12, sets=3, tempo="2-0-1-0")).tempo
    '3-0-1-0'
    """
    tempo = parse_tempo(dose.tempo) if dose.tempo else USUAL_TEMPO
    if tempo.eccentric_s + 1 > MAX_LOWERING_S:
        return Undefined("lowering already takes four seconds")
    return replace(dose, tempo=written(replace(tempo, eccentric_s=tempo.eccentric_s + 1)))


def even_sets_step(dose: Dose, max_sets: int, most_repetitions: int) -> Dose | Undefined:
    """Add volume to "the same repetitions every set": a set first, then a repetition (common practice).

    Examples
    --------
    >>> even_sets_step(Dose(repetitions=4, sets=6), 10, 8).sets
    7
    """
    if dose.repetitions is None:
        raise ValueError("only doses in repetitions have even sets")
    if dose.sets < max_sets:
        return replace(dose, sets=dose.sets + 1)
    if dose.repetitions < most_repetitions:
        return replace(dose, repetitions=dose.repetitions + 1)
    return Undefined("at the most sets and repetitions planned")


def deload_sets(sets: int) -> int:
    """Halve the sets of a deload week, halves upwards, at least one. [count]

    Examples
    --------
    >>> [deload_sets(sets) for sets in (5, 4, 3, 1)]
    [3, 2, 2, 1]
    """
    if sets < 1:
        raise ValueError(f"sets must be at least 1, got {sets}")
    return max(1, round_half_up(sets * 0.5))


DELOAD_EXTRA_RIR = 2.0
DELOAD_LOAD_SHARE = 0.90


def deload(dose: Dose, increment_kg: float | None = None) -> Dose:
    """Give the dose of a deload week: half the sets, two more in reserve, up to 10 % less load (common practice).

    Coaches mostly cut sets and effort and keep exercises and days [1]_; a week off altogether cost leg strength [2]_.

    References
    ----------
    .. [1] D. Rogerson et al., Sports Med Open, vol. 10, 26, 2024.
    .. [2] M. Coleman et al., PeerJ, vol. 12, e16777, 2024. doi:10.7717/peerj.16777

    Examples
    --------
    >>> deload(Dose(load_kg=40, repetitions=8, sets=4, rir=2), 2.5).load_kg
    35.0
    """
    lighter = lighter_load(dose, DELOAD_LOAD_SHARE, increment_kg)
    return replace(lighter, sets=deload_sets(dose.sets), rir=(dose.rir or 0.0) + DELOAD_EXTRA_RIR)


DELOAD_EVERY_WEEKS_MEAN = 5.6
DELOAD_EVERY_WEEKS_SD = 2.3


def deload_window_weeks() -> tuple[float, float]:
    """Give the weeks of training after which most lifters asked take a deload: mean less and plus one SD. [weeks]

    References
    ----------
    .. [1] D. Rogerson et al., Sports Med Open, vol. 10, 26, 2024 (246 strength and physique athletes).
    """
    return DELOAD_EVERY_WEEKS_MEAN - DELOAD_EVERY_WEEKS_SD, DELOAD_EVERY_WEEKS_MEAN + DELOAD_EVERY_WEEKS_SD


def lighter_load(dose: Dose, share: float, increment_kg: float | None) -> Dose:
    """Take a share of the load, rounded down to what the equipment allows; without load, of the work of a set."""
    if not 0 < share <= 1:
        raise ValueError(f"share must lie between 0 and 1, got {share}")
    if dose.load_kg is not None and dose.load_kg > 0:
        load_kg = dose.load_kg * share
        return replace(dose, load_kg=round_down_to_increment(load_kg, increment_kg) if increment_kg else load_kg)
    return shorter_sets(dose, share)


def shorter_sets(dose: Dose, share: float) -> Dose:
    """Take a share of the repetitions, seconds or metres of each set, rounded down, at least one.

    Examples
    --------
    >>> shorter_sets(Dose(repetitions=8, sets=3), 0.8).repetitions
    6
    """
    return replace(
        dose,
        repetitions=None
        if dose.repetitions is None
        else min(dose.repetitions, max(1, floor(dose.repetitions * share))),
        seconds=None if dose.seconds is None else min(dose.seconds, max(1.0, float(floor(dose.seconds * share)))),
        metres=None if dose.metres is None else min(dose.metres, max(1.0, float(floor(dose.metres * share)))),
    )


@dataclass(frozen=True, slots=True)
class _Return:
    """What a break of at least so many days costs."""

    from_days: int
    load_share: float
    sets_share: float
    steps_down: int


# The lower of two rules. Common practice: 2-3 weeks -10 %, 4-8 weeks -20 % and 30 % fewer sets, longer 60 %.
# Joint guideline on return to training: volume cut by half in the first week and by 30 % in the second.
_RETURNS = (
    _Return(57, 0.60, 0.50, 1),
    _Return(28, 0.80, 0.50, 0),
    _Return(14, 0.90, 0.50, 0),
)
_SECOND_WEEK_SETS_SHARE = 0.70


def return_after_break(dose: Dose, days_off: float, *, week: int = 1, increment_kg: float | None = None) -> Dose:
    """Give the dose for coming back after a break: the lower of two rules in every dimension.

    Parameters
    ----------
    dose : Dose
        What was asked before the break.
    days_off : float, >= 0
        Days since the last session. Under 14 the dose stays (but does not get harder).
    week : int, >= 1
        Week since the return; the cut in sets is 50 % in the first, 30 % in the second, none after.
    increment_kg : float or None
        The steps of the equipment; loads are rounded down.

    References
    ----------
    .. [1] A. Caterisano et al., Strength Cond J, vol. 41, no. 3, pp. 1-23, 2019 (numbers from memory): "50/30" for two
       weeks on return.
    .. [2] Common practice: one week off, same load; 2 to 3 weeks, 5 to 10 % less; 4 to 8 weeks, 10 to 20 % less and
       30 % fewer sets; longer, restart at 60 to 70 %.

    Examples
    --------
    >>> back = return_after_break(Dose(load_kg=40, repetitions=8, sets=4), 21, increment_kg=2.5)
    >>> back.load_kg, back.sets
    (35.0, 2)
    """
    if days_off < 0 or week < 1:
        raise ValueError(f"days_off must not be negative and week at least 1, got {days_off} and {week}")
    for rule in _RETURNS:
        if days_off >= rule.from_days:
            lighter = lighter_load(dose, rule.load_share, increment_kg)
            sets_share = {1: rule.sets_share, 2: max(rule.sets_share, _SECOND_WEEK_SETS_SHARE)}.get(week, 1.0)
            step = None if dose.step is None else dose.step - rule.steps_down
            return replace(lighter, sets=max(1, floor(dose.sets * sets_share)), step=step)
    return dose


def return_plan_percent(weeks: int) -> tuple[int, ...]:
    """Give the share of the former weekly volume in the first weeks of new athletes: 50, 70, 80, 90. [%]

    References
    ----------
    .. [1] A. Caterisano et al., Strength Cond J, vol. 41, no. 3, pp. 1-23, 2019 ("50/30/20/10", numbers from memory).
    """
    if not 0 <= weeks <= 4:
        raise ValueError(f"the guideline covers the first four weeks, got {weeks}")
    return (50, 70, 80, 90)[:weeks]


FIRST_EXPOSURE_MAX_SETS = 2
FIRST_EXPOSURE_RIR = 4.0
ECCENTRIC_MAX_REPETITIONS = 5


def reduced_dose(dose: Dose, *, eccentric: bool = False) -> Dose:
    """Give the dose for a first exposure, and for negatives and long lowering (common practice).

    At most two sets with four in reserve; eccentric work at most five repetitions, because soreness and muscle
    damage are worst after the first bout of it.

    Examples
    --------
    >>> reduced_dose(Dose(repetitions=8, sets=4, rir=2), eccentric=True).repetitions
    5
    """
    repetitions = dose.repetitions
    if eccentric and repetitions is not None:
        repetitions = min(repetitions, ECCENTRIC_MAX_REPETITIONS)
    return replace(
        dose,
        sets=min(dose.sets, FIRST_EXPOSURE_MAX_SETS),
        rir=max(dose.rir or 0.0, FIRST_EXPOSURE_RIR),
        repetitions=repetitions,
    )


def less_after_failing(dose: Dose, increment_kg: float | None, *, easier_step_known: bool = True) -> Dose:
    """Step back after the bottom of the range was missed twice: 5 to 10 % less load, or one step down.

    Examples
    --------
    >>> less_after_failing(Dose(load_kg=40, repetitions=8, sets=3), 2.5).load_kg
    37.5
    """
    if dose.load_kg is not None and dose.load_kg > 0:
        return lighter_load(dose, 0.95, increment_kg)
    return easier_version(dose, easier_step_known=easier_step_known)


def easier_version(dose: Dose, increment_kg: float | None = None, *, easier_step_known: bool = True) -> Dose:
    """Go one step down a progression line; without one, take a tenth off the load or a fifth off each set.

    Examples
    --------
    >>> easier_version(Dose(repetitions=10, step=0)).step
    -1
    """
    if dose.step is not None and easier_step_known:
        return replace(dose, step=dose.step - 1)
    if dose.load_kg is not None and dose.load_kg > 0:
        return lighter_load(dose, 0.9, increment_kg)
    return shorter_sets(dose, 0.8)


_ACSM_DAYS = {"novice": (2, 3), "intermediate": (3, 4), "advanced": (4, 5)}


def acsm_days_a_week(level: str) -> tuple[int, int]:
    """Give the training days a week that the 2009 position stand advises. [days]

    References
    ----------
    .. [1] N. Ratamess et al., Med Sci Sports Exerc, vol. 41, no. 3, pp. 687-708, 2009.
       doi:10.1249/MSS.0b013e3181915670

    Examples
    --------
    >>> acsm_days_a_week("novice")
    (2, 3)
    """
    if level not in _ACSM_DAYS:
        raise ValueError(f"level must be {', '.join(_ACSM_DAYS)}, got {level!r}")
    return _ACSM_DAYS[level]
