"""What comes next for one prescription: evidence in, one decision out, safe by construction (see `methods.guards`)."""

from collections.abc import Sequence
from dataclasses import replace
from functools import reduce

from methods.bodyweight import system_load_kg
from methods.dose import Dose, compare, easier_of, harder
from methods.evidence import Action, Decision, Evidence, FormVerdict, Measure, Performance, Scheme, Target
from methods.guards import ACSM, GUARDS, PRACTICE, TWO_FOR_TWO, Cap, Guard
from methods.steps import even_sets_step, load_jump_kg, repetitions_after_jump, slower_tempo, two_for_two
from methods.undefined import Undefined

__all__ = [
    "GUARDS", "Action", "Decision", "Dose", "Evidence", "FormVerdict", "Measure", "Performance", "Scheme", "Target",
    "arbitrate", "compare", "double_progression", "even_sets", "harder", "holds_to_the_top", "two_for_two",
]  # fmt: skip


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

    Evidence: V, V2 and T by rule; each decision names its source.

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> arbitrate(EARNED).to_dose.load_kg, arbitrate(replace(EARNED, pain=None)).action.value
    (42.5, 'hold_progression')
    """
    caps = [cap for cap in (guard(evidence) for guard in guards) if cap is not None]
    if caps:
        return _capped(evidence, caps)
    if evidence.target.scheme is Scheme.SAME_EVERY_SET:
        return even_sets(evidence)
    if evidence.target.measure is Measure.SECONDS:
        return holds_to_the_top(evidence)
    return double_progression(evidence)


def _capped(e: Evidence, caps: Sequence[Cap]) -> Decision:
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

    Evidence: T (common practice), V (the size of a step), V2 (2-for-2).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> double_progression(EARNED).rule
    'two_for_two'
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
    """Make "the same repetitions every set" bigger: a set first, then a repetition, then load or the next step.

    Evidence: T (common practice).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> even = replace(EARNED, target=Target(8, 12, scheme=Scheme.SAME_EVERY_SET))
    >>> even_sets(even).to_dose.sets
    4
    """
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
    """Hold to the top of the range in every set, twice, then the next step; without one, more load or one more set.

    Evidence: T (common practice).

    Examples
    --------
    >>> from methods.evidence import EARNED
    >>> hold = Dose(seconds=20, sets=3, step=2)
    >>> twice = (Performance((20, 20, 21)),) * 2
    >>> target = Target(10, 20, Measure.SECONDS)
    >>> holds_to_the_top(replace(EARNED, dose=hold, target=target, sessions=twice, next_step_known=True)).to_dose.step
    3
    """
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
