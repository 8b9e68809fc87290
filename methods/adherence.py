"""How much of what was due was done, with the doubt of small numbers. Never compared with figures from studies."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist, median

from methods.ranges import require_not_negative
from methods.undefined import Undefined


def wilson_interval(successes: int, trials: int, *, confidence: float = 0.95) -> tuple[float, float] | Undefined:
    """Give the interval of a share from few trials. [fraction]

    References
    ----------
    .. [1] E. Wilson, J Am Stat Assoc, vol. 22, pp. 209-212, 1927. doi:10.1080/01621459.1927.10502953

    Evidence: M (from memory of the paper; equal to statsmodels' answers).

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
    """Count whole sessions done of those due; excused ones are not passed in, unknown ones are not missed ones. [1]

    Parameters
    ----------
    done, skipped, partly, unknown : int, >= 0
        A session done partly was due and is not a whole one; `set_adherence` tells how much of it was done.

    Evidence: T (definitions differ between studies: never compared with a figure from one).

    Examples
    --------
    >>> session_adherence(9, 3).share
    0.75
    """
    require_not_negative(done=done, skipped=skipped, partly=partly, unknown=unknown)
    due = done + partly + skipped
    share = done / due if due else Undefined("nothing was due")
    return SessionAdherence(done, due, unknown, share, wilson_interval(done, due))


def set_adherence(sessions: list[tuple[float, float]]) -> float | Undefined:
    """Give hard sets done of hard sets prescribed, each session counted at most whole. [fraction]

    Evidence: T (a definition, common practice).

    Examples
    --------
    >>> set_adherence([(12, 10), (5, 10)])
    0.75
    """
    for done, asked_for in sessions:
        require_not_negative(done=done, prescribed=asked_for)
    asked = sum(a for _, a in sessions)
    return sum(min(d, a) for d, a in sessions) / asked if asked else Undefined("nothing was prescribed")


def quiet_for_longer_than_usual(days_since_last: float, own_gaps: list[float]) -> bool:
    """Say whether someone has been quiet for three of their own usual gaps (house rule): a reason to check in.

    Evidence: T (house rule).

    Examples
    --------
    >>> quiet_for_longer_than_usual(10, [2, 3, 2])
    True
    """
    require_not_negative(days_since_last=days_since_last)
    for gap in own_gaps:
        require_not_negative(gap=gap)
    if len(own_gaps) < 3:
        return False
    ordered = sorted(own_gaps)
    middle = (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2
    return days_since_last >= 3 * max(middle, 1.0)


def dose_adherence(loads: Sequence[tuple[float | None, float | None]]) -> float | Undefined:
    """Give the load done of the load prescribed, over the sessions where both are known. [fraction]

    Parameters
    ----------
    loads : sequence of (done, prescribed), each float >= 0 or None

    Evidence: T (a definition).

    Examples
    --------
    >>> dose_adherence([(900, 1000), (None, 1000), (1000, 1000)])
    0.95
    """
    known = [(done, asked) for done, asked in loads if done is not None and asked is not None]
    for value in (value for pair in loads for value in pair if value is not None):
        require_not_negative(load=value)
    asked_in_all = sum(asked for _, asked in known)
    return sum(done for done, _ in known) / asked_in_all if asked_in_all else Undefined("no loads to compare")


def below_own_usual(weeks: Sequence[float]) -> bool:
    """Say whether two weeks running stayed below half of someone's own median of the eight before (house rule).

    Parameters
    ----------
    weeks : sequence of float >= 0, latest last
        Sessions done in each week; ten weeks are needed, or the answer is no. [count]

    Evidence: T (house rule): a reason to check in, no prediction that someone will leave.

    Examples
    --------
    >>> below_own_usual([3, 3, 2, 3, 3, 4, 3, 3, 1, 1])
    True
    """
    for week in weeks:
        require_not_negative(sessions=week)
    if len(weeks) < 10:
        return False
    usual = median(weeks[-10:-2])
    return usual > 0 and max(weeks[-2:]) < 0.5 * usual
