"""One-rep maximum, repetitions in reserve, and the loads that follow from them. Always on the system load."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from math import exp
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from methods.bodyweight import system_load_kg
from methods.ranges import require_between, require_positive
from methods.undefined import Undefined

MAX_REPETITIONS = 15.0


class Grade(StrEnum):
    """How far an estimate from so many repetitions can be trusted (common practice, from published errors)."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


# Half-widths of the range to show beside an estimate. [fraction]
GRADE_ERROR = {Grade.GOOD: 0.05, Grade.FAIR: 0.08, Grade.POOR: 0.12}


def _check_repetitions(repetitions: float) -> None:
    if not 1 <= repetitions <= MAX_REPETITIONS:
        raise ValueError(f"repetitions must be 1 to 15 (no formula is worth using above), got {repetitions}")


def _check(load_kg: float, repetitions: float) -> None:
    require_positive(load_kg=load_kg)
    _check_repetitions(repetitions)


def estimate_grade(repetitions: float) -> Grade:
    """Grade an estimate by the repetitions it rests on: to 5 good, to 10 fair, to 15 poor.

    Raises
    ------
    ValueError
        Above 15 repetitions, where nothing is estimated.

    Notes
    -----
    Five repetitions predict best, and validity falls as repetitions rise [1]_.

    References
    ----------
    .. [1] J. Reynolds, T. Gordon, R. Robergs, J Strength Cond Res, vol. 20, no. 3, pp. 584-592, 2006.

    Evidence: V (that accuracy falls with repetitions), T (the bounds of the grades).

    Examples
    --------
    >>> [estimate_grade(count).value for count in (5, 8, 12)]
    ['good', 'fair', 'poor']
    """
    _check_repetitions(repetitions)
    if repetitions <= 5:
        return Grade.GOOD
    return Grade.FAIR if repetitions <= 10 else Grade.POOR


# The share of the one-rep maximum that can be lifted `r` times, for each published equation.
def _epley(r: float) -> float:
    return 1 / (1 + r / 30)


def _brzycki(r: float) -> float:
    return (37 - r) / 36


def _lander(r: float) -> float:
    return (101.3 - 2.67123 * r) / 100


def _lombardi(r: float) -> float:
    return float(r**-0.10)


def _mayhew(r: float) -> float:
    return (52.2 + 41.9 * exp(-0.055 * r)) / 100


def _oconner(r: float) -> float:
    return 1 / (1 + 0.025 * r)


def _wathan(r: float) -> float:
    return (48.8 + 53.8 * exp(-0.075 * r)) / 100


Formula = Literal["epley", "brzycki", "lander", "lombardi", "mayhew", "oconner", "wathan"]
_SHARES: dict[str, Callable[[float], float]] = {
    "epley": _epley,
    "brzycki": _brzycki,
    "lander": _lander,
    "lombardi": _lombardi,
    "mayhew": _mayhew,
    "oconner": _oconner,
    "wathan": _wathan,
}
FORMULAS: tuple[str, ...] = tuple(_SHARES)


def _share(formula: str, repetitions: float) -> float:
    if formula not in _SHARES:
        raise ValueError(f"formula must be one of {', '.join(FORMULAS)}, got {formula!r}")
    # One repetition to failure is the maximum itself; five of the seven equations would say otherwise.
    return 1.0 if repetitions == 1 else _SHARES[formula](repetitions)


def _maximum(formula: str, load_kg: float, repetitions: float) -> float:
    _check(load_kg, repetitions)
    return load_kg / _share(formula, repetitions)


def _load(formula: str, one_repetition_maximum_kg: float, repetitions: float) -> float:
    _check(one_repetition_maximum_kg, repetitions)
    return one_repetition_maximum_kg * _share(formula, repetitions)


def one_repetition_maximum_epley(load_kg: float, repetitions: float) -> float:
    """Estimate the heaviest load that can be lifted once, after Epley. [kg]

    Parameters
    ----------
    load_kg : float, > 0
        System load lifted to the last complete repetition. [kg]
    repetitions : float, 1 to 15
        Repetitions to failure, done or done plus in reserve. [count]

    Raises
    ------
    ValueError
        If the load is not positive, or the repetitions lie outside 1 to 15.

    Notes
    -----
    .. math:: 1RM = load (1 + r / 30)

    One repetition is itself the maximum; the printed equation would add 3.3 %.

    References
    ----------
    .. [1] B. Epley, "Poundage chart," in Boyd Epley Workout, Lincoln, NE, 1985 (coefficients from secondary pages).

    Evidence: V2 (coefficients on several public pages; the original was not seen).

    Examples
    --------
    >>> round(one_repetition_maximum_epley(100, 5), 2)
    116.67
    """
    return _maximum("epley", load_kg, repetitions)


def one_repetition_maximum_brzycki(load_kg: float, repetitions: float) -> float:
    """Estimate the heaviest load that can be lifted once, after Brzycki. [kg]

    Notes
    -----
    .. math:: 1RM = load \\cdot 36 / (37 - r)

    Printed as 1.0278 - 0.0278 r, the same line rounded. Ranges as in `one_repetition_maximum_epley`.

    References
    ----------
    .. [1] M. Brzycki, "Strength testing: predicting a one-rep max from reps-to-fatigue," JOPERD, vol. 64, no. 1,
       pp. 88-90, 1993. doi:10.1080/07303084.1993.10606684

    Evidence: V2 (coefficients on several public pages; the original was not seen).

    Examples
    --------
    >>> one_repetition_maximum_brzycki(100, 5)
    112.5
    """
    return _maximum("brzycki", load_kg, repetitions)


def one_repetition_maximum_lander(load_kg: float, repetitions: float) -> float:
    """Estimate the heaviest load that can be lifted once, after Lander. [kg]

    Notes
    -----
    .. math:: 1RM = 100 load / (101.3 - 2.67123 r)

    References
    ----------
    .. [1] J. Lander, "Maximums based on reps," NSCA Journal, vol. 6, no. 6, pp. 60-61, 1985.

    Evidence: V2 (coefficients on several public pages; the original was not seen).

    Examples
    --------
    >>> round(one_repetition_maximum_lander(100, 8), 2)
    125.11
    """
    return _maximum("lander", load_kg, repetitions)


def one_repetition_maximum_lombardi(load_kg: float, repetitions: float) -> float:
    """Estimate the heaviest load that can be lifted once, after Lombardi. [kg]

    Notes
    -----
    .. math:: 1RM = load \\cdot r^{0.10}

    References
    ----------
    .. [1] V. P. Lombardi, Beginning Weight Training, Wm. C. Brown, 1989.

    Evidence: V2 (coefficients on several public pages; the original was not seen).

    Examples
    --------
    >>> round(one_repetition_maximum_lombardi(100, 10), 2)
    125.89
    """
    return _maximum("lombardi", load_kg, repetitions)


def one_repetition_maximum_mayhew(load_kg: float, repetitions: float) -> float:
    """Estimate the heaviest load that can be lifted once, after Mayhew et al. [kg]

    Notes
    -----
    .. math:: 1RM = 100 load / (52.2 + 41.9 e^{-0.055 r})

    References
    ----------
    .. [1] J. Mayhew et al., J Appl Sport Sci Res, vol. 6, no. 4, pp. 200-206, 1992.

    Evidence: V2 (coefficients on several public pages; the original was not seen).

    Examples
    --------
    >>> round(one_repetition_maximum_mayhew(100, 10), 2)
    130.93
    """
    return _maximum("mayhew", load_kg, repetitions)


def one_repetition_maximum_oconner(load_kg: float, repetitions: float) -> float:
    """Estimate the heaviest load that can be lifted once, after O'Conner et al. [kg]

    Notes
    -----
    .. math:: 1RM = load (1 + 0.025 r)

    References
    ----------
    .. [1] B. O'Conner, J. Simmons, P. O'Shea, Weight Training Today, West, 1989.

    Evidence: V2 (coefficients on several public pages; the original was not seen).

    Examples
    --------
    >>> round(one_repetition_maximum_oconner(100, 12), 2)
    130.0
    """
    return _maximum("oconner", load_kg, repetitions)


def one_repetition_maximum_wathan(load_kg: float, repetitions: float) -> float:
    """Estimate the heaviest load that can be lifted once, after Wathan. [kg]

    Notes
    -----
    .. math:: 1RM = 100 load / (48.8 + 53.8 e^{-0.075 r})

    References
    ----------
    .. [1] D. Wathen, "Load assignment," in Essentials of Strength Training and Conditioning, Human Kinetics, 1994.

    Evidence: V2 (coefficients on several public pages; the original was not seen).

    Examples
    --------
    >>> round(one_repetition_maximum_wathan(100, 5), 2)
    116.58
    """
    return _maximum("wathan", load_kg, repetitions)


def load_for_repetitions_epley(one_repetition_maximum_kg: float, repetitions: float) -> float:
    """Invert `one_repetition_maximum_epley`. [kg]

    Evidence: V2, as the formula it inverts.

    Examples
    --------
    >>> round(load_for_repetitions_epley(116.6667, 5), 2)
    100.0
    """
    return _load("epley", one_repetition_maximum_kg, repetitions)


def load_for_repetitions_brzycki(one_repetition_maximum_kg: float, repetitions: float) -> float:
    """Invert `one_repetition_maximum_brzycki`. [kg]

    Evidence: V2, as the formula it inverts.

    Examples
    --------
    >>> round(load_for_repetitions_brzycki(112.5, 5), 1)
    100.0
    """
    return _load("brzycki", one_repetition_maximum_kg, repetitions)


def load_for_repetitions_lander(one_repetition_maximum_kg: float, repetitions: float) -> float:
    """Invert `one_repetition_maximum_lander`. [kg]

    Evidence: V2, as the formula it inverts.

    Examples
    --------
    >>> round(load_for_repetitions_lander(125.11, 8), 1)
    100.0
    """
    return _load("lander", one_repetition_maximum_kg, repetitions)


def load_for_repetitions_lombardi(one_repetition_maximum_kg: float, repetitions: float) -> float:
    """Invert `one_repetition_maximum_lombardi`. [kg]

    Evidence: V2, as the formula it inverts.

    Examples
    --------
    >>> round(load_for_repetitions_lombardi(125.89, 10), 1)
    100.0
    """
    return _load("lombardi", one_repetition_maximum_kg, repetitions)


def load_for_repetitions_mayhew(one_repetition_maximum_kg: float, repetitions: float) -> float:
    """Invert `one_repetition_maximum_mayhew`. [kg]

    Evidence: V2, as the formula it inverts.

    Examples
    --------
    >>> round(load_for_repetitions_mayhew(130.93, 10), 1)
    100.0
    """
    return _load("mayhew", one_repetition_maximum_kg, repetitions)


def load_for_repetitions_oconner(one_repetition_maximum_kg: float, repetitions: float) -> float:
    """Invert `one_repetition_maximum_oconner`. [kg]

    Evidence: V2, as the formula it inverts.

    Examples
    --------
    >>> round(load_for_repetitions_oconner(130, 12), 1)
    100.0
    """
    return _load("oconner", one_repetition_maximum_kg, repetitions)


def load_for_repetitions_wathan(one_repetition_maximum_kg: float, repetitions: float) -> float:
    """Invert `one_repetition_maximum_wathan`. [kg]

    Evidence: V2, as the formula it inverts.

    Examples
    --------
    >>> round(load_for_repetitions_wathan(116.58, 5), 1)
    100.0
    """
    return _load("wathan", one_repetition_maximum_kg, repetitions)


def repetitions_at_load_epley(one_repetition_maximum_kg: float, load_kg: float) -> float:
    """Predict the repetitions to failure at a load, after Epley; at least one. [count]

    Raises
    ------
    ValueError
        If the load is above the maximum, or so light that the answer lies above 15.

    Evidence: V2 (Epley), A.

    Examples
    --------
    >>> round(repetitions_at_load_epley(112, 85), 2)
    9.53
    """
    if not 0 < load_kg <= one_repetition_maximum_kg:
        raise ValueError("the load must lie between 0 and the maximum")
    repetitions = max(1.0, 30 * (one_repetition_maximum_kg / load_kg - 1))
    _check_repetitions(repetitions)
    return repetitions


def one_repetition_maximum_reynolds_bench(load_5rm_kg: float) -> float:
    """Estimate the bench press maximum from a 5RM. [kg]

    References
    ----------
    .. [1] J. Reynolds, T. Gordon, R. Robergs, J Strength Cond Res, vol. 20, no. 3, pp. 584-592, 2006.

    Evidence: V.

    Examples
    --------
    >>> round(one_repetition_maximum_reynolds_bench(80), 2)
    91.16
    """
    require_positive(load_5rm_kg=load_5rm_kg)
    return 1.1307 * load_5rm_kg + 0.6999


_HANDBOOK_PERCENT: dict[int, float] = {
    1: 100, 2: 95, 3: 93, 4: 90, 5: 87, 6: 85, 7: 83, 8: 80, 9: 77, 10: 75, 11: 70, 12: 67, 15: 65,
}  # fmt: skip
Edition = Literal["textbook", "chart"]
_TWELVE = {"textbook": 67.0, "chart": 70.0}


def handbook_percent(repetitions: float, edition: Edition = "textbook") -> float:
    """Read the handbook's loading table: repetitions to failure to % of the maximum. [%]

    Parameters
    ----------
    repetitions : float, 1 to 15
        Halves and the unprinted 13 and 14 are filled on straight lines.
    edition : "textbook" or "chart"
        The textbook prints 67 % for 12 repetitions, the association's chart 70 %.

    Raises
    ------
    ValueError
        Outside 1 to 15, or for another edition.

    References
    ----------
    .. [1] G. Haff and N. Triplett (eds.), Essentials of Strength Training and Conditioning, 4th ed., Human Kinetics,
       2016. Rows 1 to 10 read on the chart; 11, 12 (67) and 15 from memory of the textbook.

    Evidence: V (1 to 10, and 12 on the chart), M (11, 12 and 15 of the textbook).

    Examples
    --------
    >>> handbook_percent(6), handbook_percent(12), handbook_percent(12, "chart")
    (85.0, 67.0, 70.0)
    """
    _check_repetitions(repetitions)
    if edition not in _TWELVE:
        raise ValueError(f"edition must be 'textbook' or 'chart', got {edition!r}")
    table = _HANDBOOK_PERCENT | {12: _TWELVE[edition]}
    if edition == "chart":
        del table[11]  # known from the textbook only, where 70 belongs to 11
    below = max(count for count in table if count <= repetitions)
    above = min(count for count in table if count >= repetitions)
    if below == above:
        return float(table[below])
    return table[below] + (table[above] - table[below]) * (repetitions - below) / (above - below)


def handbook_load_kg(one_repetition_maximum_kg: float, repetitions: float, edition: Edition = "textbook") -> float:
    """Give the load for so many repetitions by the handbook's table. [kg]

    Evidence: V and M, as `handbook_percent`.

    Examples
    --------
    >>> round(handbook_load_kg(140, 5), 1)
    121.8
    """
    _check(one_repetition_maximum_kg, repetitions)
    return one_repetition_maximum_kg * handbook_percent(repetitions, edition) / 100


_NUZZO_REPETITIONS = {60: 21.0, 65: 18.0, 70: 15.0, 75: 12.0, 80: 10.0, 85: 8.0, 90: 5.0, 95: 2.5}


def repetitions_at_percent_nuzzo(percent_1rm: float) -> float:
    """Give the mean repetitions to failure at a share of the maximum by the meta-regression of 2024. [count]

    Parameters
    ----------
    percent_1rm : float, 60 to 95
        Straight lines between the means of the main model at every 5 %. [% of 1RM]

    Notes
    -----
    Higher than the handbook's chart at moderate loads. Sex, age and training hardly matter; bench press and leg press
    differ; and people differ most: 6 to 26 repetitions at 70 % in trained squatters.

    References
    ----------
    .. [1] J. Nuzzo et al., Sports Med, vol. 54, no. 2, pp. 303-321, 2024. doi:10.1007/s40279-023-01937-7

    Evidence: M (the means, from memory), V (that they lie above the handbook, and the spread).

    Examples
    --------
    >>> repetitions_at_percent_nuzzo(80)
    10.0
    """
    require_between(60, 95, percent_1rm=percent_1rm)
    below = max(percent for percent in _NUZZO_REPETITIONS if percent <= percent_1rm)
    above = min(percent for percent in _NUZZO_REPETITIONS if percent >= percent_1rm)
    if below == above:
        return _NUZZO_REPETITIONS[below]
    low, high = _NUZZO_REPETITIONS[below], _NUZZO_REPETITIONS[above]
    return low + (high - low) * (percent_1rm - below) / (above - below)


def rir_interval_from_rpe(rpe: float) -> tuple[float, float] | Undefined:
    """Give the repetitions in reserve that a rating stands for, as the published interval. [count]

    Parameters
    ----------
    rpe : float, 1 to 10, whole or half
        Rating on the scale anchored by repetitions in reserve. 5.5 and 6.5 are not on it.

    Raises
    ------
    ValueError
        If the rating is not on the scale.

    Notes
    -----
    9.5 is worded "no repetition, but a slightly heavier load was possible": 0 in reserve.

    References
    ----------
    .. [1] M. Zourdos et al., J Strength Cond Res, vol. 30, no. 1, pp. 267-275, 2016 (table from a secondary page).

    Evidence: V2.

    Examples
    --------
    >>> rir_interval_from_rpe(8.5), rir_interval_from_rpe(6)
    ((1.0, 2.0), (4.0, 6.0))
    """
    if not 1 <= rpe <= 10 or rpe * 2 != int(rpe * 2) or rpe in (5.5, 6.5):
        raise ValueError(f"rpe must be on the scale 1 to 10 (whole or half, without 5.5 and 6.5), got {rpe}")
    if rpe < 5:
        return Undefined("light effort says nothing about repetitions in reserve")
    if rpe <= 6:
        return (4.0, 6.0)
    if rpe == 9.5:
        return (0.0, 0.0)
    left = 10 - rpe
    return (left - 0.5, left + 0.5) if rpe * 2 % 2 else (left, left)


def rir_from_rpe(rpe: float) -> float | Undefined:
    """Give one number of repetitions in reserve for arithmetic. [count]

    9.5 counts as one half, 6 as 4 and 5 as 5 (inside the published 4 to 6).

    Evidence: V2; the single numbers inside an interval are T.

    Examples
    --------
    >>> rir_from_rpe(8), rir_from_rpe(9.5)
    (2.0, 0.5)
    """
    interval = rir_interval_from_rpe(rpe)
    return interval if isinstance(interval, Undefined) else float(10 - rpe)


def rpe_from_rir(rir: float) -> float:
    """Give the rating for 0 to 4 repetitions in reserve. [RPE]

    Evidence: V2.

    Examples
    --------
    >>> rpe_from_rir(2)
    8.0
    """
    if not 0 <= rir <= 4 or rir * 2 != int(rir * 2):
        raise ValueError(f"rir must be 0 to 4 in halves, got {rir}")
    return float(10 - rir)


def percent_of_maximum(repetitions: float, rir: float = 0.0, method: str = "handbook") -> float:
    """Apply the shift rule: repetitions done plus in reserve are repetitions to failure. [% of 1RM]

    Parameters
    ----------
    repetitions : float, >= 1
    rir : float, >= 0
        Together at most 15.
    method : "handbook", "handbook-chart", or the name of a formula

    Raises
    ------
    ValueError
        If the sum lies above 15 or the method is unknown.

    Evidence: A on V or V2 (the general logic of every such chart; none is reproduced).

    Examples
    --------
    >>> percent_of_maximum(5, 2), round(percent_of_maximum(5, 2, "epley"), 2)
    (83.0, 81.08)
    """
    if not (repetitions >= 1 and rir >= 0):
        raise ValueError(f"at least one repetition and no negative rir, got {repetitions} and {rir}")
    to_failure = repetitions + rir
    if method in ("handbook", "handbook-chart"):
        return handbook_percent(to_failure, "chart" if method == "handbook-chart" else "textbook")
    _check_repetitions(to_failure)
    return 100 * _share(method, to_failure)


def one_repetition_maximum_from_set(
    load_kg: float, repetitions: float, rir: float = 0.0, method: str = "epley"
) -> float:
    """Estimate the maximum from a set that stopped short of failure. [kg]

    Evidence: A on V or V2.

    Examples
    --------
    >>> round(one_repetition_maximum_from_set(100, 5, 2, "handbook"), 2)
    120.48
    """
    require_positive(load_kg=load_kg)
    return 100 * load_kg / percent_of_maximum(repetitions, rir, method)


def next_set_load_kg(
    load_kg: float,
    repetitions: float,
    rir: float,
    *,
    to_repetitions: float,
    to_rir: float,
    method: str = "handbook",
) -> float:
    """Give the load for another target from a set just done. [kg]

    Evidence: A on V or V2.

    Examples
    --------
    >>> round(next_set_load_kg(100, 5, 2, to_repetitions=3, to_rir=1), 2)
    108.43
    """
    maximum_kg = one_repetition_maximum_from_set(load_kg, repetitions, rir, method)
    return maximum_kg * percent_of_maximum(to_repetitions, to_rir, method) / 100


def estimated_maximum_from_set(
    system_load_kg: float | Undefined, repetitions: float, rir: float | None, formula: str = "epley"
) -> float | Undefined:
    """Estimate the maximum from one logged set, or say why not. [kg]

    Parameters
    ----------
    system_load_kg : float or Undefined
        An undefined load passes its reason on. [kg]
    repetitions : float, >= 0
    rir : float >= 0, or None where nobody said
        Without it nothing is estimated: the set may have stopped anywhere.
    formula : one of `FORMULAS`

    Evidence: V2 (the formula), V (that reserves are said about one too low).

    Examples
    --------
    >>> round(estimated_maximum_from_set(100.0, 5, 2), 2), estimated_maximum_from_set(100.0, 5, None).reason
    (123.33, 'no repetitions in reserve given')
    """
    if isinstance(system_load_kg, Undefined):
        return system_load_kg
    if rir is None:
        return Undefined("no repetitions in reserve given")
    if repetitions < 1 or system_load_kg <= 0:
        return Undefined("nothing was lifted")
    if repetitions + rir > MAX_REPETITIONS:
        return Undefined("more than 15 repetitions to failure: too many for an estimate")
    return one_repetition_maximum_from_set(system_load_kg, repetitions, rir, formula)


@dataclass(frozen=True, slots=True)
class SystemMaximum:
    """An estimated one-rep maximum of body and load together, with its doubt. [kg]"""

    system_kg: float
    added_kg: float
    per_body_mass: float | Undefined
    low_kg: float
    high_kg: float
    grade: Grade


def estimated_system_maximum(
    body_mass_kg: float | None,
    share: float | None,
    repetitions: float,
    rir: float | None,
    *,
    external_kg: float = 0.0,
    assistance_kg: float = 0.0,
    formula: str = "epley",
) -> SystemMaximum | Undefined:
    """Estimate the one-rep maximum of the whole system from one logged set. [kg]

    Parameters
    ----------
    body_mass_kg, share, external_kg, assistance_kg
        As in `methods.bodyweight.system_load_kg`.
    repetitions : float, >= 1
    rir : float >= 0, or None where nobody said
        Without it nothing is estimated: the set may have stopped anywhere.
    formula : one of `FORMULAS`

    Returns
    -------
    SystemMaximum, or Undefined with the reason.

    Notes
    -----
    People say about one repetition too few [1]_, and the more the further from failure, so an estimate from a set
    with many in reserve is low. The grade counts repetitions to failure, done and in reserve.

    References
    ----------
    .. [1] I. Halperin et al., Sports Med, vol. 52, no. 2, pp. 377-390, 2022. doi:10.1007/s40279-021-01559-x

    Evidence: V (system mass, in pull-up studies), V2 (the formula), T (the width of the range).

    Examples
    --------
    >>> best = estimated_system_maximum(80, 1.0, 5, 0, external_kg=20, formula="brzycki")
    >>> best.system_kg, best.added_kg
    (112.5, 32.5)
    """
    load_kg = system_load_kg(body_mass_kg, share, external_kg, assistance_kg)
    system_kg = estimated_maximum_from_set(load_kg, repetitions, rir, formula)
    if isinstance(system_kg, Undefined):
        return system_kg
    return _with_doubt(system_kg, estimate_grade(repetitions + (rir or 0.0)), body_mass_kg, share or 0.0)


def _with_doubt(system_kg: float, grade: Grade, body_mass_kg: float | None, share: float) -> SystemMaximum:
    error = GRADE_ERROR[grade]
    no_mass = Undefined("no body mass on or before this day")
    return SystemMaximum(
        system_kg=system_kg,
        added_kg=system_kg - share * (body_mass_kg or 0.0),
        per_body_mass=system_kg / body_mass_kg if body_mass_kg else no_mass,
        low_kg=system_kg * (1 - error),
        high_kg=system_kg * (1 + error),
        grade=grade,
    )


def one_repetition_maximum_array(
    load_kg: ArrayLike, repetitions: ArrayLike, rir: ArrayLike, formula: str = "epley"
) -> NDArray[np.float64]:
    """Estimate many maxima at once, nan where the scalar form is undefined or refuses. [kg]

    Evidence: V2, as the scalar forms.

    Examples
    --------
    >>> one_repetition_maximum_array([100, 100], [5, 20], [0, 0], "brzycki")
    array([112.5,   nan])
    """
    load, done, left = (np.asarray(values, dtype=float) for values in (load_kg, repetitions, rir))
    load, done, left = np.broadcast_arrays(load, done, left)
    to_failure = done + left
    is_fit = (load > 0) & (done >= 1) & (left >= 0) & (to_failure <= MAX_REPETITIONS)
    result = np.full(load.shape, np.nan)
    shares = np.array([_share(formula, count) for count in to_failure[is_fit]])
    result[is_fit] = load[is_fit] / shares
    return result
