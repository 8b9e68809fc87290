"""Less: deload weeks, coming back after a break, small first doses, and one step down. Each as a pure function."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from enum import StrEnum
from math import floor

from methods.dose import Dose, compare
from methods.ranges import require_not_negative, require_positive
from methods.units import round_down_to_increment, round_half_up


def deload_sets(sets: int) -> int:
    """Halve the sets of a deload week, halves upwards, at least one. [count]

    Evidence: T (common practice).

    Examples
    --------
    >>> [deload_sets(sets) for sets in (5, 4, 3, 1)]
    [3, 2, 2, 1]
    """
    if sets < 1:
        raise ValueError(f"sets must be at least 1, got {sets}")
    return max(1, round_half_up(sets * 0.5))


DELOAD_EXTRA_RIR = 2.0
DELOAD_LOAD_SHARE = 0.90


def deload(dose: Dose, increment_kg: float | None = None) -> Dose:
    """Give the dose of a deload week: half the sets, two more in reserve, up to 10 % less load (common practice).

    Coaches mostly cut sets and effort and keep exercises and days [1]_; a week off altogether cost leg strength [2]_.

    References
    ----------
    .. [1] D. Rogerson et al., Sports Med Open, vol. 10, 26, 2024.
    .. [2] M. Coleman et al., PeerJ, vol. 12, e16777, 2024. doi:10.7717/peerj.16777

    Evidence: V (what coaches cut), T (by how much).

    Examples
    --------
    >>> deload(Dose(load_kg=40, repetitions=8, sets=4, rir=2), 2.5).load_kg
    35.0
    """
    lighter = lighter_load(dose, DELOAD_LOAD_SHARE, increment_kg)
    return replace(lighter, sets=deload_sets(dose.sets), rir=(dose.rir or 0.0) + DELOAD_EXTRA_RIR)


DELOAD_EVERY_WEEKS_MEAN = 5.6
DELOAD_EVERY_WEEKS_SD = 2.3


def deload_window_weeks() -> tuple[float, float]:
    """Give the weeks of training after which most lifters asked take a deload: mean less and plus one SD. [weeks]

    References
    ----------
    .. [1] D. Rogerson et al., Sports Med Open, vol. 10, 26, 2024 (246 strength and physique athletes).

    Evidence: V (a survey's mean and SD), A (the window).

    Examples
    --------
    >>> [round(week, 1) for week in deload_window_weeks()]
    [3.3, 7.9]
    """
    return DELOAD_EVERY_WEEKS_MEAN - DELOAD_EVERY_WEEKS_SD, DELOAD_EVERY_WEEKS_MEAN + DELOAD_EVERY_WEEKS_SD


DELOAD_DAYS_MEAN = 6.4
DELOAD_DAYS_SD = 1.7


def deload_window_days() -> tuple[float, float]:
    """Give the days that a deload lasts with most lifters asked: mean less and plus one SD. [days]

    References
    ----------
    .. [1] D. Rogerson et al., Sports Med Open, vol. 10, 26, 2024 (246 strength and physique athletes).

    Evidence: V (a survey's mean and SD), A (the window).

    Examples
    --------
    >>> [round(days, 1) for days in deload_window_days()]
    [4.7, 8.1]
    """
    return DELOAD_DAYS_MEAN - DELOAD_DAYS_SD, DELOAD_DAYS_MEAN + DELOAD_DAYS_SD


def deload_load_range_kg(load_kg: float) -> tuple[float, float]:
    """Give the least and the most load of a deload week: 10 % less to the same. [kg]

    Evidence: T (common practice).

    Examples
    --------
    >>> deload_load_range_kg(40)
    (36.0, 40)
    """
    require_positive(load_kg=load_kg)
    return DELOAD_LOAD_SHARE * load_kg, load_kg


def is_deload_dose(before: Dose, planned: Dose) -> bool:
    """Say whether a planned dose is a deload of the one before: half the sets or fewer, and nothing else harder.

    Notes
    -----
    Half as `deload_sets` rounds it; of a single set nothing can be left out, so it counts when it is easier otherwise.

    Evidence: T (common practice).

    Examples
    --------
    >>> usual = Dose(load_kg=40, repetitions=8, sets=4, rir=2)
    >>> is_deload_dose(usual, replace(usual, sets=2)), is_deload_dose(usual, replace(usual, sets=3))
    (True, False)
    """
    return planned.sets <= deload_sets(before.sets) and compare(planned, before) == "easier"


class DeloadTrigger(StrEnum):
    """What lifters named as reasons for a lighter week (Rogerson et al. 2024)."""

    STALLED = "stalled"
    SORENESS = "soreness"
    JOINT_ACHES = "joint_aches"


OFFER_DELOAD_WITH_TRIGGER_WEEKS = 4.0
OFFER_DELOAD_WEEKS = 8.0


def deload_offered(weeks_without: float, triggers: Collection[DeloadTrigger] = ()) -> bool:
    """Say whether a lighter week is worth offering. It is an offer: the coach decides.

    Parameters
    ----------
    weeks_without : float, >= 0
        Weeks of training since the last lighter week or break. [weeks]
    triggers : collection of DeloadTrigger

    Notes
    -----
    From 8 weeks on; from 4 weeks on with one trigger; at any time with two. Prefer doing less to doing nothing.

    Evidence: T (common practice, around the 5.6 weeks of a survey).

    Examples
    --------
    >>> deload_offered(5), deload_offered(5, [DeloadTrigger.JOINT_ACHES]), deload_offered(8)
    (False, True, True)
    """
    require_not_negative(weeks_without=weeks_without)
    count = len({DeloadTrigger(trigger) for trigger in triggers})
    with_trigger = count == 1 and weeks_without >= OFFER_DELOAD_WITH_TRIGGER_WEEKS
    return count > 1 or with_trigger or weeks_without >= OFFER_DELOAD_WEEKS


def lighter_load(dose: Dose, share: float, increment_kg: float | None) -> Dose:
    """Take a share of the load, rounded down to what the equipment allows; without load, of the work of a set.

    Evidence: T (common practice).

    Examples
    --------
    >>> lighter_load(Dose(load_kg=40), 0.9, 2.5).load_kg
    35.0
    """
    if not 0 < share <= 1:
        raise ValueError(f"share must lie between 0 and 1, got {share}")
    if dose.load_kg is not None and dose.load_kg > 0:
        load_kg = dose.load_kg * share
        return replace(dose, load_kg=round_down_to_increment(load_kg, increment_kg) if increment_kg else load_kg)
    return shorter_sets(dose, share)


def shorter_sets(dose: Dose, share: float) -> Dose:
    """Take a share of the repetitions, seconds or metres of each set, rounded down, at least one.

    Evidence: T (common practice).

    Examples
    --------
    >>> shorter_sets(Dose(repetitions=8, sets=3), 0.8).repetitions
    6
    """
    return replace(
        dose,
        repetitions=None
        if dose.repetitions is None
        else min(dose.repetitions, max(1, floor(dose.repetitions * share))),
        seconds=None if dose.seconds is None else min(dose.seconds, max(1.0, float(floor(dose.seconds * share)))),
        metres=None if dose.metres is None else min(dose.metres, max(1.0, float(floor(dose.metres * share)))),
    )


@dataclass(frozen=True, slots=True)
class _Return:
    """What a break of at least so many days costs."""

    from_days: int
    load_share: float
    sets_share: float
    steps_down: int


# The lower of two rules. Common practice: 2-3 weeks -10 %, 4-8 weeks -20 % and 30 % fewer sets, longer 60 %.
# Joint guideline on return to training: volume cut by half in the first week and by 30 % in the second.
_RETURNS = (
    _Return(57, 0.60, 0.50, 1),
    _Return(28, 0.80, 0.50, 0),
    _Return(14, 0.90, 0.50, 0),
)
_SECOND_WEEK_SETS_SHARE = 0.70


def return_after_break(dose: Dose, days_off: float, *, week: int = 1, increment_kg: float | None = None) -> Dose:
    """Give the dose for coming back after a break: the lower of two rules in every dimension.

    Parameters
    ----------
    dose : Dose
        What was asked before the break.
    days_off : float, >= 0
        Days since the last session. Under 14 the dose stays (but does not get harder).
    week : int, >= 1
        Week since the return; the cut in sets is 50 % in the first, 30 % in the second, none after.
    increment_kg : float or None
        The steps of the equipment; loads are rounded down.

    References
    ----------
    .. [1] A. Caterisano et al., Strength Cond J, vol. 41, no. 3, pp. 1-23, 2019 (numbers from memory): "50/30" for two
       weeks on return.
    .. [2] Common practice: one week off, same load; 2 to 3 weeks, 5 to 10 % less; 4 to 8 weeks, 10 to 20 % less and
       30 % fewer sets; longer, restart at 60 to 70 %.

    Evidence: M (the guideline's numbers), T (the loads); the lower of the two is a house rule.

    Examples
    --------
    >>> back = return_after_break(Dose(load_kg=40, repetitions=8, sets=4), 21, increment_kg=2.5)
    >>> back.load_kg, back.sets
    (35.0, 2)
    """
    require_not_negative(days_off=days_off)
    if week < 1:
        raise ValueError(f"week must be at least 1, got {week}")
    for rule in _RETURNS:
        if days_off >= rule.from_days:
            lighter = lighter_load(dose, rule.load_share, increment_kg)
            sets_share = {1: rule.sets_share, 2: max(rule.sets_share, _SECOND_WEEK_SETS_SHARE)}.get(week, 1.0)
            step = None if dose.step is None else dose.step - rule.steps_down
            return replace(lighter, sets=max(1, floor(dose.sets * sets_share)), step=step)
    return dose


def return_plan_percent(weeks: int) -> tuple[int, ...]:
    """Give the share of the former weekly volume in the first weeks of new athletes: 50, 70, 80, 90. [%]

    References
    ----------
    .. [1] A. Caterisano et al., Strength Cond J, vol. 41, no. 3, pp. 1-23, 2019 ("50/30/20/10", numbers from memory).

    Evidence: M (numbers from memory; the guideline's name read).

    Examples
    --------
    >>> return_plan_percent(4)
    (50, 70, 80, 90)
    """
    if not 0 <= weeks <= 4:
        raise ValueError(f"the guideline covers the first four weeks, got {weeks}")
    return (50, 70, 80, 90)[:weeks]


FIRST_EXPOSURE_MAX_SETS = 2
FIRST_EXPOSURE_RIR = 4.0
ECCENTRIC_MAX_REPETITIONS = 5


def reduced_dose(dose: Dose, *, eccentric: bool = False) -> Dose:
    """Give the dose for a first exposure, and for negatives and long lowering (common practice).

    At most two sets with four in reserve; eccentric work at most five repetitions, because soreness and muscle
    damage are worst after the first bout of it.

    Evidence: T (common practice).

    Examples
    --------
    >>> reduced_dose(Dose(repetitions=8, sets=4, rir=2), eccentric=True).repetitions
    5
    """
    repetitions = dose.repetitions
    if eccentric and repetitions is not None:
        repetitions = min(repetitions, ECCENTRIC_MAX_REPETITIONS)
    return replace(
        dose,
        sets=min(dose.sets, FIRST_EXPOSURE_MAX_SETS),
        rir=max(dose.rir or 0.0, FIRST_EXPOSURE_RIR),
        repetitions=repetitions,
    )


def less_after_failing(dose: Dose, increment_kg: float | None, *, easier_step_known: bool = True) -> Dose:
    """Step back after the bottom of the range was missed twice: 5 to 10 % less load, or one step down.

    Evidence: T (common practice).

    Examples
    --------
    >>> less_after_failing(Dose(load_kg=40, repetitions=8, sets=3), 2.5).load_kg
    37.5
    """
    if dose.load_kg is not None and dose.load_kg > 0:
        return lighter_load(dose, 0.95, increment_kg)
    return easier_version(dose, easier_step_known=easier_step_known)


def easier_version(dose: Dose, increment_kg: float | None = None, *, easier_step_known: bool = True) -> Dose:
    """Go one step down a progression line; without one, take a tenth off the load or a fifth off each set.

    Evidence: T (common practice).

    Examples
    --------
    >>> easier_version(Dose(repetitions=10, step=0)).step
    -1
    """
    if dose.step is not None and easier_step_known:
        return replace(dose, step=dose.step - 1)
    if dose.load_kg is not None and dose.load_kg > 0:
        return lighter_load(dose, 0.9, increment_kg)
    return shorter_sets(dose, 0.8)
