"""The published and the common steps of progression, each as a small pure function."""

from collections.abc import Sequence
from dataclasses import replace
from math import floor
from typing import Literal

from methods.dose import Dose, written
from methods.ranges import require_not_negative, require_positive
from methods.strength import one_repetition_maximum_epley, repetitions_at_load_epley
from methods.undefined import Undefined
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

    Evidence: V (2 to 10 %), M (where in it); the 2026 stand was not readable.

    Examples
    --------
    >>> [round(60 + step, 1) for step in acsm_step_kg(60)]
    [61.2, 66.0]
    """
    require_positive(system_load_kg=system_load_kg)
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

    Evidence: V2 (secondary pages).

    Examples
    --------
    >>> two_for_two(10, [12, 12]), two_for_two(10, [12, 11])
    (True, False)
    """
    if not goal_repetitions >= 1:
        raise ValueError(f"goal_repetitions must be at least 1, got {goal_repetitions}")
    for done in last_set_repetitions:
        require_not_negative(repetitions=done)
    latest = last_set_repetitions[-2:]
    return len(latest) == 2 and all(done >= goal_repetitions + TWO_FOR_TWO_EXTRA for done in latest)


def handbook_increment_kg(area: Area, level: Level) -> tuple[float, float]:
    """Read the handbook's load increments for a body area and a kind of athlete. [kg]

    Evidence: M (the table was not found).

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

    Evidence: V (10 %), M (the handbook's upper number), T (the fewest increments).

    Examples
    --------
    >>> load_jump_kg(90, 1.25, "upper", "less"), load_jump_kg(4, 1, "upper", "less").reason
    (1.25, 'the smallest rise the equipment allows is 25 % of the load')
    """
    require_positive(increment_kg=increment_kg)
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

    Evidence: V2 (Epley), A.

    Examples
    --------
    >>> repetitions_after_jump(80, 12, 5), repetitions_after_jump(80, 12, 2.5)
    (9, 10)
    """
    require_positive(system_load_kg=system_load_kg, repetitions=repetitions)
    require_not_negative(jump_kg=jump_kg)
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

    Evidence: T (common practice).

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

    Evidence: T (common practice).

    Examples
    --------
    >>> even_sets_step(Dose(repetitions=4, sets=6), 10, 8).sets
    7
    """
    if not (max_sets >= 1 and most_repetitions >= 1):
        raise ValueError(f"at least one set and one repetition, got {max_sets} and {most_repetitions}")
    if dose.repetitions is None:
        raise ValueError("only doses in repetitions have even sets")
    if dose.sets < max_sets:
        return replace(dose, sets=dose.sets + 1)
    if dose.repetitions < most_repetitions:
        return replace(dose, repetitions=dose.repetitions + 1)
    return Undefined("at the most sets and repetitions planned")


_ACSM_DAYS = {"novice": (2, 3), "intermediate": (3, 4), "advanced": (4, 5)}


def acsm_days_a_week(level: str) -> tuple[int, int]:
    """Give the training days a week that the 2009 position stand advises. [days]

    References
    ----------
    .. [1] N. Ratamess et al., Med Sci Sports Exerc, vol. 41, no. 3, pp. 687-708, 2009.
       doi:10.1249/MSS.0b013e3181915670

    Evidence: V.

    Examples
    --------
    >>> acsm_days_a_week("novice")
    (2, 3)
    """
    if level not in _ACSM_DAYS:
        raise ValueError(f"level must be {', '.join(_ACSM_DAYS)}, got {level!r}")
    return _ACSM_DAYS[level]


_ACSM_REPETITIONS = {"novice": (8, 12), "intermediate": (1, 12), "advanced": (1, 12)}


def acsm_repetition_range(level: str) -> tuple[int, int]:
    """Give the repetition maximum range that the 2009 position stand advises. [RM]

    Intermediate and advanced people vary within it over weeks, with an emphasis on 1 to 6.

    References
    ----------
    .. [1] N. Ratamess et al., Med Sci Sports Exerc, vol. 41, no. 3, pp. 687-708, 2009.
       doi:10.1249/MSS.0b013e3181915670

    Evidence: V.

    Examples
    --------
    >>> acsm_repetition_range("novice")
    (8, 12)
    """
    if level not in _ACSM_REPETITIONS:
        raise ValueError(f"level must be {', '.join(_ACSM_REPETITIONS)}, got {level!r}")
    return _ACSM_REPETITIONS[level]
