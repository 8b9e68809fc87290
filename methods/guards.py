"""The guards of the arbiter. Each says nothing, or caps the next dose at something no harder than the current one.

Only when no guard speaks may a published step make the dose harder. So more pain, worse form, fewer repetitions, lower
adherence, a longer break or a missing answer can only add caps. A missing answer is never read as good news: the next
dose is then at most the current one.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from methods.dose import Dose
from methods.easing import (
    deload,
    easier_version,
    less_after_failing,
    lighter_load,
    reduced_dose,
    return_after_break,
)
from methods.evidence import Action, Evidence, FormVerdict, Scheme
from methods.pain import PainAction
from methods.screening import Intensity, effort_intensity
from methods.undefined import Undefined
from methods.volume import drop_off_percent, is_long_lowering


@dataclass(frozen=True, slots=True)
class Cap:
    """A guard's word: at most this dose, and why."""

    action: Action
    dose: Dose
    rule: str
    reason: str
    source: str


ACSM = "Ratamess et al. 2009, Med Sci Sports Exerc 41(3):687-708"
TWO_FOR_TWO = "Essentials of Strength Training and Conditioning, 2-for-2 rule (secondary pages)"
PRACTICE = "common practice, no published source"
HOUSE = "house rule"
DELOAD = "Rogerson et al. 2024, Sports Med Open 10:26, and common practice"
PAIN_TABLE = "Silbernagel et al. 2007, Am J Sports Med 35:897-906, stricter zones"
SCREENING = "Riebe et al. 2015, Med Sci Sports Exerc 47:2473-2479"
RETURN = "Caterisano et al. 2019, Strength Cond J 41(3):1-23, and common practice: the lower dose"
RED_FLAGS = "Finucane et al. 2020, J Orthop Sports Phys Ther 50:350-372, and others"

MIN_ADHERENCE = 0.75
MAX_DROP_OFF_PERCENT = 20.0
REGULAR_DAYS = 7  # a weekly rhythm is no break
BREAK_DAYS = 14
RETURN_DAYS = 14


def _nothing(evidence: Evidence) -> Dose:
    return replace(evidence.dose, sets=0)


def guard_lock(e: Evidence) -> Cap | None:
    """A lock opens only when a clinician's word is recorded.

    Evidence: V (the lists of signs), T (the lock).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_lock(replace(EARNED, locked=True)).action.value
    'stop_refer'
    """
    if e.locked:
        return Cap(Action.STOP_REFER, _nothing(e), "lock", "training is locked after a warning sign", RED_FLAGS)
    return None


def guard_pain_refer(e: Evidence) -> Cap | None:
    """A warning sign, or someone who must ask a professional first, never continues.

    Evidence: V (the lists of signs), T (who is referred).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_pain_refer(replace(EARNED, pain=PainAction.STOP_REFER)).action.value
    'stop_refer'
    """
    if e.pain is PainAction.STOP_REFER:
        return Cap(Action.STOP_REFER, _nothing(e), "pain_refer", "stop and see a professional first", RED_FLAGS)
    return None


def guard_barred(e: Evidence) -> Cap | None:
    """Nothing is suggested for an area that is barred.

    Evidence: T (house rule).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_barred(replace(EARNED, barred=True)).dose.sets
    0
    """
    if e.barred:
        return Cap(Action.STOP, _nothing(e), "barred", "this movement loads an area to protect", HOUSE)
    return None


def guard_no_training(e: Evidence) -> Cap | None:
    """No satisfied screening outcome, no training.

    Evidence: M (the six cells), T (what they mean for a dose).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_no_training(replace(EARNED, ceiling=Intensity.NONE)).dose.sets
    0
    """
    if e.ceiling is Intensity.NONE:
        return Cap(Action.STOP, _nothing(e), "no_training", "screening does not allow training yet", SCREENING)
    return None


def guard_pain_stop(e: Evidence) -> Cap | None:
    """More than 5 of 10 stops the movement.

    Evidence: V2 (the trial's limit of 5), T (the stricter zones).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_pain_stop(replace(EARNED, pain=PainAction.STOP_EXERCISE)).action.value
    'stop'
    """
    if e.pain is PainAction.STOP_EXERCISE:
        return Cap(Action.STOP, _nothing(e), "pain_stop", "more than 5 of 10: stop this movement", PAIN_TABLE)
    return None


def guard_form_stop(e: Evidence) -> Cap | None:
    """The coach said stop.

    Evidence: T (house rule).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_form_stop(replace(EARNED, form=FormVerdict.STOP)).action.value
    'stop'
    """
    if e.form is FormVerdict.STOP:
        return Cap(Action.STOP, _nothing(e), "form_stop", "the coach asked to stop this movement", HOUSE)
    return None


def guard_ceiling(e: Evidence) -> Cap | None:
    """Effort above the screening ceiling comes down to it, or stops where no reserve can bring it down.

    Evidence: T (house rule: how strength work maps to intensities).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_ceiling(replace(EARNED, ceiling=Intensity.MODERATE)).dose.rir
    3.0
    """
    effort = effort_intensity(rir=e.dose.rir, breath_holding=e.breath_holding)
    if effort <= e.ceiling:
        return None
    if e.ceiling is Intensity.MODERATE and not e.breath_holding:
        eased = replace(e.dose, rir=3.0)
        return Cap(Action.EASIER, eased, "ceiling", "screening allows moderate effort: keep 3 in reserve", SCREENING)
    return Cap(Action.STOP, _nothing(e), "ceiling", "harder than the screening ceiling allows", SCREENING)


def guard_break(e: Evidence) -> Cap | None:
    """After two weeks or more away the dose comes down; after more than one it does not go up.

    Evidence: M (the guideline's numbers), T (loads and days).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_break(replace(EARNED, days_since_last=21)).dose.load_kg
    35.0
    """
    if e.days_since_last is None:
        return Cap(Action.HOLD_PROGRESSION, e.dose, "break", "nobody knows when this was last trained", HOUSE)
    if e.days_since_last <= REGULAR_DAYS:
        return None
    back = return_after_break(e.dose, e.days_since_last, increment_kg=e.increment_kg)
    reason = f"{e.days_since_last:.0f} days since it was last trained"
    return Cap(Action.EASIER if back != e.dose else Action.HOLD_PROGRESSION, back, "break", reason, RETURN)


def guard_pain_reduce(e: Evidence) -> Cap | None:
    """Pain that did not settle by the morning, or rose over the week, takes the next dose down.

    Evidence: V2 (settled by the morning), T (how much less).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_pain_reduce(replace(EARNED, pain=PainAction.REDUCE)).dose.sets
    2
    """
    if e.pain is PainAction.REDUCE:
        less = replace(lighter_load(e.dose, 0.8, e.increment_kg), sets=max(1, e.dose.sets - 1))
        return Cap(Action.EASIER, less, "pain_reduce", "pain had not settled: do less", PAIN_TABLE)
    return None


def guard_form_easier(e: Evidence) -> Cap | None:
    """The coach asked for an easier version.

    Evidence: T (house rule).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_form_easier(replace(EARNED, form=FormVerdict.EASIER)).dose.load_kg
    35.0
    """
    if e.form is FormVerdict.EASIER:
        reason = "the coach asked for an easier version"
        eased = easier_version(e.dose, e.increment_kg, easier_step_known=e.easier_step_known)
        return Cap(Action.EASIER, eased, "form_easier", reason, HOUSE)
    return None


def guard_deload(e: Evidence) -> Cap | None:
    """A planned lighter week.

    Evidence: V (what coaches cut), T (by how much).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_deload(replace(EARNED, deload_due=True)).dose.sets
    2
    """
    if e.deload_due:
        return Cap(Action.EASIER, deload(e.dose, e.increment_kg), "deload", "a lighter week is due", DELOAD)
    return None


def guard_failing(e: Evidence) -> Cap | None:
    """The bottom of the range was missed in two sessions running.

    Evidence: T (common practice).

    Examples
    --------
    >>> from methods.evidence import EARNED, Performance
    >>> guard_failing(replace(EARNED, sessions=(Performance((8, 8, 7)),) * 2)).dose.load_kg
    37.5
    """
    latest = [session.numbers for session in e.sessions[-2:]]
    if len(latest) == 2 and all(numbers and min(numbers) < e.target.low for numbers in latest):
        less = less_after_failing(e.dose, e.increment_kg, easier_step_known=e.easier_step_known)
        reason = f"a set stayed below {e.target.low} in two sessions running"
        return Cap(Action.EASIER, less, "failing", reason, PRACTICE)
    return None


def guard_first_exposure(e: Evidence) -> Cap | None:
    """A movement that is new starts small, a negative still smaller.

    Evidence: T (common practice).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_first_exposure(replace(EARNED, first_exposure=True)).dose.rir
    4.0
    """
    if e.first_exposure:
        eased = reduced_dose(e.dose, eccentric=e.eccentric)
        return Cap(Action.EASIER, eased, "first_exposure", "first time with this movement: start small", PRACTICE)
    return None


def guard_pain_hold(e: Evidence) -> Cap | None:
    """Amber pain, unfinished answers and unknown pain hold the dose.

    Evidence: V2 and T, the stricter zones.

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_pain_hold(replace(EARNED, pain=None)).action.value
    'hold_progression'
    """
    if e.pain is PainAction.CONTINUE_NO_PROGRESSION:
        return Cap(Action.HOLD_PROGRESSION, e.dose, "pain_hold", "some pain: carry on, no progression", PAIN_TABLE)
    if e.pain is None or e.pain is PainAction.PENDING:
        return Cap(Action.HOLD_PROGRESSION, e.dose, "pain_hold", "the pain answers are not complete", PAIN_TABLE)
    return None


def guard_form_hold(e: Evidence) -> Cap | None:
    """A fault to adjust, or a clip that did not show enough, holds the dose.

    Evidence: T (house rule).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_form_hold(replace(EARNED, form=FormVerdict.ADJUST)).action.value
    'hold_progression'
    """
    if e.form in (FormVerdict.ADJUST, FormVerdict.NOT_SEEN):
        words = {FormVerdict.ADJUST: "one thing about the form to adjust first"}
        reason = words.get(e.form, "the form could not be judged")
        return Cap(Action.HOLD_PROGRESSION, e.dose, "form_hold", reason, HOUSE)
    return None


def guard_adherence(e: Evidence) -> Cap | None:
    """Too few of the due sessions done, or nobody knows how many.

    Evidence: T (house rule).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_adherence(replace(EARNED, adherence=0.5)).reason
    '50 % of the due sessions done'
    """
    if e.adherence is None:
        return Cap(Action.HOLD_PROGRESSION, e.dose, "adherence", "no due sessions to judge by", HOUSE)
    if e.adherence < MIN_ADHERENCE:
        reason = f"{100 * e.adherence:.0f} % of the due sessions done"
        return Cap(Action.HOLD_PROGRESSION, e.dose, "adherence", reason, HOUSE)
    return None


def guard_numbers(e: Evidence) -> Cap | None:
    """Progression needs numbers from the last session, and all its sets.

    Evidence: T (house rule).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_numbers(replace(EARNED, sessions=())).reason
    'no numbers for the last session'
    """
    if not e.sessions or e.sessions[-1].numbers is None:
        return Cap(Action.HOLD_PROGRESSION, e.dose, "numbers", "no numbers for the last session", HOUSE)
    if len(e.sessions[-1].amounts) < e.dose.sets:
        done = len(e.sessions[-1].amounts)
        return Cap(Action.HOLD_PROGRESSION, e.dose, "numbers", f"{done} of {e.dose.sets} sets done", HOUSE)
    return None


def guard_drop_off(e: Evidence) -> Cap | None:
    """Even sets that fall away are not ready for more.

    Evidence: T (common practice).

    Examples
    --------
    >>> from methods.evidence import EARNED, Performance, Target
    >>> even = replace(EARNED, target=Target(8, 10, scheme=Scheme.SAME_EVERY_SET), sessions=(Performance((12, 10, 8)),))
    >>> guard_drop_off(even).reason
    'repetitions fell by 33 % from the first set to the last'
    """
    numbers = e.sessions[-1].numbers if e.sessions else None
    if e.target.scheme is not Scheme.SAME_EVERY_SET or not numbers:
        return None
    fall = drop_off_percent([int(amount) for amount in numbers])
    if not isinstance(fall, Undefined) and fall > MAX_DROP_OFF_PERCENT:
        reason = f"repetitions fell by {fall:.0f} % from the first set to the last"
        return Cap(Action.HOLD_PROGRESSION, e.dose, "drop_off", reason, PRACTICE)
    return None


def guard_eccentric(e: Evidence) -> Cap | None:
    """Negatives and long lowering make sore after a pause as they did the first time: small again.

    Evidence: T (common practice).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_eccentric(replace(EARNED, eccentric=True, days_since_last=20)).dose.sets
    2
    """
    away = e.days_since_last is None or e.days_since_last >= BREAK_DAYS
    if (e.eccentric or is_long_lowering(e.dose.tempo)) and (away or _has_just_returned(e)):
        eased = reduced_dose(e.dose, eccentric=True)
        return Cap(Action.EASIER, eased, "eccentric", "lowering work after a break: start small again", PRACTICE)
    return None


def _has_just_returned(e: Evidence) -> bool:
    return e.days_since_return is not None and e.days_since_return < RETURN_DAYS


def guard_returning(e: Evidence) -> Cap | None:
    """The first two weeks after a break are for coming back, not for more.

    Evidence: M (two weeks, in the guideline), T (holding).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> guard_returning(replace(EARNED, days_since_return=3)).action.value
    'hold_progression'
    """
    if _has_just_returned(e):
        reason = f"back for {e.days_since_return:.0f} days after two weeks or more away"
        return Cap(Action.HOLD_PROGRESSION, e.dose, "returning", reason, RETURN)
    return None


Guard = Callable[[Evidence], Cap | None]

# Most cautious first; the first that speaks names the rule, all that speak cap the dose.
GUARDS: tuple[Guard, ...] = (
    guard_lock,
    guard_pain_refer,
    guard_barred,
    guard_no_training,
    guard_pain_stop,
    guard_form_stop,
    guard_ceiling,
    guard_break,
    guard_pain_reduce,
    guard_form_easier,
    guard_deload,
    guard_failing,
    guard_first_exposure,
    guard_eccentric,
    guard_returning,
    guard_pain_hold,
    guard_form_hold,
    guard_adherence,
    guard_numbers,
    guard_drop_off,
)
