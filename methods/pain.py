"""Training with pain: the pain-monitoring table, what a change in pain means, and which soreness is none."""

import statistics
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from methods.ranges import require_finite, require_not_negative
from methods.referral import ReferFirst, refer_first_reason
from methods.undefined import Undefined

GREEN_MAX = 2
AMBER_MAX = 5
WEEK_RISE = 1.0  # house rule: a week's mean that rose by this much is "not settling"


class PainAction(StrEnum):
    """What to do with the movement that hurts."""

    STOP_REFER = "stop_refer"
    STOP_EXERCISE = "stop_exercise"
    REDUCE = "reduce"
    CONTINUE_NO_PROGRESSION = "continue_no_progression"
    CONTINUE = "continue"
    PENDING = "pending"


@dataclass(frozen=True, slots=True)
class PainDecision:
    """The row of the table that spoke. Row 0 is the list of those who ask a professional first."""

    action: PainAction
    row: int
    reason: str
    coach_review: bool = False
    refer: bool = False

    @property
    def allows_progression(self) -> bool:
        """Whether the next step may be harder, as far as pain goes."""
        return self.action is PainAction.CONTINUE


# Most cautious first; an unfinished answer is worse than a settled amber one.
CAUTION = (
    PainAction.STOP_REFER,
    PainAction.STOP_EXERCISE,
    PainAction.REDUCE,
    PainAction.PENDING,
    PainAction.CONTINUE_NO_PROGRESSION,
    PainAction.CONTINUE,
)


def most_cautious(actions: Iterable[PainAction]) -> PainAction:
    """Give the most cautious of several answers of the table; no report at all is CONTINUE.

    Evidence: T (house rule).

    Examples
    --------
    >>> most_cautious([PainAction.CONTINUE, PainAction.PENDING]).value
    'pending'
    """
    return min(actions, key=CAUTION.index, default=PainAction.CONTINUE)


def check_pain(name: str, rating: int | None) -> None:
    """Refuse a rating outside the 0 to 10 scale.

    Raises
    ------
    ValueError
        If the rating is not a whole number from 0 to 10.

    Evidence: V (the scale).

    Examples
    --------
    >>> check_pain("during", 3)
    """
    if rating is not None and (isinstance(rating, bool) or not 0 <= rating <= 10 or rating != int(rating)):
        raise ValueError(f"{name} must be a whole number from 0 to 10, got {rating}")


def monitor_pain(
    during: int | None,
    after: int | None,
    next_morning: str | None,
    week_mean_change: float | None,
    red_flag: bool | None,
    refer_first: Collection[ReferFirst] = (),
    earlier_stops: int = 0,
) -> PainDecision:
    """Decide by the pain-monitoring table how to go on with a movement that hurts.

    Parameters
    ----------
    during, after : int 0 to 10 or None
        Pain while doing it and right after. [0-10]
    next_morning : "usual", "raised" or None
        Pain and stiffness the next morning against the client's usual.
    week_mean_change : float or None
        This week's mean pain less last week's. [0-10]
    red_flag : bool or None
        A warning sign was ticked; None while its questions are open.
    refer_first : collection of ReferFirst
        The table was never meant for these; they are sent to a professional.
    earlier_stops : int
        How often row 2 already spoke for this movement: twice over in all, and the client is referred.

    Raises
    ------
    ValueError
        If a rating lies outside its scale.

    Notes
    -----
    Rows 0 to 4 speak on what is known so far; then anything missing is PENDING (do not progress); then rows 5 to 8
    in order. In the first week that tells of an area there is no week to compare with: PENDING as well. Zones differ
    between sources; the stricter is used: to 2 green, to 5 amber, and the morning must be back to usual. Tested
    for Achilles tendon and front-of-knee pain under clinicians; its use elsewhere is a guess.

    References
    ----------
    .. [1] K. Silbernagel et al., Am J Sports Med, vol. 35, pp. 897-906, 2007. doi:10.1177/0363546506298279

    Evidence: V2 (what the trial allowed), M (the zones), T (the stricter of them, the week, the review).

    Examples
    --------
    >>> monitor_pain(4, 3, "usual", 0, False).action.value
    'continue_no_progression'
    """
    check_pain("during", during)
    check_pain("after", after)
    if next_morning not in ("usual", "raised", None):
        raise ValueError(f"next_morning must be 'usual', 'raised' or None, got {next_morning!r}")
    if week_mean_change is not None:
        require_finite(week_mean_change=week_mean_change)
    if refer_first:
        return PainDecision(PainAction.STOP_REFER, 0, refer_first_reason(refer_first), coach_review=True, refer=True)
    if red_flag:
        return PainDecision(PainAction.STOP_REFER, 1, "a warning sign was ticked", coach_review=True, refer=True)
    if during is not None and during > AMBER_MAX:
        return PainDecision(
            PainAction.STOP_EXERCISE, 2, "more than 5 of 10 while doing it", True, refer=earlier_stops >= 1
        )
    if after is not None and after > AMBER_MAX:
        return PainDecision(PainAction.STOP_EXERCISE, 3, "more than 5 of 10 right after", coach_review=True)
    if next_morning == "raised":
        return PainDecision(PainAction.REDUCE, 4, "more than usual the next morning")
    if red_flag is None or during is None or after is None or next_morning is None:
        return PainDecision(PainAction.PENDING, 9, "not everything is known yet: no progression until it is")
    if week_mean_change is None:
        return PainDecision(PainAction.PENDING, 9, "no week to compare this one with yet: no progression until one is")
    return _settled_by_morning(during, after, week_mean_change)


def _settled_by_morning(during: int, after: int, week_mean_change: float) -> PainDecision:
    if week_mean_change >= WEEK_RISE:
        return PainDecision(PainAction.REDUCE, 5, "more pain than the week before", coach_review=True)
    if during > GREEN_MAX:
        return PainDecision(PainAction.CONTINUE_NO_PROGRESSION, 6, "3 to 5 of 10 while doing it, settled by morning")
    if after > GREEN_MAX:
        return PainDecision(PainAction.CONTINUE_NO_PROGRESSION, 8, "3 to 5 of 10 right after, settled by morning")
    return PainDecision(PainAction.CONTINUE, 7, "at most 2 of 10 and settled by morning")


MAX_SORENESS = 5
MAX_SORENESS_HOURS = 72


def soreness_takes_pain_path(
    level: int | None, *, in_joint: bool | None, sharp: bool | None, hours: float | None
) -> bool:
    """Say whether "just sore" must be treated as pain. Unanswered counts as yes.

    Parameters
    ----------
    level : int 0 to 10 or None
    in_joint, sharp : bool or None
    hours : float or None
        Since the training that explains it. [h]

    Evidence: T (house rule).

    Examples
    --------
    >>> soreness_takes_pain_path(4, in_joint=False, sharp=False, hours=30)
    False
    """
    check_pain("level", level)
    if level is None or in_joint is None or sharp is None or hours is None:
        return True
    require_not_negative(hours=hours)
    return level > MAX_SORENESS or in_joint or sharp or hours > MAX_SORENESS_HOURS


@dataclass(frozen=True, slots=True)
class PainChange:
    """How pain changed, and whether that is worth a word."""

    points: int
    percent: float | Undefined
    meets_two_points: bool
    meets_thirty_percent: bool


def pain_change_farrar(before: int, now: int) -> PainChange:
    """Compare two ratings with the published size of an important improvement. [points, %]

    Notes
    -----
    About 2 points or about 30 % less is "much better" in chronic pain [1]_. The two can disagree; both are shown.

    References
    ----------
    .. [1] J. Farrar et al., Pain, vol. 94, pp. 149-158, 2001. doi:10.1016/S0304-3959(01)00349-9

    Evidence: V.

    Examples
    --------
    >>> pain_change_farrar(8, 6)
    PainChange(points=-2, percent=-25.0, meets_two_points=True, meets_thirty_percent=False)
    """
    check_pain("before", before)
    check_pain("now", now)
    points = now - before
    if before == 0:
        return PainChange(points, Undefined("no pain before"), points <= -2, False)
    percent = 100 * points / before
    return PainChange(points, percent, points <= -2, percent <= -30)


def worse_by_two_points(before: int, now: int) -> bool:
    """Say whether pain rose by the two points that the desk mentions (house rule).

    Evidence: T (house rule).

    Examples
    --------
    >>> worse_by_two_points(2, 4)
    True
    """
    return pain_change_farrar(before, now).points >= 2


def week_mean_change(last_week: Sequence[int], this_week: Sequence[int]) -> float | None:
    """Give this week's mean rating less last week's; None when either has none, which keeps the table pending. [points]

    Evidence: A (arithmetic).

    Examples
    --------
    >>> week_mean_change([2, 4], [4, 4])
    1.0
    """
    for rating in (*last_week, *this_week):
        check_pain("rating", rating)
    if not last_week or not this_week:
        return None
    return statistics.fmean(this_week) - statistics.fmean(last_week)


def pain_improvement_salaffi(before: int, now: int) -> str:
    """Word a fall in chronic musculoskeletal pain: slightly better from 1 point or 15 %, much from 2 or 33 %.

    References
    ----------
    .. [1] F. Salaffi et al., Eur J Pain, vol. 8, pp. 283-291, 2004. doi:10.1016/j.ejpain.2003.09.004

    Evidence: V.

    Examples
    --------
    >>> pain_improvement_salaffi(7, 6)
    'slightly better'
    """
    change = pain_change_farrar(before, now)
    percent = 0.0 if isinstance(change.percent, Undefined) else change.percent
    if change.points <= -2 or percent <= -33:
        return "much better"
    return "slightly better" if change.points <= -1 or percent <= -15 else "not better"
