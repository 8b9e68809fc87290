"""How someone says they are: published indices in our own words, and changes against their own usual.

Optional, never a ranking of clients, no readiness score, and no test of mental health.
"""

import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from methods.ranges import require_all_finite, require_finite
from methods.undefined import Undefined

HOOPER_ITEMS = ("sleep", "stress", "fatigue", "soreness")
MCLEAN_ITEMS = ("fatigue", "sleep", "soreness", "stress", "mood")
HIGHER_IS_WORSE = "higher is worse"
HIGHER_IS_BETTER = "higher is better"
DIRECTIONS = {"hooper": HIGHER_IS_WORSE, "mclean": HIGHER_IS_BETTER}

# The ends of each scale in our own words: the lowest and the highest number.
HOOPER_ANCHORS: dict[str, tuple[str, str]] = {
    "sleep": ("Slept as well as I can", "Slept as badly as I can"),
    "stress": ("No stress at all", "As stressed as I can be"),
    "fatigue": ("Not tired at all", "As tired as I can be"),
    "soreness": ("No sore muscles", "As sore as I can be"),
}
MCLEAN_ANCHORS: dict[str, tuple[str, str]] = {
    "fatigue": ("Tired all the time", "Full of energy"),
    "sleep": ("Hardly slept", "Slept deeply"),
    "soreness": ("Sore all over", "Nothing is sore"),
    "stress": ("Under heavy strain", "At ease"),
    "mood": ("In a bad mood", "In a very good mood"),
}


def _total(answers: Mapping[str, float | None], items: Sequence[str], low: float, high: float) -> float | Undefined:
    unknown = sorted(set(answers) - set(items))
    if unknown:
        raise ValueError(f"not items of this index: {', '.join(unknown)}")
    total = 0.0
    for item in items:
        value = answers.get(item)
        if value is None:
            return Undefined(f"no answer for {item}")
        if not low <= value <= high:
            raise ValueError(f"{item} must be {low:g} to {high:g}, got {value}")
        total += value
    return total


def hooper_index(answers: Mapping[str, float | None]) -> float | Undefined:
    """Sum sleep, stress, fatigue and soreness, 1 (very good) to 7 (very bad): higher is worse. [4-28]

    References
    ----------
    .. [1] S. Hooper and L. Mackinnon, Sports Med, vol. 20, pp. 321-327, 1995 (summing them is a later habit).

    Evidence: V2 (items and scale), M (the sum).

    Examples
    --------
    >>> hooper_index({"sleep": 3, "stress": 2, "fatigue": 4, "soreness": 3})
    12.0
    """
    return _total(answers, HOOPER_ITEMS, 1, 7)


def mclean_index(answers: Mapping[str, float | None]) -> float | Undefined:
    """Sum fatigue, sleep, soreness, stress and mood, 1 (bad) to 5 (good): higher is better. [5-25]

    References
    ----------
    .. [1] B. McLean et al., Int J Sports Physiol Perform, vol. 5, pp. 367-383, 2010. doi:10.1123/ijspp.5.3.367

    Evidence: V2.

    Examples
    --------
    >>> mclean_index({"fatigue": 4, "sleep": 3, "soreness": 4, "stress": 3, "mood": 4})
    18.0
    """
    return _total(answers, MCLEAN_ITEMS, 1, 5)


MIN_BASE_DAYS, MAX_BASE_DAYS = 10, 28


def own_z(today: float, base: Sequence[float]) -> float | Undefined:
    """Compare today with the person's own last days, in their own standard deviations. [1]

    Parameters
    ----------
    today : float
    base : sequence of float
        The valid days before today, latest last; the last 28 count and at least 10 are needed (house rule).

    Evidence: T (house rule).

    Examples
    --------
    >>> round(own_z(14, [18, 19, 17, 18, 20, 18, 19, 17, 18, 19, 18, 17, 20, 18]), 6)
    -4.309458
    """
    require_all_finite([today, *base])
    recent = base[-MAX_BASE_DAYS:]
    if len(recent) < MIN_BASE_DAYS:
        return Undefined(f"not enough days: have {len(recent)} of {MIN_BASE_DAYS}")
    spread = statistics.stdev(recent)
    if spread == 0:
        return Undefined("the same answer every day")
    return (today - statistics.fmean(recent)) / spread


NOTICE_Z, NOTICE_DAYS, NOTICE_OF = 1.5, 2, 3
NOTICE_ITEM_POINTS = 1.0


def worth_asking(z_of_last_days: Sequence[float | Undefined], largest_item_change: float) -> bool:
    """Say whether the last days differ enough from someone's usual to ask how they are.

    Parameters
    ----------
    z_of_last_days : sequence of float or Undefined, latest last
        As from `own_z`; the last three count. [own standard deviations]
    largest_item_change : float
        Largest change of one item against its usual answer, either way. [points]

    Notes
    -----
    1.5 or more on two of three days, and one item that moved by a whole point: a steady answerer's tiny change is
    many standard deviations. A question to ask, no readiness score.

    Evidence: T (house rule).

    Examples
    --------
    >>> worth_asking([-1.6, 0.2, -1.9], 2.0), worth_asking([-1.6, 0.2, -1.9], 0.5)
    (True, False)
    """
    require_finite(largest_item_change=largest_item_change)
    known = [z for z in z_of_last_days[-NOTICE_OF:] if not isinstance(z, Undefined)]
    require_finite(**{f"z_{day}": z for day, z in enumerate(known)})
    unusual = sum(abs(z) >= NOTICE_Z for z in known)
    return unusual >= NOTICE_DAYS and abs(largest_item_change) >= NOTICE_ITEM_POINTS


PSFS_MDC_MEAN = 2.0
PSFS_MDC_SINGLE = 3.0


@dataclass(frozen=True, slots=True)
class FunctionChange:
    """A patient-specific score before and now, and whether the change is more than noise."""

    before: float
    now: float
    is_more_than_noise: bool

    @property
    def change(self) -> float:
        """Now less before; positive is better."""
        return self.now - self.before


def patient_specific_score(ratings: Sequence[float]) -> float | Undefined:
    """Average up to five activities the client named, 0 (cannot) to 10 (as before). [0-10]

    References
    ----------
    .. [1] P. Stratford et al., Physiother Can, vol. 47, pp. 258-263, 1995. doi:10.3138/ptc.47.4.258

    Evidence: V.

    Examples
    --------
    >>> patient_specific_score([3, 5, 4])
    4.0
    """
    if not ratings:
        return Undefined("no activity named")
    if len(ratings) > 5 or any(not 0 <= rating <= 10 for rating in ratings):
        raise ValueError("up to five activities, each rated 0 to 10")
    return statistics.fmean(ratings)


def patient_specific_change(before: Sequence[float], now: Sequence[float]) -> FunctionChange | Undefined:
    """Compare two ratings of the same activities with the published detectable change: 2 for a mean, 3 for one.

    Evidence: V (detectable changes at 90 %).

    Examples
    --------
    >>> patient_specific_change([3, 5, 4], [6, 7, 5]).is_more_than_noise
    True
    """
    if len(before) != len(now):
        raise ValueError(f"the same activities are rated twice, got {len(before)} and {len(now)}")
    first, second = patient_specific_score(before), patient_specific_score(now)
    if isinstance(first, Undefined) or isinstance(second, Undefined):
        return Undefined("no activity named")
    needed = PSFS_MDC_SINGLE if len(before) == 1 else PSFS_MDC_MEAN
    return FunctionChange(first, second, abs(second - first) >= needed - 1e-9)
