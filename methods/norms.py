"""Where a baseline test stands among others, always with the source and its doubt.

Two publishers grade push-ups so differently that the same count is "excellent" in one and "above average" in the
other: never mix them, and prefer the client's own history.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from methods.ranges import require_not_negative, require_positive
from methods.segments import Sex


@dataclass(frozen=True, slots=True)
class Norm:
    """A class or percentile, with where it comes from and what speaks against it."""

    value: str
    source: str
    doubt: str


Rows = Mapping[int, Sequence[int]]  # youngest age of a band -> least repetitions of each class, best first

_CSEP_CLASSES = ("excellent", "very good", "good", "fair", "needs improvement")
_CSEP: dict[str, Rows] = {
    "male": {
        15: (39, 29, 23, 18), 20: (36, 29, 22, 17), 30: (30, 22, 17, 12), 40: (25, 17, 13, 10), 50: (21, 13, 10, 7),
        60: (18, 11, 8, 5),
    },
    "female": {
        15: (33, 25, 18, 12), 20: (30, 21, 15, 10), 30: (27, 20, 13, 8), 40: (24, 15, 11, 5), 50: (21, 11, 7, 2),
        60: (17, 12, 5, 2),
    },
}  # fmt: skip
CSEP_SOURCE = "CSEP and ACSM guideline table (college and physiotherapy pages)"
CSEP_DOUBT = (
    "Men on toes, women on knees, to exhaustion. Men 15 to 29 read; other rows from a secondary page, where men 40 to "
    "49 begin 'excellent' at 22 instead of 25 and three lowest boundaries are one repetition lower."
)

_YMCA_CLASSES = ("excellent", "good", "above average", "average", "below average", "poor", "very poor")
_YMCA: dict[str, Rows] = {
    "male": {
        17: (57, 47, 35, 19, 11, 4), 20: (48, 39, 30, 17, 10, 4), 30: (42, 34, 25, 13, 8, 2),
        40: (35, 28, 21, 11, 6, 1), 50: (32, 25, 18, 9, 5, 1), 60: (31, 24, 17, 6, 3, 1),
    },
    "female": {
        17: (36, 27, 21, 11, 6, 2), 20: (37, 30, 23, 12, 7, 2), 30: (38, 30, 22, 10, 5, 1), 40: (32, 25, 18, 8, 4, 1),
        50: (26, 21, 15, 7, 3, 1), 60: (24, 19, 13, 5, 2, 1),
    },
}  # fmt: skip
YMCA_SOURCE = "Golding et al. 1986, The Y's Way to Physical Fitness (push-up page)"
YMCA_DOUBT = "Men on toes, women on knees. Some rows overlap in the reproduction; the 'good' row was trusted."

Publisher = Literal["csep", "ymca"]
_AGES = {"csep": (15, 69), "ymca": (17, 65)}


def push_up_class(repetitions: int, age: int, sex: Sex, publisher: Publisher) -> Norm:
    """Grade push-ups by one publisher's table.

    Parameters
    ----------
    repetitions : int, >= 0
    age : int
        15 to 69 (csep) or 17 to 65 (ymca). [years]
    sex : "male" or "female", as the tables divide
    publisher : "csep" or "ymca"

    Raises
    ------
    ValueError
        Outside the ages of the table.

    Evidence: V (YMCA; CSEP men 15 to 29), V2 or M (other CSEP rows).

    Examples
    --------
    >>> push_up_class(36, 25, "male", "csep").value, push_up_class(36, 25, "male", "ymca").value
    ('excellent', 'above average')
    """
    if publisher not in _AGES:
        raise ValueError(f"publisher must be 'csep' or 'ymca', got {publisher!r}")
    youngest, oldest = _AGES[publisher]
    if not youngest <= age <= oldest:
        raise ValueError(f"the table covers ages {youngest} to {oldest}, got {age}")
    if sex not in ("male", "female"):
        raise ValueError(f"the tables divide by male and female, got {sex!r}")
    require_not_negative(repetitions=repetitions)
    if publisher == "csep":
        return Norm(_grade(_CSEP[sex], _CSEP_CLASSES, age, repetitions), CSEP_SOURCE, CSEP_DOUBT)
    return Norm(_grade(_YMCA[sex], _YMCA_CLASSES, age, repetitions), YMCA_SOURCE, YMCA_DOUBT)


def _grade(rows: Rows, classes: Sequence[str], age: int, repetitions: int) -> str:
    least = rows[max(band for band in rows if band <= age)]
    return next((name for name, count in zip(classes, least, strict=False) if repetitions >= count), classes[-1])


# US Marine Corps table of 2017, men: youngest age of a band -> least and most counted.
_PULL_UPS: dict[int, tuple[int, int]] = {
    17: (4, 20), 21: (5, 23), 26: (5, 23), 31: (5, 23), 36: (5, 21), 41: (5, 20), 46: (4, 19), 51: (3, 18),
}  # fmt: skip


_PULL_UPS_WOMEN: dict[int, tuple[int, int]] = {
    17: (1, 7), 21: (3, 11), 26: (4, 12), 31: (3, 11), 36: (3, 10), 41: (2, 8), 46: (2, 6), 51: (2, 4),
}  # fmt: skip
_SERVICE = "US Marine Corps fitness test 2017 (secondary page)"
_SERVICE_DOUBT = {
    "male": "A service standard for men, no norm of a population.",
    "female": "A service standard for women; only the row from 17 to 20 was read, the others are from memory.",
}


def pull_up_service_standard(repetitions: int, age: int, sex: Sex = "male") -> Norm:
    """Place dead-hang pull-ups in a military service's table of 2017: an occupational standard, no norm.

    Parameters
    ----------
    repetitions : int, >= 0
    age : int, >= 17 [years]
    sex : "male" or "female", as the table divides

    References
    ----------
    .. [1] US Marine Corps Physical Fitness Test, 2017 (secondary page).

    Evidence: V2 (men, women of 17 to 20), M (older women).

    Examples
    --------
    >>> pull_up_service_standard(23, 33).value
    'maximum'
    """
    if not age >= 17 or not repetitions >= 0:
        raise ValueError("the table begins at 17 years and repetitions must not be negative")
    if sex not in _SERVICE_DOUBT:
        raise ValueError(f"the tables divide by male and female, got {sex!r}")
    rows = _PULL_UPS if sex == "male" else _PULL_UPS_WOMEN
    least, most = rows[max(band for band in rows if band <= age)]
    value = "below minimum" if repetitions < least else "maximum" if repetitions >= most else "between"
    return Norm(value, _SERVICE, _SERVICE_DOUBT[sex])


# Pull-ups relative to body mass, mean and SD (Johnson et al. 2009).
PULL_UP_MAXIMUM_PER_BODY_MASS = {"male": (1.16, 0.15), "female": (0.73, 0.09)}


def pull_up_help_kg(body_mass_kg: float, sex: Sex) -> float:
    """Give the help with which one strict pull-up is the average person's maximum; 0 where none is needed. [kg]

    Parameters
    ----------
    body_mass_kg : float, > 0 [kg]
    sex : "male" or "female", as the study divides

    References
    ----------
    .. [1] D. Johnson et al., J Strength Cond Res, vol. 23, no. 3, pp. 1022-1028, 2009 (35 men, 23 women).

    Evidence: V (the means, with SD 0.15 and 0.09 of body mass), A (the difference to the whole body).

    Examples
    --------
    >>> round(pull_up_help_kg(60, "female"), 1)
    16.2
    """
    require_positive(body_mass_kg=body_mass_kg)
    if sex not in PULL_UP_MAXIMUM_PER_BODY_MASS:
        raise ValueError(f"the study divides by male and female, got {sex!r}")
    return max(0.0, 1 - PULL_UP_MAXIMUM_PER_BODY_MASS[sex][0]) * body_mass_kg


PULL_UP_MAXIMUM_SYSTEM_COYNE = {"pull_up": 1.43, "dip": 1.59}  # of body mass, 15 trained people (Coyne et al. 2015)
GRIP_WEAK_BELOW_KG = {"male": 27.0, "female": 16.0}  # often quoted cut-offs, from memory
GRIP_PEAK_MEDIAN_KG = {"male": 51.0, "female": 31.0}  # Dodds et al. 2014, 49,964 people in Great Britain
FLEXED_ARM_HANG_S = {"minimum": 15.0, "maximum": 70.0}  # older service standard for women

# Quartiles of the forearm plank. [s]
_PLANK: dict[str, dict[str, tuple[float, float, float]]] = {
    "students": {"female": (63, 90, 121), "male": (77, 106, 128.5)},
    "athletes": {"female": (73.5, 95, 122.5), "male": (84, 110, 135)},
}
_PLANK_SOURCE = {
    "students": "Brigham & Chase 2014, 168 students",
    "athletes": "Chase et al., 102 students who call themselves athletes",
}
PLANK_MEAN_SD_STRAND = {"female": (83.0, 63.0), "male": (124.0, 72.0)}  # Strand et al. 2014, 471 students


def plank_quartile(seconds: float, sex: Sex, sample: Literal["students", "athletes"] = "students") -> Norm:
    """Place a forearm plank among the quartiles of young adults. Nothing is known for other ages.

    Evidence: V (quartiles of two student samples).

    Examples
    --------
    >>> plank_quartile(90, "female").value
    'median'
    """
    if sample not in _PLANK or sex not in _PLANK[sample]:
        raise ValueError(f"no table for {sample!r}, {sex!r}")
    require_not_negative(seconds=seconds)
    low, middle, high = _PLANK[sample][sex]
    if seconds == middle:
        value = "median"
    elif seconds < low:
        value = "lowest quarter"
    elif seconds < middle:
        value = "second quarter"
    else:
        value = "third quarter" if seconds < high else "highest quarter"
    return Norm(value, _PLANK_SOURCE[sample], "Students of 18 to 25 years; another sample had a mean 13 s lower.")


# Trunk holds of 31 men and 44 women: mean and SD (times from memory, their ratios agree with the printed ones). [s]
TRUNK_HOLDS_MCGILL = {
    "male": {"extensor": (146, 51), "flexor": (144, 76), "side_right": (94, 34), "side_left": (97, 35)},
    "female": {"extensor": (189, 60), "flexor": (149, 99), "side_right": (72, 31), "side_left": (77, 35)},
}
TRUNK_HOLDS_EVANS_S = {"flexor": 224.0, "extensor": 163.0, "side_right": 104.0, "side_left": 103.0}  # athletes
MAX_FLEXOR_TO_EXTENSOR = 1.0
MAX_SIDE_DIFFERENCE = 0.05
MAX_SIDE_TO_EXTENSOR = 0.75


@dataclass(frozen=True, slots=True)
class TrunkBalance:
    """Ratios of trunk holds and which of them lie outside the desired ones."""

    flexor_to_extensor: float
    right_to_left: float
    right_to_extensor: float
    left_to_extensor: float
    outside: tuple[str, ...]


def trunk_balance_mcgill(extensor_s: float, flexor_s: float, side_right_s: float, side_left_s: float) -> TrunkBalance:
    """Compare trunk holds with each other: flexor below extensor, sides within 5 %, each side below 75 % of extensor.

    References
    ----------
    .. [1] S. McGill, A. Childs, C. Liebenson, Arch Phys Med Rehabil, vol. 80, no. 8, pp. 941-944, 1999.
       doi:10.1016/S0003-9993(99)90087-4

    Evidence: V2 (the desired ratios).

    Examples
    --------
    >>> trunk_balance_mcgill(150, 120, 90, 88).outside
    ()
    """
    require_positive(extensor_s=extensor_s, flexor_s=flexor_s, side_right_s=side_right_s, side_left_s=side_left_s)
    flexor, sides = flexor_s / extensor_s, side_right_s / side_left_s
    right, left = side_right_s / extensor_s, side_left_s / extensor_s
    outside = [
        name
        for name, is_outside in (
            ("flexor", flexor >= MAX_FLEXOR_TO_EXTENSOR),
            ("sides", abs(sides - 1) > MAX_SIDE_DIFFERENCE),
            ("right side", right >= MAX_SIDE_TO_EXTENSOR),
            ("left side", left >= MAX_SIDE_TO_EXTENSOR),
        )
        if is_outside
    ]
    return TrunkBalance(flexor, sides, right, left, tuple(outside))


def mean_side_to_extensor_mcgill(sex: Sex) -> float:
    """Give the printed group ratio of side bridge (both sides' mean) to extensor. [fraction]

    Evidence: V (ratios), M (the times they come from).

    Examples
    --------
    >>> round(mean_side_to_extensor_mcgill("male"), 2)
    0.65
    """
    holds = TRUNK_HOLDS_MCGILL[sex]
    return (holds["side_right"][0] + holds["side_left"][0]) / 2 / holds["extensor"][0]
