"""What comes next for one prescription: evidence in, one decision out, safe by construction.

Every guard either says nothing or caps the next dose at something no harder than the current one. Only when no guard
speaks may a published step make the dose harder. So more pain, worse form, fewer repetitions, lower adherence, a longer
break or a missing answer can only add caps. A missing answer is never read as good news: the next dose is then at
most the current one.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import reduce

from methods.bodyweight import system_load_kg
from methods.dose import Dose, compare, easier_of, harder
from methods.pain import PainAction
from methods.screening import Intensity, effort_intensity
from methods.steps import (
    Area,
    Level,
    deload,
    easier_version,
    even_sets_step,
    less_after_failing,
    lighter_load,
    load_jump_kg,
    reduced_dose,
    repetitions_after_jump,
    return_after_break,
    slower_tempo,
    two_for_two,
)
from methods.undefined import Undefined
from methods.volume import drop_off_percent

__all__ = [
    "GUARDS", "Action", "Decision", "Dose", "Evidence", "FormVerdict", "Measure", "Performance", "Scheme", "Target",
    "arbitrate", "compare", "double_progression", "even_sets", "harder", "holds_to_the_top", "two_for_two",
]  # fmt: skip


class Action(StrEnum):
    """What to do next, from the most to the least cautious."""

    STOP_REFER = "stop_refer"
    STOP = "stop"
    EASIER = "easier"
    HOLD_PROGRESSION = "hold_progression"
    SAME = "same"
    HARDER = "harder"


class FormVerdict(StrEnum):
    """The coach's latest word on the form of this movement; it stands until the next one."""

    SOUND = "sound"
    NEVER_REVIEWED = "never_reviewed"
    NOT_SEEN = "not_seen"  # a clip that did not show enough
    ADJUST = "adjust"
    EASIER = "easier"
    STOP = "stop"


class Measure(StrEnum):
    """What one set is counted in."""

    REPETITIONS = "reps"
    SECONDS = "seconds"
    METRES = "metres"


class Scheme(StrEnum):
    """How the sets relate."""

    RANGE = "range"
    SAME_EVERY_SET = "same"


@dataclass(frozen=True, slots=True)
class Target:
    """What the prescription aims at. For even sets `high` is the most repetitions before anything else changes."""

    low: int
    high: int
    measure: Measure = Measure.REPETITIONS
    scheme: Scheme = Scheme.RANGE
    max_sets: int = 10

    def __post_init__(self) -> None:
        if not 1 <= self.low <= self.high:
            raise ValueError(f"a target runs from 1 upwards, got {self.low} to {self.high}")


@dataclass(frozen=True, slots=True)
class Performance:
    """One comparable session of this prescription: what each work set came to (None: not recorded)."""

    amounts: tuple[float | None, ...]
    rir_last: float | None = None

    @property
    def numbers(self) -> tuple[float, ...] | None:
        """The amounts, or None when any of them is missing."""
        known = tuple(amount for amount in self.amounts if amount is not None)
        return known if known and len(known) == len(self.amounts) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """Everything the arbiter looks at. None is "nobody knows", never "fine".

    sessions : comparable sessions at the current dose, oldest first (same movement, tempo, range, equipment)
    pain : the worst answer of the pain table for this movement since the last step; no pain is CONTINUE
    adherence : sessions done of those due in the last weeks, excused and unknown ones left out [fraction]
    days_since_last : days since this movement was last trained
    increment_kg : the smallest rise of load the equipment allows, None where nothing can be loaded
    next_step_known, easier_step_known : a feasible harder (easier) step exists on the movement's line
    first_exposure : the movement has not been trained before
    eccentric : a negative or a long lowering
    deload_due : the plan or the coach asks for a lighter week
    """

    dose: Dose
    target: Target
    sessions: tuple[Performance, ...]
    pain: PainAction | None
    form: FormVerdict
    adherence: float | None
    days_since_last: float | None
    ceiling: Intensity
    locked: bool
    barred: bool
    increment_kg: float | None = None
    next_step_known: bool = False
    easier_step_known: bool = True
    body_mass_kg: float | None = None
    share: float | None = None
    area: Area = "upper"
    level: Level = "less"
    first_exposure: bool = False
    eccentric: bool = False
    breath_holding: bool = False
    deload_due: bool = False

    def __post_init__(self) -> None:
        if self.dose.sets < 1:
            raise ValueError("a dose to go on from has at least one set")
        if self.adherence is not None and not 0 <= self.adherence <= 1:
            raise ValueError(f"adherence must lie between 0 and 1, got {self.adherence}")
        if self.days_since_last is not None and self.days_since_last < 0:
            raise ValueError(f"days_since_last must not be negative, got {self.days_since_last}")


@dataclass(frozen=True, slots=True)
class Decision:
    """A suggestion that can be asked "why?": the rule that spoke, its reasons, sources and the numbers it saw."""

    action: Action
    from_dose: Dose
    to_dose: Dose
    rule: str
    reasons: tuple[str, ...]
    sources: tuple[str, ...]
    numbers: dict[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Cap:
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
PAIN_TABLE = "Silbernagel et al. 2007, Am J Sports Med 35:897-906, stricter zones"
SCREENING = "Riebe et al. 2015, Med Sci Sports Exerc 47:2473-2479"
RETURN = "Caterisano et al. 2019, Strength Cond J 41(3):1-23, and common practice: the lower dose"
RED_FLAGS = "Finucane et al. 2020, J Orthop Sports Phys Ther 50:350-372, and others"

MIN_ADHERENCE = 0.75
MAX_DROP_OFF_PERCENT = 20.0


def _nothing(evidence: Evidence) -> Dose:
    return replace(evidence.dose, sets=0)


def guard_lock(e: Evidence) -> _Cap | None:
    """A lock opens only when a clinician's word is recorded."""
    if e.locked:
        return _Cap(Action.STOP_REFER, _nothing(e), "lock", "training is locked after a warning sign", RED_FLAGS)
    return None


def guard_pain_refer(e: Evidence) -> _Cap | None:
    """A warning sign, or someone who must ask a professional first, never continues."""
    if e.pain is PainAction.STOP_REFER:
        return _Cap(Action.STOP_REFER, _nothing(e), "pain_refer", "stop and see a professional first", RED_FLAGS)
    return None


def guard_barred(e: Evidence) -> _Cap | None:
    """Nothing is suggested for an area that is barred."""
    if e.barred:
        return _Cap(Action.STOP, _nothing(e), "barred", "this movement loads an area to protect", HOUSE)
    return None


def guard_no_training(e: Evidence) -> _Cap | None:
    """No satisfied screening outcome, no training."""
    if e.ceiling is Intensity.NONE:
        return _Cap(Action.STOP, _nothing(e), "no_training", "screening does not allow training yet", SCREENING)
    return None


def guard_pain_stop(e: Evidence) -> _Cap | None:
    """More than 5 of 10 stops the movement."""
    if e.pain is PainAction.STOP_EXERCISE:
        return _Cap(Action.STOP, _nothing(e), "pain_stop", "more than 5 of 10: stop this movement", PAIN_TABLE)
    return None


def guard_form_stop(e: Evidence) -> _Cap | None:
    """The coach said stop."""
    if e.form is FormVerdict.STOP:
        return _Cap(Action.STOP, _nothing(e), "form_stop", "the coach asked to stop this movement", HOUSE)
    return None


def guard_ceiling(e: Evidence) -> _Cap | None:
    """Effort above the screening ceiling comes down to it, or stops where no reserve can bring it down."""
    effort = effort_intensity(rir=e.dose.rir, breath_holding=e.breath_holding)
    if effort <= e.ceiling:
        return None
    if e.ceiling is Intensity.MODERATE and not e.breath_holding:
        eased = replace(e.dose, rir=3.0)
        return _Cap(Action.EASIER, eased, "ceiling", "screening allows moderate effort: keep 3 in reserve", SCREENING)
    return _Cap(Action.STOP, _nothing(e), "ceiling", "harder than the screening ceiling allows", SCREENING)


def guard_break(e: Evidence) -> _Cap | None:
    """After two weeks or more away the dose comes down; after more than one it does not go up."""
    if e.days_since_last is None:
        return _Cap(Action.HOLD_PROGRESSION, e.dose, "break", "nobody knows when this was last trained", HOUSE)
    if e.days_since_last <= 7:  # a weekly rhythm is no break
        return None
    back = return_after_break(e.dose, e.days_since_last, increment_kg=e.increment_kg)
    reason = f"{e.days_since_last:.0f} days since it was last trained"
    return _Cap(Action.EASIER if back != e.dose else Action.HOLD_PROGRESSION, back, "break", reason, RETURN)


def guard_pain_reduce(e: Evidence) -> _Cap | None:
    """Pain that did not settle by the morning, or rose over the week, takes the next dose down."""
    if e.pain is PainAction.REDUCE:
        less = replace(lighter_load(e.dose, 0.8, e.increment_kg), sets=max(1, e.dose.sets - 1))
        return _Cap(Action.EASIER, less, "pain_reduce", "pain had not settled: do less", PAIN_TABLE)
    return None


def guard_form_easier(e: Evidence) -> _Cap | None:
    """The coach asked for an easier version."""
    if e.form is FormVerdict.EASIER:
        reason = "the coach asked for an easier version"
        eased = easier_version(e.dose, e.increment_kg, easier_step_known=e.easier_step_known)
        return _Cap(Action.EASIER, eased, "form_easier", reason, HOUSE)
    return None


def guard_deload(e: Evidence) -> _Cap | None:
    """A planned lighter week."""
    if e.deload_due:
        eased = deload(e.dose, e.increment_kg)
        return _Cap(
            Action.EASIER, eased, "deload", "a lighter week is due", "Rogerson et al. 2024, and common practice"
        )
    return None


def guard_failing(e: Evidence) -> _Cap | None:
    """The bottom of the range was missed in two sessions running."""
    latest = [session.numbers for session in e.sessions[-2:]]
    if len(latest) == 2 and all(numbers and min(numbers) < e.target.low for numbers in latest):
        less = less_after_failing(e.dose, e.increment_kg, easier_step_known=e.easier_step_known)
        reason = f"a set stayed below {e.target.low} in two sessions running"
        return _Cap(Action.EASIER, less, "failing", reason, PRACTICE)
    return None


def guard_first_exposure(e: Evidence) -> _Cap | None:
    """A movement that is new starts small, a negative still smaller."""
    if e.first_exposure:
        eased = reduced_dose(e.dose, eccentric=e.eccentric)
        return _Cap(Action.EASIER, eased, "first_exposure", "first time with this movement: start small", PRACTICE)
    return None


def guard_pain_hold(e: Evidence) -> _Cap | None:
    """Amber pain, unfinished answers and unknown pain hold the dose."""
    if e.pain is PainAction.CONTINUE_NO_PROGRESSION:
        return _Cap(Action.HOLD_PROGRESSION, e.dose, "pain_hold", "some pain: carry on, no progression", PAIN_TABLE)
    if e.pain is None or e.pain is PainAction.PENDING:
        return _Cap(Action.HOLD_PROGRESSION, e.dose, "pain_hold", "the pain answers are not complete", PAIN_TABLE)
    return None


def guard_form_hold(e: Evidence) -> _Cap | None:
    """A fault to adjust, or a clip that did not show enough, holds the dose."""
    if e.form in (FormVerdict.ADJUST, FormVerdict.NOT_SEEN):
        words = {FormVerdict.ADJUST: "one thing about the form to adjust first"}
        reason = words.get(e.form, "the form could not be judged")
        return _Cap(Action.HOLD_PROGRESSION, e.dose, "form_hold", reason, HOUSE)
    return None


def guard_adherence(e: Evidence) -> _Cap | None:
    """Too few of the due sessions done, or nobody knows how many."""
    if e.adherence is None:
        return _Cap(Action.HOLD_PROGRESSION, e.dose, "adherence", "no due sessions to judge by", HOUSE)
    if e.adherence < MIN_ADHERENCE:
        reason = f"{100 * e.adherence:.0f} % of the due sessions done"
        return _Cap(Action.HOLD_PROGRESSION, e.dose, "adherence", reason, HOUSE)
    return None


def guard_numbers(e: Evidence) -> _Cap | None:
    """Progression needs numbers from the last session, and all its sets."""
    if not e.sessions or e.sessions[-1].numbers is None:
        return _Cap(Action.HOLD_PROGRESSION, e.dose, "numbers", "no numbers for the last session", HOUSE)
    if len(e.sessions[-1].amounts) < e.dose.sets:
        done = len(e.sessions[-1].amounts)
        return _Cap(Action.HOLD_PROGRESSION, e.dose, "numbers", f"{done} of {e.dose.sets} sets done", HOUSE)
    return None


def guard_drop_off(e: Evidence) -> _Cap | None:
    """Even sets that fall away are not ready for more."""
    numbers = e.sessions[-1].numbers if e.sessions else None
    if e.target.scheme is not Scheme.SAME_EVERY_SET or not numbers:
        return None
    fall = drop_off_percent([int(amount) for amount in numbers])
    if not isinstance(fall, Undefined) and fall > MAX_DROP_OFF_PERCENT:
        reason = f"repetitions fell by {fall:.0f} % from the first set to the last"
        return _Cap(Action.HOLD_PROGRESSION, e.dose, "drop_off", reason, PRACTICE)
    return None


Guard = Callable[[Evidence], _Cap | None]

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
    guard_pain_hold,
    guard_form_hold,
    guard_adherence,
    guard_numbers,
    guard_drop_off,
)


def arbitrate(evidence: Evidence, guards: Sequence[Guard] = GUARDS) -> Decision:
    """Decide the next dose of one prescription from everything known about it.

    Parameters
    ----------
    evidence : Evidence
    guards : sequence of guard functions
        All of them; the argument exists so that the suite can show that it fails without any one.

    Returns
    -------
    Decision
        HARDER only when no guard speaks and a published step is earned; then at most one step of one kind.

    Examples
    --------
    >>> done = (Performance((10, 10, 12)), Performance((10, 10, 12)))
    >>> evidence = Evidence(
    ...     dose=Dose(load_kg=40, repetitions=10, sets=3, rir=2), target=Target(8, 10), sessions=done,
    ...     pain=PainAction.CONTINUE, form=FormVerdict.SOUND, adherence=1.0, days_since_last=3,
    ...     ceiling=Intensity.VIGOROUS, locked=False, barred=False, increment_kg=2.5, share=0.0)
    >>> arbitrate(evidence).to_dose.load_kg
    42.5
    """
    caps = [cap for cap in (guard(evidence) for guard in guards) if cap is not None]
    if caps:
        return _capped(evidence, caps)
    if evidence.target.scheme is Scheme.SAME_EVERY_SET:
        return even_sets(evidence)
    if evidence.target.measure is Measure.SECONDS:
        return holds_to_the_top(evidence)
    return double_progression(evidence)


def _capped(e: Evidence, caps: Sequence[_Cap]) -> Decision:
    action = min((cap.action for cap in caps), key=list(Action).index)
    first = next(cap for cap in caps if cap.action is action)
    to_dose = reduce(easier_of, (cap.dose for cap in caps), e.dose)
    if to_dose == e.dose:  # nothing could be made easier
        action = Action.HOLD_PROGRESSION
    return Decision(
        action,
        e.dose,
        to_dose,
        first.rule,
        tuple(cap.reason for cap in caps),
        tuple(dict.fromkeys(cap.source for cap in caps)),
        _numbers(e),
    )


def _numbers(e: Evidence) -> dict[str, object]:
    return {
        "sessions": [list(session.amounts) for session in e.sessions[-2:]],
        "rir_last": [session.rir_last for session in e.sessions[-2:]],
        "low": e.target.low,
        "high": e.target.high,
        "pain": e.pain.value if e.pain else None,
        "form": e.form.value,
        "adherence": e.adherence,
        "days_since_last": e.days_since_last,
        "ceiling": e.ceiling.name.lower(),
    }


def _decision(e: Evidence, to_dose: Dose | Undefined, rule: str, reason: str, source: str) -> Decision:
    if isinstance(to_dose, Undefined):
        return _same(e, rule, to_dose.reason, source)
    return Decision(Action.HARDER, e.dose, to_dose, rule, (reason,), (source,), _numbers(e))


def _same(e: Evidence, rule: str, reason: str, source: str) -> Decision:
    return Decision(Action.SAME, e.dose, e.dose, rule, (reason,), (source,), _numbers(e))


def _reached(session: Performance, amount: float) -> bool:
    numbers = session.numbers
    return numbers is not None and min(numbers) >= amount


def _reached_twice(e: Evidence, amount: float) -> bool:
    return len(e.sessions) >= 2 and all(_reached(session, amount) for session in e.sessions[-2:])


def _reached_with_reserve(e: Evidence, amount: float) -> bool:
    rir = e.sessions[-1].rir_last
    return e.dose.rir is not None and rir is not None and rir >= e.dose.rir and _reached(e.sessions[-1], amount)


def _two_for_two(e: Evidence) -> bool:
    latest = [session.numbers for session in e.sessions[-2:]]
    lasts = [int(numbers[-1]) for numbers in latest if numbers]
    return all(_reached(session, e.target.low) for session in e.sessions[-2:]) and two_for_two(e.target.high, lasts)


def double_progression(e: Evidence) -> Decision:
    """Raise the load once the top of the range is earned: every set with its reserve, or two over in two sessions.

    Where nothing can be loaded the next step of the line takes the place of the load, and wants the top of the range
    in two sessions running. The repetitions asked for stay the same range.
    """
    if e.increment_kg is None:
        if _reached_twice(e, e.target.high):
            return _next_step(e, "double_progression", f"{e.target.high} in every set, twice")
    elif _reached_with_reserve(e, e.target.high) or _two_for_two(e):
        return _more_load(e, e.increment_kg)
    return _same(e, "double_progression", f"work up to {e.target.high} in every set first", PRACTICE)


def _more_load(e: Evidence, increment_kg: float) -> Decision:
    system_kg = system_load_kg(e.body_mass_kg, e.share, max(e.dose.load_kg or 0.0, 0.0), max(-(e.dose.load_kg or 0), 0))
    if isinstance(system_kg, Undefined):
        return _same(e, "acsm_step", f"how big a step may be is unknown: {system_kg.reason}", ACSM)
    if system_kg <= 0:
        return _same(e, "acsm_step", "no load yet to take 2 to 10 % of: the coach picks the first", ACSM)
    jump_kg = load_jump_kg(system_kg, increment_kg, e.area, e.level)
    if isinstance(jump_kg, Undefined):
        reason = f"{jump_kg.reason}: lower more slowly first"
        return _decision(e, slower_tempo(e.dose), "tempo_before_load", reason, PRACTICE)
    heavier = replace(e.dose, load_kg=(e.dose.load_kg or 0.0) + jump_kg)
    rule, source = ("two_for_two", TWO_FOR_TWO) if _two_for_two(e) else ("double_progression", PRACTICE)
    percent = 100 * jump_kg / system_kg
    decision = _decision(e, heavier, rule, f"the top of the range was earned: {percent:.1f} % more load", source)
    decision.numbers.update(_prediction(e, system_kg, jump_kg))
    return replace(decision, sources=(source, ACSM))


def _prediction(e: Evidence, system_kg: float, jump_kg: float) -> dict[str, object]:
    done = min(e.sessions[-1].numbers or (0,))
    expected = repetitions_after_jump(system_kg, done + (e.sessions[-1].rir_last or 0.0), jump_kg)
    return {
        "system_load_kg": system_kg,
        "jump_kg": jump_kg,
        "expected_repetitions": None if isinstance(expected, Undefined) else expected,
    }


def _next_step(e: Evidence, rule: str, reason: str) -> Decision:
    if e.dose.step is None or not e.next_step_known:
        return _same(e, rule, "the top of the range, and no harder step known: the coach decides", PRACTICE)
    return _decision(e, replace(e.dose, step=e.dose.step + 1), rule, reason, PRACTICE)


def even_sets(e: Evidence) -> Decision:
    """Make "the same repetitions every set" bigger: a set first, then a repetition, then load or the next step."""
    asked = e.dose.repetitions
    if asked is None:
        return _same(e, "even_sets", "even sets are counted in repetitions", PRACTICE)
    if not _reached_twice(e, asked) and not _reached_with_reserve(e, asked):
        return _same(e, "even_sets", f"{asked} in every set first", PRACTICE)
    more = even_sets_step(e.dose, e.target.max_sets, e.target.high)
    if not isinstance(more, Undefined):
        what = "one more set" if more.sets > e.dose.sets else "one more repetition in each set"
        return _decision(e, more, "even_sets", f"{asked} in every set: {what}", PRACTICE)
    if e.increment_kg is not None:
        return _more_load(e, e.increment_kg)
    return _next_step(e, "even_sets", f"{asked} in every set, and as many sets as planned")


def holds_to_the_top(e: Evidence) -> Decision:
    """Hold to the top of the range in every set, twice, then the next step; without one, more load or one more set."""
    if not _reached_twice(e, e.target.high):
        return _same(e, "holds_to_the_top", f"hold {e.target.high} s in every set, in two sessions", PRACTICE)
    if e.dose.step is not None and e.next_step_known:
        return _next_step(e, "holds_to_the_top", f"{e.target.high} s in every set, twice")
    if e.increment_kg is not None:
        return _more_load(e, e.increment_kg)
    if e.dose.sets < e.target.max_sets:
        more = replace(e.dose, sets=e.dose.sets + 1)
        return _decision(e, more, "holds_to_the_top", f"{e.target.high} s in every set, twice: one more set", PRACTICE)
    return _same(e, "holds_to_the_top", "the top of the range, and no harder step known: the coach decides", PRACTICE)
