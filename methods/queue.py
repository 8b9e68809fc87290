"""The review queue: promises, order, and what waiting to expect."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import permutations
from math import exp

from methods.ranges import require_not_negative, require_positive
from methods.undefined import Undefined

RED_FLAG_LANE = 0

# House rule: lane to the longest wait promised. Lane 0 is answered by the fixed text at once.
PROMISES: dict[int, timedelta] = {
    0: timedelta(0),
    1: timedelta(hours=12),
    2: timedelta(hours=24),
    3: timedelta(hours=48),
    4: timedelta(days=5),
}


def due_at(submitted_at: datetime, promise: timedelta) -> datetime:
    """Give the instant by which an answer was promised.

    Evidence: T (house rule: what is promised).

    Examples
    --------
    >>> due_at(datetime(2026, 3, 1, 9), timedelta(hours=48))
    datetime.datetime(2026, 3, 3, 9, 0)
    """
    if promise < timedelta(0):
        raise ValueError("a promise lies in the future")
    return submitted_at + promise


def due_after_change(old_due: datetime, new_due: datetime) -> datetime:
    """Keep the earlier of two promises when new facts change the lane; nothing is ever put off automatically.

    Evidence: T (house rule).

    Examples
    --------
    >>> noon, one = datetime(2026, 3, 1, 12), datetime(2026, 3, 1, 13)
    >>> due_after_change(noon, one) == noon
    True
    """
    return min(old_due, new_due)


def queue_key(
    lane: int, due: datetime, submitted_at: datetime, identifier: object
) -> tuple[bool, datetime, datetime, str]:
    """Give the sort key of the queue: lane 0 first, then the earliest promise, ties by arrival and identifier.

    Notes
    -----
    Sorting by due time makes the worst lateness as small as it can be on one desk [1]_; fixed due times age by
    themselves, so nothing waits for ever.

    References
    ----------
    .. [1] J. Jackson, Management Science Research Project report 43, UCLA, 1955.

    Evidence: V (that order's smallest worst lateness), T (lane 0 first).

    Examples
    --------
    >>> noon = datetime(2026, 3, 1, 12)
    >>> queue_key(0, noon, noon, 1) < queue_key(4, noon - timedelta(days=9), noon, 2)
    True
    """
    if lane not in PROMISES:
        raise ValueError(f"lane must be one of {sorted(PROMISES)}, got {lane}")
    return lane != RED_FLAG_LANE, due, submitted_at, str(identifier)


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work, all present at time zero."""

    minutes: float
    due: float
    weight: float = 1.0


def earliest_due_order(work: Sequence[Work]) -> list[int]:
    """Order work by due time: the smallest worst lateness on one desk. Gives positions in `work`.

    Evidence: V (a lecture page with the proof).

    Examples
    --------
    >>> earliest_due_order([Work(1, 10), Work(5, 5)])
    [1, 0]
    """
    return sorted(range(len(work)), key=lambda i: (work[i].due, i))


def worst_lateness(work: Sequence[Work], order: Sequence[int]) -> float:
    """Give the largest finish less due time; negative when everything is early. [minutes]

    Evidence: A (arithmetic).

    Examples
    --------
    >>> worst_lateness([Work(1, 10), Work(5, 5)], [1, 0])
    0.0
    """
    done, worst = 0.0, float("-inf")
    for index in order:
        done += work[index].minutes
        worst = max(worst, done - work[index].due)
    return worst


def smith_order(work: Sequence[Work]) -> list[int]:
    """Order work by weight per minute: the smallest weighted sum of finish times on one desk.

    References
    ----------
    .. [1] W. Smith, Nav Res Logist Q, vol. 3, pp. 59-66, 1956. doi:10.1002/nav.3800030106

    Evidence: M.

    Examples
    --------
    >>> smith_order([Work(3, 0, 1), Work(1, 0, 2)])
    [1, 0]
    """
    for item in work:
        require_positive(minutes=item.minutes)
    return sorted(range(len(work)), key=lambda i: (-work[i].weight / work[i].minutes, i))


def weighted_finish(work: Sequence[Work], order: Sequence[int]) -> float:
    """Sum the finish times, each times its weight. [minutes x weight]

    Evidence: A (arithmetic).

    Examples
    --------
    >>> weighted_finish([Work(3, 0, 1), Work(1, 0, 2)], [1, 0])
    6.0
    """
    done, total = 0.0, 0.0
    for index in order:
        done += work[index].minutes
        total += work[index].weight * done
    return total


def brute_force_best_lateness(work: Sequence[Work]) -> float:
    """Try every order; for checking small cases only (at most 8 pieces). [minutes]

    Evidence: A (every order tried).

    Examples
    --------
    >>> brute_force_best_lateness([Work(1, 10), Work(5, 5)])
    0.0
    """
    if len(work) > 8:
        raise ValueError("too many orders to try")
    return min(worst_lateness(work, order) for order in permutations(range(len(work))))


def little_waiting(arrivals_per_day: float, mean_age_days: float) -> float:
    """Give the number waiting on average: arrivals times age (Little's law). [count]

    References
    ----------
    .. [1] J. Little, Oper Res, vol. 9, pp. 383-387, 1961. doi:10.1287/opre.9.3.383

    Evidence: M.

    Examples
    --------
    >>> little_waiting(12, 1.5)
    18.0
    """
    require_not_negative(arrivals_per_day=arrivals_per_day, mean_age_days=mean_age_days)
    return arrivals_per_day * mean_age_days


@dataclass(frozen=True, slots=True)
class ErlangC:
    """A queue with several equal servers and random arrivals."""

    probability_of_waiting: float
    mean_waiting: float  # number in the queue
    mean_wait: float  # in the time unit of the rates
    utilisation: float


def erlang_c(arrivals: float, services: float, servers: int) -> ErlangC | Undefined:
    """Predict waiting with so many servers, each finishing `services` per unit of time.

    Parameters
    ----------
    arrivals, services : float, > 0
        Per unit of time; `services` for one server.
    servers : int, >= 1

    Returns
    -------
    ErlangC, or Undefined when more arrives than can be served.

    References
    ----------
    .. [1] A. Erlang, Post Office Electr Eng J, vol. 10, pp. 189-197, 1917 (form from textbooks).

    Evidence: V (one value read off a chart), M (textbook values), A.

    Examples
    --------
    >>> round(erlang_c(2, 1, 3).probability_of_waiting, 6)
    0.444444
    """
    require_positive(arrivals=arrivals, services=services)
    if servers < 1 or servers != int(servers):
        raise ValueError(f"servers must be a whole number of at least 1, got {servers}")
    offered = arrivals / services
    if offered >= servers:
        return Undefined("more arrives than can be answered: the queue grows without end")
    blocking = 1.0
    for count in range(1, servers + 1):
        blocking = offered * blocking / (count + offered * blocking)
    waiting = servers * blocking / (servers - offered * (1 - blocking))
    mean_wait = waiting / (servers * services - arrivals)
    return ErlangC(waiting, waiting * offered / (servers - offered), mean_wait, offered / servers)


def erlang_c_late_share(arrivals: float, services: float, servers: int, longer_than: float) -> float | Undefined:
    """Give the share that waits longer than a time. [fraction]

    Evidence: M (textbook), A.

    Examples
    --------
    >>> round(erlang_c_late_share(0.5, 1, 1, 2), 4)
    0.1839
    """
    require_not_negative(longer_than=longer_than)
    result = erlang_c(arrivals, services, servers)
    if isinstance(result, Undefined):
        return result
    return result.probability_of_waiting * exp(-(servers * services - arrivals) * longer_than)


def cobham_waits(arrivals: Sequence[float], services: float) -> tuple[float, ...] | Undefined:
    """Predict the mean wait of each priority class, first class first, one server, work uninterrupted. [time unit]

    References
    ----------
    .. [1] A. Cobham, J Oper Res Soc Am, vol. 2, pp. 70-76, 1954. doi:10.1287/opre.2.1.70

    Evidence: M, A.

    Examples
    --------
    >>> [round(wait, 6) for wait in cobham_waits([0.2, 0.5], 1)]
    [0.875, 2.916667]
    """
    require_positive(services=services)
    for rate in arrivals:
        require_not_negative(rate=rate)
    loads = [rate / services for rate in arrivals]
    if sum(loads) >= 1:
        return Undefined("more arrives than can be answered: the queue grows without end")
    residual = sum(loads) / services  # mean remaining service for exponential times
    waits, before = [], 0.0
    for load in loads:
        waits.append(residual / ((1 - before) * (1 - before - load)))
        before += load
    return tuple(waits)


BUSY_ABOVE = 0.85


def is_too_busy(utilisation: float) -> bool:
    """Say whether so large a part of the coach's hours is asked for that waits grow fast: above 85 % (house rule).

    Parameters
    ----------
    utilisation : float, >= 0
        Arrivals times minutes over the minutes there are. [fraction]

    Evidence: T (house rule; the wait of one server grows like r / (1 - r)).

    Examples
    --------
    >>> is_too_busy(0.8), is_too_busy(0.9)
    (False, True)
    """
    require_not_negative(utilisation=utilisation)
    return utilisation > BUSY_ABOVE
