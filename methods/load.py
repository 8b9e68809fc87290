"""Load of sessions and weeks, as description only.

No figure here is a probability of injury: no evidence supports using load numbers that way (F. Impellizzeri et al.,
J Athl Train 55, 2020, 885-901; Sports Med 51, 2021, 581-592).
"""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from methods.ranges import require_between, require_not_negative
from methods.undefined import Undefined

DAYS_IN_WEEK = 7


def session_load_foster(exertion_cr10: float, duration_min: float) -> float:
    """Give the load of a session: its rating times its minutes. [AU]

    Parameters
    ----------
    exertion_cr10 : float, 0 to 10
        Category-ratio rating of the whole session, asked about 30 minutes after it.
    duration_min : float, > 0
        Warm-up and rests included. [min]

    Raises
    ------
    ValueError
        Outside the scale, or without a duration.

    Notes
    -----
    Rests count, so a slow strength session looks heavy: show tonnage or hard sets beside it. Units of different
    people are not comparable.

    References
    ----------
    .. [1] C. Foster et al., "A new approach to monitoring exercise training," J Strength Cond Res, vol. 15, no. 1,
       pp. 109-115, 2001.

    Evidence: V (the text; three loads of its printed week disagree with rating x minutes).

    Examples
    --------
    >>> session_load_foster(7, 60)
    420.0
    """
    require_between(0, 10, exertion_cr10=exertion_cr10)
    if not 0 < duration_min <= 24 * 60:
        raise ValueError(f"duration_min must lie between 0 and a day, got {duration_min}")
    return float(exertion_cr10 * duration_min)


def _check_loads(loads: Sequence[float | None]) -> None:
    for load in loads:
        if load is not None:
            require_not_negative(load=load)


def weekly_load(daily_loads: Sequence[float | None]) -> float | Undefined:
    """Sum the seven days of a week, 0 for a known day off and None for a day nobody knows about. [AU]

    Evidence: V (a definition).

    Examples
    --------
    >>> weekly_load([300, 0, 450, 0, 300, 0, 0])
    1050.0
    """
    _check_loads(daily_loads)
    known = [load for load in daily_loads if load is not None]
    if len(daily_loads) != DAYS_IN_WEEK:
        raise ValueError(f"a week has seven days, got {len(daily_loads)}")
    return float(sum(known)) if len(known) == DAYS_IN_WEEK else Undefined("days missing")


def monotony(daily_loads: Sequence[float | None], *, ddof: int) -> float | Undefined:
    """Measure the sameness of a week: mean of its loads over their standard deviation. [1]

    Parameters
    ----------
    daily_loads : sequence of float >= 0, or None for a day nobody knows about
        Usually seven days; Foster's printed example only comes out over its nine sessions. [AU]
    ddof : 0 or 1
        0 divides by n (population), 1 by n - 1 (sample). Neither paper says which, so the caller does.

    Raises
    ------
    ValueError
        If a load is negative, or ddof is another number.

    Notes
    -----
    With k equal training days of seven the largest possible value is sqrt(k / (7 - k)) for ddof 0: the circulated
    caution "above 2" cannot fire below six training days a week.

    References
    ----------
    .. [1] C. Foster, "Monitoring training in athletes with reference to overtraining syndrome," Med Sci Sports
       Exerc, vol. 30, no. 7, pp. 1164-1168, 1998.

    Evidence: V (the printed week comes out with ddof 0 over nine sessions); which ddof was meant is not stated.

    Examples
    --------
    >>> round(monotony([300, 0, 450, 0, 300, 0, 0], ddof=1), 4)
    0.7746
    """
    if ddof not in (0, 1):
        raise ValueError(f"ddof must be 0 or 1, got {ddof}")
    _check_loads(daily_loads)
    known = [load for load in daily_loads if load is not None]
    if len(known) < max(len(daily_loads), DAYS_IN_WEEK):
        return Undefined("days missing")
    if not any(known):
        return Undefined("no load")
    spread = statistics.stdev(known) if ddof else statistics.pstdev(known)
    # Seven equal days can leave a rounding crumb instead of a clean zero.
    return statistics.fmean(known) / spread if spread > 1e-9 * max(known) else Undefined("all days identical")


def strain(week_load: float | Undefined, week_monotony: float | Undefined) -> float | Undefined:
    """Give the strain of a week: its load times its monotony. [AU]

    Evidence: V (the printed week).

    Examples
    --------
    >>> strain(3400, 1.26)
    4284.0
    """
    if isinstance(week_load, Undefined):
        return week_load
    if isinstance(week_monotony, Undefined):
        return week_monotony
    require_not_negative(week_load=week_load, week_monotony=week_monotony)
    return week_load * week_monotony


@dataclass(frozen=True, slots=True)
class Change:
    """A change between two weeks; percent alone misleads when the first week was small."""

    absolute: float
    percent: float | Undefined


def week_to_week_change(previous: float, current: float) -> Change:
    """Compare a week with the one before. [AU, %]

    Notes
    -----
    No trial supports a "10 % a week" limit: in novice runners it did not change injuries [1]_.

    References
    ----------
    .. [1] I. Buist et al., Am J Sports Med, vol. 36, pp. 33-39, 2008. doi:10.1177/0363546507307505

    Evidence: A (arithmetic), V (that 10 % changed nothing).

    Examples
    --------
    >>> week_to_week_change(400, 520)
    Change(absolute=120.0, percent=30.0)
    """
    _check_loads([previous, current])
    percent = 100 * (current - previous) / previous if previous else Undefined("no load in the week before")
    return Change(float(current - previous), percent)


def mean_of_previous_weeks(weeks: Sequence[float | None], count: int = 4) -> float | Undefined:
    """Average the last `count` weeks before the current one (which is not in `weeks`), latest last. [AU]

    Evidence: A (arithmetic).

    Examples
    --------
    >>> mean_of_previous_weeks([1000, 1200, 800, 1000])
    1000.0
    """
    if count < 1:
        raise ValueError(f"count must be at least 1, got {count}")
    _check_loads(weeks)
    recent = weeks[-count:]
    known = [week for week in recent if week is not None]
    if len(known) < count:
        return Undefined(f"not enough weeks: have {len(known)} of {count}")
    return statistics.fmean(known)


def rolling_ratio(weeks: Sequence[float], *, coupled: bool) -> float | Undefined:
    """Divide the last of four weeks by the mean of all four (coupled) or of the three before (uncoupled). [1]

    Description only: the coupled form correlates with itself, and a week off makes a "spike" out of the old normal.

    References
    ----------
    .. [1] L. Lolli et al., Br J Sports Med, vol. 53, pp. 921-922, 2019. doi:10.1136/bjsports-2017-098110

    Evidence: V (the forms, and that coupling correlates with itself).

    Examples
    --------
    >>> rolling_ratio([1000, 1000, 1000, 1500], coupled=False)
    1.5
    """
    if len(weeks) != 4:
        raise ValueError(f"four weeks are needed, got {len(weeks)}")
    _check_loads(weeks)
    base = statistics.fmean(weeks if coupled else weeks[:-1])
    return weeks[-1] / base if base else Undefined("no load in the weeks compared with")


def ewma_weight(days: int) -> float:
    """Give the weight of today in an exponentially weighted mean over about `days` days. [fraction]

    References
    ----------
    .. [1] S. Williams et al., Br J Sports Med, vol. 51, pp. 209-210, 2017. doi:10.1136/bjsports-2016-096589

    Evidence: M (the formula was an image on the page read).

    Examples
    --------
    >>> ewma_weight(7)
    0.25
    """
    if not days >= 1:
        raise ValueError(f"days must be at least 1, got {days}")
    return 2 / (days + 1)


def ewma(daily_loads: Sequence[float], days: int, *, seed: float | None = None) -> list[float]:
    """Smooth daily loads exponentially; the seed is the first day unless given. [AU]

    Evidence: A (the recursion; equal to pandas).

    Examples
    --------
    >>> ewma([100, 0, 200], 7)
    [100, 75.0, 106.25]
    """
    _check_loads(daily_loads)
    weight = ewma_weight(days)
    smoothed: list[float] = []
    for load in daily_loads:
        last = smoothed[-1] if smoothed else seed
        smoothed.append(load if last is None else weight * load + (1 - weight) * last)
    return smoothed


def ewma_ratio(daily_loads: Sequence[float], *, seed: float | None = None) -> float | Undefined:
    """Divide the 7-day by the 28-day exponentially weighted mean of the last day. [1] Description only.

    Notes
    -----
    For three equal sessions a week it swings between 0.77 and 1.18 although nothing changes.

    Evidence: A (arithmetic).

    Examples
    --------
    >>> round(ewma_ratio([100] * 21 + [150] * 7), 6)
    1.197576
    """
    if len(daily_loads) < 28:
        return Undefined(f"not enough days: have {len(daily_loads)} of 28")
    slow = ewma(daily_loads, 28, seed=seed)[-1]
    return ewma(daily_loads, 7, seed=seed)[-1] / slow if slow else Undefined("no load in four weeks")


def monotony_array(weeks: ArrayLike, *, ddof: int) -> NDArray[np.float64]:
    """Give the monotony of many weeks at once, nan where it is undefined. [1]

    Parameters
    ----------
    weeks : array, shape (n, 7)
        nan for a day nobody knows about. [AU]

    Evidence: V, as `monotony`.

    Examples
    --------
    >>> monotony_array([[300, 0, 450, 0, 300, 0, 0]], ddof=1).round(4)
    array([0.7746])
    """
    days = np.asarray(weeks, dtype=float)
    if days.ndim != 2 or days.shape[1] != DAYS_IN_WEEK:
        raise ValueError(f"an array of weeks has the shape (n, 7), got {days.shape}")
    if ddof not in (0, 1) or np.any(days < 0):
        raise ValueError("ddof must be 0 or 1 and loads must not be negative")
    spread = days.std(axis=1, ddof=ddof)
    is_flat = ~(spread > 1e-9 * days.max(axis=1))
    return np.where(is_flat, np.nan, days.mean(axis=1) / np.where(is_flat, 1.0, spread))


def ewma_array(daily_loads: ArrayLike, days: int, *, seed: float | None = None) -> NDArray[np.float64]:
    """Smooth many clients' daily loads at once, one row a client. [AU]

    Evidence: A, as `ewma`.

    Examples
    --------
    >>> ewma_array([[100, 0, 200]], 7)
    array([[100.  ,  75.  , 106.25]])
    """
    loads = np.atleast_2d(np.asarray(daily_loads, dtype=float))
    if np.any(loads < 0):
        raise ValueError("loads must not be negative")
    weight = ewma_weight(days)
    smoothed = np.empty_like(loads)
    last = loads[:, 0] if seed is None else np.full(len(loads), float(seed))
    for day in range(loads.shape[1]):
        last = loads[:, 0] if seed is None and day == 0 else weight * loads[:, day] + (1 - weight) * last
        smoothed[:, day] = last
    return smoothed


def largest_monotony(training_days: int, *, ddof: int) -> float | Undefined:
    """Give the largest monotony that so many training days a week can reach: all of them equal. [1]

    Parameters
    ----------
    training_days : int, 1 to 7
    ddof : 0 or 1, as in `monotony`

    Notes
    -----
    .. math:: \\sqrt{k / (7 - k)} \\quad (ddof = 0)

    A caution "above 2" cannot fire below six training days a week.

    Evidence: A (exact bound).

    Examples
    --------
    >>> round(largest_monotony(5, ddof=1), 4)
    1.4639
    """
    if training_days not in range(1, 8):
        raise ValueError(f"training_days must be 1 to 7, got {training_days}")
    return monotony([1.0] * training_days + [0.0] * (DAYS_IN_WEEK - training_days), ddof=ddof)


NOTE_PERCENT, NOTE_AU, NOTE_AWAY_DAYS, NOTE_FIRST_WEEKS = 30.0, 300.0, 14.0, 4.0


def rise_worth_a_note(change: Change, *, longest_gap_days: float, weeks_since_start: float) -> bool:
    """Say whether a rise of the week is worth a word to the coach. A note, no alarm, and nothing about injury.

    Parameters
    ----------
    change : Change
        This week against the last. [AU, %]
    longest_gap_days : float, >= 0
        Longest time without a session in the last weeks. [days]
    weeks_since_start : float, >= 0
        Since training began here. [weeks]

    Notes
    -----
    More than 30 % and more than 300 AU, and only after two weeks or more away or within the first four weeks: people
    get hurt when they go from rest to training [1]_; a rule of per cent alone changed nothing.

    References
    ----------
    .. [1] A. Caterisano et al., Strength Cond J, vol. 41, no. 3, pp. 1-23, 2019.

    Evidence: T (house rule).

    Examples
    --------
    >>> rise_worth_a_note(week_to_week_change(800, 1200), longest_gap_days=16, weeks_since_start=40)
    True
    """
    require_not_negative(longest_gap_days=longest_gap_days, weeks_since_start=weeks_since_start)
    fresh = longest_gap_days >= NOTE_AWAY_DAYS or weeks_since_start < NOTE_FIRST_WEEKS
    big = not isinstance(change.percent, Undefined) and change.percent > NOTE_PERCENT and change.absolute > NOTE_AU
    return fresh and big
