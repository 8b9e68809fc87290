"""How much of what was due was done, with the doubt of small numbers. Never compared with figures from studies."""

from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

from methods.undefined import Undefined


def wilson_interval(successes: int, trials: int, *, confidence: float = 0.95) -> tuple[float, float] | Undefined:
    """Give the interval of a share from few trials. [fraction]

    References
    ----------
    .. [1] E. Wilson, J Am Stat Assoc, vol. 22, pp. 209-212, 1927. doi:10.1080/01621459.1927.10502953

    Examples
    --------
    >>> [round(bound, 4) for bound in wilson_interval(9, 12)]
    [0.4677, 0.9111]
    """
    if not 0 <= successes <= trials:
        raise ValueError(f"successes must lie between 0 and {trials}, got {successes}")
    if not 0 < confidence < 1:
        raise ValueError(f"confidence must lie between 0 and 1, got {confidence}")
    if trials == 0:
        return Undefined("nothing was due")
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    share, base = successes / trials, 1 + z * z / trials
    centre = (share + z * z / (2 * trials)) / base
    reach = z * sqrt(share * (1 - share) / trials + z * z / (4 * trials * trials)) / base
    return max(0.0, centre - reach), min(1.0, centre + reach)


@dataclass(frozen=True, slots=True)
class SessionAdherence:
    """Sessions done of those due, with its interval. Unknown sessions are neither."""

    done: int
    due: int
    unknown: int
    share: float | Undefined
    interval: tuple[float, float] | Undefined


def session_adherence(done: int, skipped: int, *, partly: int = 0, unknown: int = 0) -> SessionAdherence:
    """Count adherence over a window; excused sessions are simply not passed in, unknown ones are not missed ones.

    Parameters
    ----------
    done, skipped, partly, unknown : int, >= 0
        A session done partly counts as done here; `set_adherence` tells how much of it.

    Examples
    --------
    >>> session_adherence(9, 3).share
    0.75
    """
    if min(done, skipped, partly, unknown) < 0:
        raise ValueError("counts must not be negative")
    came, due = done + partly, done + partly + skipped
    share = came / due if due else Undefined("nothing was due")
    return SessionAdherence(came, due, unknown, share, wilson_interval(came, due))


def set_adherence(sessions: list[tuple[float, float]]) -> float | Undefined:
    """Give hard sets done of hard sets prescribed, each session counted at most whole. [fraction]

    Examples
    --------
    >>> set_adherence([(12, 10), (5, 10)])
    0.75
    """
    if any(done < 0 or asked < 0 for done, asked in sessions):
        raise ValueError("sets must not be negative")
    asked = sum(a for _, a in sessions)
    return sum(min(d, a) for d, a in sessions) / asked if asked else Undefined("nothing was prescribed")


def quiet_for_longer_than_usual(days_since_last: float, own_gaps: list[float]) -> bool:
    """Say whether someone has been quiet for three of their own usual gaps (house rule): a reason to check in.

    Examples
    --------
    >>> quiet_for_longer_than_usual(10, [2, 3, 2])
    True
    """
    if days_since_last < 0 or any(gap < 0 for gap in own_gaps):
        raise ValueError("days must not be negative")
    if len(own_gaps) < 3:
        return False
    ordered = sorted(own_gaps)
    middle = (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2
    return days_since_last >= 3 * max(middle, 1.0)
