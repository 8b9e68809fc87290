"""Where the figures of a planned week lie beside published ranges: described, never ordered."""

from dataclasses import dataclass
from enum import StrEnum

from methods.ranges import require_finite, require_not_negative, require_positive
from methods.steps import ACSM_MAX_STEP, ACSM_MIN_STEP, Area, Level, handbook_increment_kg
from methods.undefined import Undefined
from methods.volume import MINIMUM_WEEKLY_SETS_IVERSEN, STANDARD_WEEKLY_SETS_BAZ_VALLE


class Place(StrEnum):
    """Where a figure lies beside a range, its ends included."""

    BELOW = "below"
    WITHIN = "within"
    ABOVE = "above"


@dataclass(frozen=True, slots=True)
class PublishedRange:
    """A range somebody published, for what, and how sure we are of it. `most` is None where nobody named one."""

    least: float
    most: float | None
    about: str
    source: str
    evidence: str

    def place(self, figure: float) -> Place:
        """Say where a figure lies."""
        require_finite(figure=figure)
        if figure < self.least:
            return Place.BELOW
        return Place.ABOVE if self.most is not None and figure > self.most else Place.WITHIN


@dataclass(frozen=True, slots=True)
class Placed:
    """A figure's place, with the range that it was held against."""

    place: Place
    range: PublishedRange


_IVERSEN = "Iversen et al. 2021, Sports Med 51:2079-2095"
_SCHOENFELD = "Schoenfeld, Ogborn, Krieger 2017, J Sports Sci 35(11):1073-1082"
_BAZ_VALLE = "Baz-Valle et al. 2022, J Hum Kinet"
_ACSM_2026 = "ACSM position stand 2026, Med Sci Sports Exerc"
_PELLAND = "Pelland et al. 2025, Sports Med"
_LEAST_BAZ_VALLE, _MOST_BAZ_VALLE = STANDARD_WEEKLY_SETS_BAZ_VALLE

# By name, in the order of their least sets. Pelland's counts take indirect sets as half.
WEEKLY_SETS: dict[str, PublishedRange] = {
    "strength": PublishedRange(2, 4, "strength: practical, and where it flattens", _PELLAND, "V2"),
    "little_time": PublishedRange(MINIMUM_WEEKLY_SETS_IVERSEN, None, "when time is short", _IVERSEN, "V"),
    "size_efficient": PublishedRange(5, 10, "muscle size: most for the time", _PELLAND, "V2"),
    "size_class": PublishedRange(10, None, "muscle size: the class that grew most", _SCHOENFELD, "V"),
    "size_acsm": PublishedRange(10, None, "muscle size", _ACSM_2026, "V2"),
    "size_trained": PublishedRange(
        _LEAST_BAZ_VALLE, _MOST_BAZ_VALLE, "muscle size of young trained men", _BAZ_VALLE, "V"
    ),
}


def weekly_sets_place(weekly_sets: float, name: str) -> Placed:
    """Say where the weekly hard sets of a muscle lie beside one published range. [sets]

    Parameters
    ----------
    weekly_sets : float, >= 0
        Hard sets of the muscle in a week, as `methods.volume.weekly_sets_by_muscle` counts them. [sets]
    name : one of WEEKLY_SETS

    Notes
    -----
    The ranges answer different questions and contradict each other: below one of them is no fault.

    References
    ----------
    .. [1] V. Iversen et al., Sports Med, vol. 51, pp. 2079-2095, 2021.
    .. [2] B. Schoenfeld, D. Ogborn, J. Krieger, J Sports Sci, vol. 35, no. 11, pp. 1073-1082, 2017.
       doi:10.1080/02640414.2016.1210197
    .. [3] E. Baz-Valle et al., J Hum Kinet, 2022.
    .. [4] J. Pelland et al., Sports Med, 2025. doi:10.1007/s40279-025-02344-w

    Evidence: V ([1] to [3]), V2 (the sets named for [4] and for the stand of 2026).

    Examples
    --------
    >>> weekly_sets_place(8, "size_efficient").place, weekly_sets_place(8, "size_trained").place
    (<Place.WITHIN: 'within'>, <Place.BELOW: 'below'>)
    """
    if name not in WEEKLY_SETS:
        raise ValueError(f"name must be {', '.join(WEEKLY_SETS)}, got {name!r}")
    require_not_negative(weekly_sets=weekly_sets)
    return Placed(WEEKLY_SETS[name].place(weekly_sets), WEEKLY_SETS[name])


STRENGTH_DAYS_WHO = PublishedRange(
    2, None, "days a week that strengthen all major muscle groups", "Bull et al. 2020 (WHO), Br J Sports Med 54", "M"
)


def strength_days_place(days: int) -> Placed:
    """Say whether so many days of strength work a week meet the advice for all adults: two or more. [days]

    References
    ----------
    .. [1] F. Bull et al., Br J Sports Med, vol. 54, pp. 1451-1462, 2020. doi:10.1136/bjsports-2020-102955

    Evidence: M (the guideline), V2 (the stand of 2026 says the same).

    Examples
    --------
    >>> strength_days_place(1).place, strength_days_place(3).place
    (<Place.BELOW: 'below'>, <Place.WITHIN: 'within'>)
    """
    require_not_negative(days=days)
    return Placed(STRENGTH_DAYS_WHO.place(days), STRENGTH_DAYS_WHO)


_ACSM_2009 = "Ratamess et al. 2009 (ACSM), Med Sci Sports Exerc 41(3):687-708"
LOAD_STEP_PERCENT = PublishedRange(
    100 * ACSM_MIN_STEP, 100 * ACSM_MAX_STEP, "a rise of load in per cent", _ACSM_2009, "V"
)
REPETITIONS_STEP = PublishedRange(1, 2, "repetitions over the target before the load rises", _ACSM_2009, "V")
SETS_STEP = PublishedRange(1, 1, "one set at a time", "common practice", "T")


def load_step_place(before_kg: float, after_kg: float) -> Placed:
    """Say where a planned change of load lies beside the 2 to 10 % of the 2009 position stand. [%]

    Parameters
    ----------
    before_kg, after_kg : float, > 0 and >= 0
        Load of the whole system: for a weighted pull-up body and plate together. [kg]

    Notes
    -----
    The stand ties the rise to what was done (one or two repetitions over target), not to a week: inside it, a rise
    written beforehand may still come too early. No rise, or less load, lies below.

    References
    ----------
    .. [1] N. Ratamess et al., Med Sci Sports Exerc, vol. 41, no. 3, pp. 687-708, 2009.
       doi:10.1249/MSS.0b013e3181915670

    Evidence: V (2 to 10 %), A.

    Examples
    --------
    >>> load_step_place(60, 62.5).place, load_step_place(4, 5).place
    (<Place.WITHIN: 'within'>, <Place.ABOVE: 'above'>)
    """
    require_positive(before_kg=before_kg)
    require_not_negative(after_kg=after_kg)
    # Rounded, so that 22 kg after 20 kg is 10 % and not a hair above.
    return Placed(LOAD_STEP_PERCENT.place(round(100 * (after_kg - before_kg) / before_kg, 9)), LOAD_STEP_PERCENT)


def handbook_step_place(step_kg: float, area: Area, level: Level) -> Placed:
    """Say where a planned rise of load lies beside the handbook's increments for a body area and athlete. [kg]

    Parameters
    ----------
    step_kg : float
        What is added, negative for less. [kg]
    area, level : see `methods.steps.handbook_increment_kg`

    Notes
    -----
    For larger or more trained people the handbook prints "or more": nothing lies above.

    Evidence: M (the table was not found).

    Examples
    --------
    >>> handbook_step_place(5, "upper", "less").place, handbook_step_place(2.5, "lower", "less").place
    (<Place.ABOVE: 'above'>, <Place.WITHIN: 'within'>)
    """
    least, most = handbook_increment_kg(area, level)
    increments = PublishedRange(
        least, None if level == "more" else most, f"{area} body, {level} trained", "Haff & Triplett 2016, handbook", "M"
    )
    return Placed(increments.place(step_kg), increments)


_STEPS = {"repetitions": REPETITIONS_STEP, "sets": SETS_STEP}


def count_step_place(quantity: str, step: float) -> Placed | Undefined:
    """Say where a planned step of repetitions, sets or seconds lies: 1 to 2 repetitions, 1 set. [count]

    Parameters
    ----------
    quantity : "repetitions", "sets" or "seconds"
    step : float
        What is added from one week to the next, negative for less. [count]

    Returns
    -------
    Placed, or Undefined for seconds: nobody is known to have published by how much a hold should grow.

    References
    ----------
    .. [1] N. Ratamess et al., Med Sci Sports Exerc, vol. 41, no. 3, pp. 687-708, 2009.
       doi:10.1249/MSS.0b013e3181915670

    Evidence: V (1 to 2 repetitions over target, then load), T (as a weekly step; one set at a time).

    Examples
    --------
    >>> count_step_place("repetitions", 3).place, count_step_place("sets", 1).place
    (<Place.ABOVE: 'above'>, <Place.WITHIN: 'within'>)
    """
    require_finite(step=step)
    if quantity == "seconds":
        return Undefined("no published step for seconds")
    if quantity not in _STEPS:
        raise ValueError(f"quantity must be repetitions, sets or seconds, got {quantity!r}")
    return Placed(_STEPS[quantity].place(step), _STEPS[quantity])
