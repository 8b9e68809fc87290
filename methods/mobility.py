"""Stretching doses and what long stretches do to strength right after."""

from dataclasses import dataclass
from math import ceil

from methods.ranges import require_between, require_not_negative, require_positive

ACSM_TOTAL_S = 60
ACSM_HOLD_S = (10, 30)
OLDER_HOLD_S = (30, 60)
MIN_REPETITIONS, MAX_REPETITIONS = 2, 4
STRETCH_DAYS = 2
LONG_STRETCH_S = 60
# Where the gain in range levels off, per muscle (Ingram et al. 2025, read on secondary pages). [min]
LEVELS_OFF_SESSION_MIN = 4
LEVELS_OFF_WEEK_MIN = 10

# The phases of a warm-up (Jeffreys 2007) and, as common practice, the minutes of raising and a drill's sets and counts.
RAMP_PHASES = ("raise", "activate and mobilise", "potentiate")
RAISE_MIN = (3, 5)
DRILL_SETS, DRILL_REPETITIONS = (1, 2), (8, 12)


def stretch_repetitions_acsm(hold_s: float) -> int:
    """Give how often a static stretch is held to make 60 seconds in all. [count]

    Parameters
    ----------
    hold_s : float, 10 to 60
        One hold; 10 to 30 s is advised, 30 to 60 s for older adults. [s]

    Notes
    -----
    The guideline names 2 to 4 repetitions: holds under 15 s would need more, and then more than four are returned.

    References
    ----------
    .. [1] C. Garber et al., Med Sci Sports Exerc, vol. 43, no. 7, pp. 1334-1359, 2011. doi:10.1249/MSS.0b013e318213fefb

    Evidence: V (dose, and the repetitions for 15 and 20 s).

    Examples
    --------
    >>> stretch_repetitions_acsm(15), stretch_repetitions_acsm(20)
    (4, 3)
    """
    require_between(ACSM_HOLD_S[0], OLDER_HOLD_S[1], hold_s=hold_s)
    return ceil(ACSM_TOTAL_S / hold_s)


@dataclass(frozen=True, slots=True)
class StretchDose:
    """A published dose of static stretching: least and most of each, and the seconds of one exercise in all."""

    hold_s: tuple[int, int]
    repetitions: tuple[int, int]
    total_s: int
    days_a_week: int  # at least; daily is best


def stretch_dose_acsm(*, older: bool = False) -> StretchDose:
    """Give the dose of static stretching that the 2011 position stand advises. [s, count, days]

    Parameters
    ----------
    older : bool
        Older adults hold longer.

    References
    ----------
    .. [1] C. Garber et al., Med Sci Sports Exerc, vol. 43, no. 7, pp. 1334-1359, 2011. doi:10.1249/MSS.0b013e318213fefb

    Evidence: V.

    Examples
    --------
    >>> stretch_dose_acsm().hold_s, stretch_dose_acsm(older=True).hold_s
    ((10, 30), (30, 60))
    """
    return StretchDose(
        OLDER_HOLD_S if older else ACSM_HOLD_S, (MIN_REPETITIONS, MAX_REPETITIONS), ACSM_TOTAL_S, STRETCH_DAYS
    )


def stretch_dose_notes(hold_s: float, repetitions: int, days_a_week: int, *, older: bool = False) -> tuple[str, ...]:
    """Name what of a planned static stretch lies outside the dose of the 2011 position stand.

    Parameters
    ----------
    hold_s : float, > 0
        One hold of one side. [s]
    repetitions, days_a_week : int, >= 0
    older : bool

    Notes
    -----
    Holds under 15 s cannot make 60 s in four: one of the two notes stays.

    References
    ----------
    .. [1] C. Garber et al., Med Sci Sports Exerc, vol. 43, no. 7, pp. 1334-1359, 2011. doi:10.1249/MSS.0b013e318213fefb

    Evidence: V.

    Examples
    --------
    >>> stretch_dose_notes(30, 2, 3), stretch_dose_notes(20, 2, 1)
    ((), ('under 60 s in all', 'on fewer than 2 days a week'))
    """
    require_positive(hold_s=hold_s)
    require_not_negative(repetitions=repetitions, days_a_week=days_a_week)
    dose = stretch_dose_acsm(older=older)
    least, most = dose.hold_s
    fewest, often = dose.repetitions
    notes = {
        f"held for less than {least} s": hold_s < least,
        f"held for more than {most} s": hold_s > most,
        f"held fewer than {fewest} times": repetitions < fewest,
        f"held more than {often} times": repetitions > often,
        f"under {dose.total_s} s in all": hold_s * repetitions < dose.total_s,
        f"on fewer than {dose.days_a_week} days a week": days_a_week < dose.days_a_week,
    }
    return tuple(note for note, is_so in notes.items() if is_so)


def long_stretch_before_strength(total_s_per_muscle: float) -> bool:
    """Say whether so much static stretching right before strength work costs strength: from 60 s a muscle.

    Notes
    -----
    On average -1.1 % under 60 s and -4.6 % from 60 s on; the gain in range is gone within half an hour [1]_.

    References
    ----------
    .. [1] D. Behm et al., Appl Physiol Nutr Metab, vol. 41, no. 1, pp. 1-11, 2016. doi:10.1139/apnm-2015-0235

    Evidence: V.

    Examples
    --------
    >>> long_stretch_before_strength(45), long_stretch_before_strength(60)
    (False, True)
    """
    require_not_negative(total_s_per_muscle=total_s_per_muscle)
    return total_s_per_muscle >= LONG_STRETCH_S


def ramp_sets(work_load_kg: float) -> tuple[tuple[float, int], ...]:
    """Give the ramp to a first heavy set: 40, 60, 75, 90 % for 8, 5, 3, 1 repetitions (common practice). [kg, count]

    Evidence: T (common practice).

    Examples
    --------
    >>> ramp_sets(100)
    ((40.0, 8), (60.0, 5), (75.0, 3), (90.0, 1))
    """
    require_positive(work_load_kg=work_load_kg)
    return tuple((work_load_kg * percent / 100, count) for percent, count in ((40, 8), (60, 5), (75, 3), (90, 1)))


def strength_change_percent_behm(total_s_per_muscle: float) -> float:
    """Give the mean change in strength right after static stretching of a muscle. [%]

    Parameters
    ----------
    total_s_per_muscle : float, > 0
        All holds of the muscle together. [s]

    References
    ----------
    .. [1] D. Behm et al., Appl Physiol Nutr Metab, vol. 41, no. 1, pp. 1-11, 2016. doi:10.1139/apnm-2015-0235

    Evidence: V (means of many studies; the step at 60 s is how they were grouped).

    Examples
    --------
    >>> strength_change_percent_behm(30), strength_change_percent_behm(60)
    (-1.1, -4.6)
    """
    require_positive(total_s_per_muscle=total_s_per_muscle)
    return -4.6 if total_s_per_muscle >= LONG_STRETCH_S else -1.1
