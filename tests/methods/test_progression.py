"""The arbiter: what it does, and that nothing bad ever makes the next step harder."""

import random
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from methods.dose import Dose, harder
from methods.pain import PainAction
from methods.progression import (
    Action,
    Evidence,
    FormVerdict,
    Measure,
    Performance,
    Scheme,
    Target,
    arbitrate,
)
from methods.screening import Intensity, effort_intensity

READY = Evidence(
    dose=Dose(load_kg=40, repetitions=10, sets=3, step=2, rir=2, rest_s=90),
    target=Target(8, 10),
    sessions=(Performance((10, 10, 12)), Performance((10, 10, 12))),
    pain=PainAction.CONTINUE,
    form=FormVerdict.SOUND,
    adherence=1.0,
    days_since_last=3,
    ceiling=Intensity.VIGOROUS,
    locked=False,
    barred=False,
    increment_kg=2.5,
    next_step_known=True,
    body_mass_kg=80,
    share=0.0,
)

# From the most to the least free. PENDING and unknown hold like amber pain.
PAIN_ORDER = [
    PainAction.CONTINUE,
    PainAction.CONTINUE_NO_PROGRESSION,
    PainAction.REDUCE,
    PainAction.STOP_EXERCISE,
    PainAction.STOP_REFER,
]
FORM_ORDER = [FormVerdict.SOUND, FormVerdict.ADJUST, FormVerdict.EASIER, FormVerdict.STOP]


def any_evidence(seed: int) -> Evidence:
    """Draw from the whole decision space; from one number, because drawing field by field is ten times slower."""
    rng = random.Random(seed)
    measure = rng.choice(list(Measure))
    low = rng.randint(2, 8)
    high = low + rng.randint(0, 5)
    sets = rng.randint(1, 5)
    asked = {Measure.REPETITIONS: "repetitions", Measure.SECONDS: "seconds", Measure.METRES: "metres"}[measure]
    dose = Dose(
        load_kg=rng.choice([None, -10.0, 0.0, 4.0, 20.0, 60.0]),
        sets=sets,
        step=rng.choice([None, 0, 1, 3]),
        tempo=rng.choice([None, "2-0-1-0", "4-0-1-0", "6-0-1-0", "3-1-X-0"]),
        rir=rng.choice([None, 0, 1, 2, 3, 4]),
        rest_s=rng.choice([None, 90]),
        **{asked: high},
    )
    return Evidence(
        dose=dose,
        target=Target(low, high + rng.randint(0, 2), measure, rng.choice(list(Scheme)), max_sets=6),
        sessions=any_sessions(rng, low, high, sets),
        pain=rng.choice([PainAction.CONTINUE] * 8 + [*PainAction, None]),
        form=rng.choice([FormVerdict.SOUND] * 8 + [*FormVerdict]),
        adherence=rng.choice([1.0, 1.0, 1.0, 0.8, 0.75, 0.74, 0.3, 0.0, None]),
        days_since_last=rng.choice([2, 2, 2, 3, 6, 7, 8, 13, 14, 27, 28, 56, 57, 200, None]),
        ceiling=rng.choice([Intensity.VIGOROUS] * 6 + [*Intensity]),
        locked=rng.random() < 0.1,
        barred=rng.random() < 0.1,
        increment_kg=rng.choice([None, 0.5, 2.5, 5.0]),
        next_step_known=rng.random() < 0.5,
        easier_step_known=rng.random() < 0.7,
        body_mass_kg=rng.choice([None, 80.0]),
        share=rng.choice([None, 0.0, 0.64, 1.0]),
        area=rng.choice(["upper", "lower"]),
        level=rng.choice(["less", "more"]),
        first_exposure=rng.random() < 0.15,
        days_since_return=rng.choice([None, None, None, 0, 5, 13, 14, 40]),
        eccentric=rng.random() < 0.5,
        breath_holding=rng.random() < 0.15,
        deload_due=rng.random() < 0.15,
    )


def any_sessions(rng: random.Random, low: int, high: int, sets: int) -> tuple[Performance, ...]:
    """Half of the time what earns a step, else anything between nothing and too much, with gaps."""
    if rng.random() < 0.5:
        return tuple(Performance((high + 2,) * sets, rng.choice([None, 0, 2, 4])) for _ in range(rng.randint(1, 2)))
    return tuple(
        Performance(
            tuple(rng.choice([None, *range(max(1, low - 2), high + 4)]) for _ in range(rng.randint(1, sets + 1))),
            rng.choice([None, 0, 1, 2, 3, 4]),
        )
        for _ in range(rng.randint(0, 3))
    )


evidences = st.integers(0, 2**48).map(any_evidence)


def assert_never_harder(worse: Evidence, better: Evidence) -> None:
    """The next dose under worse evidence: that of the better, or no harder than it, or no harder than today's.

    Today's dose is allowed only where the better evidence progresses: a progression may trade one thing for another
    (another step, slower lowering), and against such a dose even standing still counts as incomparable.
    """
    bad, good = arbitrate(worse), arbitrate(better)
    if good.action is Action.HARDER:
        assert bad.to_dose == good.to_dose or not harder(bad.to_dose, worse.dose)
    else:
        assert not harder(bad.to_dose, good.to_dose)


@given(evidences, st.integers(0, 4), st.integers(0, 4))
def test_more_pain_is_never_harder(evidence, a, b):
    better, worse = sorted((a, b))

    assert_never_harder(replace(evidence, pain=PAIN_ORDER[worse]), replace(evidence, pain=PAIN_ORDER[better]))


@given(evidences, st.integers(0, 3), st.integers(0, 3))
def test_worse_form_is_never_harder(evidence, a, b):
    better, worse = sorted((a, b))

    assert_never_harder(replace(evidence, form=FORM_ORDER[worse]), replace(evidence, form=FORM_ORDER[better]))


@given(evidences, st.floats(0, 1), st.floats(0, 1))
def test_lower_adherence_is_never_harder(evidence, a, b):
    worse, better = sorted((a, b))

    assert_never_harder(replace(evidence, adherence=worse), replace(evidence, adherence=better))


@given(evidences, st.floats(0, 300), st.floats(0, 300))
def test_a_longer_break_is_never_harder(evidence, a, b):
    better, worse = sorted((a, b))

    assert_never_harder(replace(evidence, days_since_last=worse), replace(evidence, days_since_last=better))


@given(evidences, st.floats(0, 30), st.floats(0, 30))
def test_a_later_return_is_never_harder(evidence, a, b):
    worse, better = sorted((a, b))

    assert_never_harder(replace(evidence, days_since_return=worse), replace(evidence, days_since_return=better))
    assert_never_harder(replace(evidence, days_since_return=worse), replace(evidence, days_since_return=None))


@given(evidences, st.data())
def test_fewer_repetitions_are_never_harder(evidence, data):
    assume(evidence.sessions)
    fewer = tuple(
        replace(
            session,
            amounts=tuple(a if a is None else max(0, a - data.draw(st.integers(0, 3))) for a in session.amounts),
        )
        for session in evidence.sessions
    )

    assert_never_harder(replace(evidence, sessions=fewer), evidence)


@given(evidences, st.data())
def test_less_in_reserve_is_never_harder(evidence, data):
    less = tuple(
        replace(s, rir_last=None if s.rir_last is None else max(0, s.rir_last - data.draw(st.integers(0, 3))))
        for s in evidence.sessions
    )

    assert_never_harder(replace(evidence, sessions=less), evidence)


@given(evidences, st.sampled_from(Intensity), st.sampled_from(Intensity))
def test_a_lower_ceiling_is_never_harder(evidence, a, b):
    worse, better = sorted((a, b))

    assert_never_harder(replace(evidence, ceiling=worse), replace(evidence, ceiling=better))


@given(evidences, st.sampled_from(["locked", "barred", "first_exposure", "eccentric", "deload_due", "breath_holding"]))
def test_a_warning_raised_is_never_harder(evidence, name):
    assert_never_harder(replace(evidence, **{name: True}), replace(evidence, **{name: False}))


MISSING = {
    "pain": None,
    "adherence": None,
    "days_since_last": None,
    "sessions": (),
    "body_mass_kg": None,
    "increment_kg": None,
    "next_step_known": False,
}


@given(evidences, st.sampled_from(sorted(MISSING)))
def test_a_missing_answer_never_makes_the_next_step_harder(evidence, name):
    """Not harder than today, and harder at all only where knowing would have been, too."""
    unknown = arbitrate(replace(evidence, **{name: MISSING[name]}))

    assert unknown.action is not Action.HARDER or arbitrate(evidence).action is Action.HARDER


@given(evidences, st.sampled_from(["pain", "adherence", "days_since_last", "sessions"]))
def test_without_pain_adherence_days_or_numbers_nothing_gets_harder(evidence, name):
    assert not harder(arbitrate(replace(evidence, **{name: MISSING[name]})).to_dose, evidence.dose)


@given(evidences, st.data())
def test_a_set_without_a_number_never_makes_the_next_step_harder(evidence, data):
    assume(evidence.sessions)
    hidden = list(evidence.sessions[-1].amounts)
    hidden[data.draw(st.integers(0, len(hidden) - 1))] = None
    last = replace(evidence.sessions[-1], amounts=tuple(hidden))

    assert arbitrate(replace(evidence, sessions=(*evidence.sessions[:-1], last))).action is not Action.HARDER


@given(evidences)
def test_reserve_not_given_is_never_harder(evidence):
    silent = tuple(replace(session, rir_last=None) for session in evidence.sessions)

    assert_never_harder(replace(evidence, sessions=silent), evidence)


@given(evidences)
def test_only_harder_makes_harder(evidence):
    decision = arbitrate(evidence)

    assert (decision.action is Action.HARDER) == harder(decision.to_dose, evidence.dose)


@given(evidences)
def test_same_and_hold_change_nothing(evidence):
    decision = arbitrate(evidence)

    assert decision.action not in (Action.SAME, Action.HOLD_PROGRESSION) or decision.to_dose == evidence.dose


@given(evidences)
def test_stop_means_no_sets(evidence):
    decision = arbitrate(evidence)

    assert (decision.action in (Action.STOP, Action.STOP_REFER)) == (decision.to_dose.sets == 0)


@given(evidences)
def test_a_warning_sign_always_stops(evidence):
    assert arbitrate(replace(evidence, locked=True)).action is Action.STOP_REFER
    assert arbitrate(replace(evidence, pain=PainAction.STOP_REFER)).action is Action.STOP_REFER


@given(evidences)
def test_nothing_is_suggested_for_a_barred_area(evidence):
    assert arbitrate(replace(evidence, barred=True)).to_dose.sets == 0


@given(evidences)
def test_nothing_exceeds_the_ceiling(evidence):
    to_dose = arbitrate(evidence).to_dose
    effort = effort_intensity(rir=to_dose.rir, breath_holding=evidence.breath_holding)

    assert to_dose.sets == 0 or effort <= evidence.ceiling


@given(evidences)
def test_nothing_exceeds_the_published_step(evidence):
    to_dose, dose = arbitrate(evidence).to_dose, evidence.dose
    system = max(0.0, (evidence.body_mass_kg or 0) * (evidence.share or 0) + (dose.load_kg or 0))

    assert (to_dose.load_kg or 0) - (dose.load_kg or 0) <= 0.10 * system + 1e-6
    assert to_dose.sets - dose.sets <= 1
    assert (to_dose.repetitions or 0) - (dose.repetitions or 0) <= 1
    assert (to_dose.step or 0) - (dose.step or 0) <= 1


@given(evidences)
def test_harder_changes_one_thing_only(evidence):
    decision = arbitrate(evidence)
    names = ("load_kg", "repetitions", "sets", "seconds", "step", "tempo", "rir", "rest_s", "metres", "range_of_motion")
    changed = [name for name in names if getattr(decision.to_dose, name) != getattr(evidence.dose, name)]

    assert decision.action is not Action.HARDER or len(changed) == 1


@given(evidences)
def test_a_decision_names_its_rule_reason_source_and_numbers(evidence):
    decision = arbitrate(evidence)

    assert decision.rule
    assert all(decision.reasons)
    assert all(decision.sources)
    assert decision.numbers["high"] == evidence.target.high


@given(evidences)
def test_the_same_evidence_gives_the_same_decision(evidence):
    assert arbitrate(evidence) == arbitrate(replace(evidence))


def test_two_over_the_goal_twice_raises_the_load():
    decision = arbitrate(READY)

    assert (decision.action, decision.rule, decision.to_dose.load_kg) == (Action.HARDER, "two_for_two", 42.5)


def test_two_over_the_goal_once_does_not():
    once = replace(READY, sessions=(Performance((10, 10, 11)), Performance((10, 10, 12))))

    assert arbitrate(once).action is Action.SAME


def test_top_of_the_range_with_its_reserve_raises_the_load_at_once():
    assert arbitrate(replace(READY, sessions=(Performance((10, 10, 10), 2),))).rule == "double_progression"


def test_top_of_the_range_without_its_reserve_does_not():
    assert arbitrate(replace(READY, sessions=(Performance((10, 10, 10), 1),))).action is Action.SAME


def test_a_raise_predicts_the_repetitions_to_expect():
    decision = arbitrate(replace(READY, sessions=(Performance((10, 10, 10), 2),)))

    assert decision.numbers["expected_repetitions"] == 9


def test_a_weighted_pull_up_takes_its_step_from_the_whole_system():
    pull_up = replace(READY, share=1.0, dose=replace(READY.dose, load_kg=10), increment_kg=1.25)

    assert arbitrate(pull_up).to_dose.load_kg == 11.25


def test_help_is_taken_away_like_load_is_added():
    assisted = replace(READY, share=1.0, dose=replace(READY.dose, load_kg=-20.0))

    assert arbitrate(assisted).to_dose.load_kg == -17.5


def test_a_jump_that_is_too_coarse_lowers_more_slowly_first():
    coarse = replace(READY, dose=replace(READY.dose, load_kg=4, tempo="2-0-1-0"), increment_kg=1)

    assert (arbitrate(coarse).rule, arbitrate(coarse).to_dose.tempo) == ("tempo_before_load", "3-0-1-0")


def test_a_coarse_jump_after_slow_lowering_is_left_to_the_coach():
    coarse = replace(READY, dose=replace(READY.dose, load_kg=4, tempo="4-0-1-0"), increment_kg=1)

    assert arbitrate(coarse).action is Action.SAME


def test_without_body_mass_the_size_of_a_step_is_unknown():
    assert arbitrate(replace(READY, share=1.0, body_mass_kg=None)).action is Action.SAME


def test_the_first_load_is_left_to_the_coach():
    assert arbitrate(replace(READY, dose=replace(READY.dose, load_kg=None))).action is Action.SAME


def test_what_cannot_be_made_easier_is_held():
    least = replace(
        READY,
        dose=Dose(repetitions=1, sets=1),
        target=Target(1, 1),
        sessions=(Performance((1,)),),
        pain=PainAction.REDUCE,
        increment_kg=None,
        ceiling=Intensity.VIGOROUS,
    )

    assert arbitrate(least).action is Action.HOLD_PROGRESSION


BODYWEIGHT = replace(READY, increment_kg=None, dose=replace(READY.dose, load_kg=None))


def test_without_load_the_next_step_takes_its_place():
    assert arbitrate(BODYWEIGHT).to_dose.step == 3


@pytest.mark.parametrize("change", [{"next_step_known": False}, {"dose": replace(BODYWEIGHT.dose, step=None)}])
def test_without_a_next_step_the_coach_decides(change):
    assert arbitrate(replace(BODYWEIGHT, **change)).action is Action.SAME


def test_an_easier_version_goes_down_the_line_from_anywhere():
    today = replace(BODYWEIGHT, dose=replace(BODYWEIGHT.dose, step=0), form=FormVerdict.EASIER)

    assert arbitrate(today).to_dose.step == -1


def test_without_an_easier_step_each_set_gets_shorter():
    lowest = replace(BODYWEIGHT, easier_step_known=False, form=FormVerdict.EASIER)

    assert (arbitrate(lowest).to_dose.step, arbitrate(lowest).to_dose.repetitions) == (2, 8)


EVEN = replace(
    READY,
    dose=Dose(repetitions=4, sets=6, rir=3),
    target=Target(4, 6, scheme=Scheme.SAME_EVERY_SET, max_sets=8),
    sessions=(Performance((4,) * 6), Performance((4,) * 6)),
    increment_kg=None,
)


def test_even_sets_add_a_set_first():
    assert arbitrate(EVEN).to_dose == replace(EVEN.dose, sets=7)


def test_even_sets_add_a_repetition_when_the_sets_are_full():
    full = replace(EVEN, dose=replace(EVEN.dose, sets=8), sessions=(Performance((4,) * 8),) * 2)

    assert arbitrate(full).to_dose.repetitions == 5


def test_even_sets_that_were_not_all_reached_stay():
    short = replace(EVEN, dose=replace(EVEN.dose, repetitions=5), sessions=(Performance((5, 5, 5, 5, 5, 4)),) * 2)

    assert arbitrate(short).action is Action.SAME


def test_even_sets_that_fall_away_hold():
    falling = replace(EVEN, sessions=(Performance((8, 8, 7, 6, 5, 4)),) * 2)

    assert (arbitrate(falling).action, arbitrate(falling).rule) == (Action.HOLD_PROGRESSION, "drop_off")


def test_even_sets_with_their_reserve_need_one_session():
    once = replace(EVEN, sessions=(Performance((4,) * 6, 3),))

    assert arbitrate(once).to_dose.sets == 7


FULL = replace(
    EVEN,
    dose=Dose(repetitions=6, sets=8, load_kg=20, step=2, rir=3),
    sessions=(Performance((6,) * 8),) * 2,
    next_step_known=True,
)


def test_full_even_sets_take_more_load_where_there_is_some():
    assert arbitrate(replace(FULL, increment_kg=1.0)).to_dose.load_kg == 21


def test_full_even_sets_take_the_next_step_where_there_is_no_load():
    assert arbitrate(FULL).to_dose.step == 3


def test_even_sets_of_holds_are_left_alone():
    assert arbitrate(replace(EVEN, dose=Dose(seconds=20, sets=6))).action is Action.SAME


def test_falling_away_inside_a_range_is_no_reason_to_hold():
    falling = replace(READY, sessions=(Performance((10, 9, 7)), Performance((10, 9, 8))))

    assert arbitrate(replace(falling, target=Target(6, 10))).action is Action.SAME


def test_one_bad_session_does_not_ease():
    assert arbitrate(replace(READY, sessions=(Performance((8, 7, 6)),))).action is Action.SAME


def test_one_set_only_has_no_drop_off():
    single = replace(EVEN, dose=replace(EVEN.dose, sets=1), sessions=(Performance((4,)), Performance((4,))))

    assert arbitrate(single).to_dose.sets == 2


HOLD = replace(
    READY,
    dose=Dose(seconds=20, sets=4, step=5, rir=None),
    target=Target(10, 20, Measure.SECONDS, max_sets=5),
    sessions=(Performance((20, 21, 20, 20)),) * 2,
    increment_kg=None,
)


def test_holds_at_the_top_of_the_range_twice_take_the_next_step():
    assert (arbitrate(HOLD).rule, arbitrate(HOLD).to_dose.step) == ("holds_to_the_top", 6)


def test_holds_without_a_next_step_add_a_set():
    assert arbitrate(replace(HOLD, next_step_known=False)).to_dose.sets == 5


def test_holds_without_a_line_add_load_where_there_is_some():
    loaded = replace(HOLD, dose=replace(HOLD.dose, step=None, load_kg=20), increment_kg=1.0)

    assert arbitrate(loaded).to_dose.load_kg == 21


def test_holds_without_a_line_add_a_set():
    assert arbitrate(replace(HOLD, dose=replace(HOLD.dose, step=None))).to_dose.sets == 5


def test_holds_never_grow_past_the_planned_sets():
    full = replace(HOLD, dose=replace(HOLD.dose, sets=5), sessions=(Performance((20,) * 5),) * 2, next_step_known=False)

    assert arbitrate(full).action is Action.SAME


def test_holds_reached_once_stay():
    assert arbitrate(replace(HOLD, sessions=HOLD.sessions[:1])).action is Action.SAME


@pytest.mark.parametrize(
    ("change", "action", "rule"),
    [
        ({"locked": True}, Action.STOP_REFER, "lock"),
        ({"pain": PainAction.STOP_REFER}, Action.STOP_REFER, "pain_refer"),
        ({"barred": True}, Action.STOP, "barred"),
        ({"ceiling": Intensity.NONE}, Action.STOP, "no_training"),
        ({"pain": PainAction.STOP_EXERCISE}, Action.STOP, "pain_stop"),
        ({"form": FormVerdict.STOP}, Action.STOP, "form_stop"),
        ({"ceiling": Intensity.LIGHT}, Action.STOP, "ceiling"),
        ({"ceiling": Intensity.MODERATE}, Action.EASIER, "ceiling"),
        ({"ceiling": Intensity.MODERATE, "breath_holding": True}, Action.STOP, "ceiling"),
        ({"days_since_last": 21}, Action.EASIER, "break"),
        ({"days_since_last": 8}, Action.HOLD_PROGRESSION, "break"),
        ({"days_since_last": 7}, Action.HARDER, "two_for_two"),
        ({"days_since_last": None}, Action.HOLD_PROGRESSION, "break"),
        ({"pain": PainAction.REDUCE}, Action.EASIER, "pain_reduce"),
        ({"form": FormVerdict.EASIER}, Action.EASIER, "form_easier"),
        ({"deload_due": True}, Action.EASIER, "deload"),
        ({"sessions": (Performance((8, 7, 6)),) * 2}, Action.EASIER, "failing"),
        ({"first_exposure": True}, Action.EASIER, "first_exposure"),
        ({"eccentric": True, "days_since_last": None}, Action.EASIER, "eccentric"),
        ({"eccentric": True, "days_since_return": 13}, Action.EASIER, "eccentric"),
        ({"eccentric": True, "days_since_return": 14}, Action.HARDER, "two_for_two"),
        ({"dose": replace(READY.dose, tempo="5-0-1-0"), "days_since_return": 2}, Action.EASIER, "eccentric"),
        ({"dose": replace(READY.dose, tempo="4-0-1-0"), "days_since_return": 2}, Action.HOLD_PROGRESSION, "returning"),
        ({"days_since_return": 13}, Action.HOLD_PROGRESSION, "returning"),
        ({"days_since_return": 14}, Action.HARDER, "two_for_two"),
        ({"pain": PainAction.CONTINUE_NO_PROGRESSION}, Action.HOLD_PROGRESSION, "pain_hold"),
        ({"pain": PainAction.PENDING}, Action.HOLD_PROGRESSION, "pain_hold"),
        ({"pain": None}, Action.HOLD_PROGRESSION, "pain_hold"),
        ({"form": FormVerdict.ADJUST}, Action.HOLD_PROGRESSION, "form_hold"),
        ({"form": FormVerdict.NOT_SEEN}, Action.HOLD_PROGRESSION, "form_hold"),
        ({"adherence": 0.74}, Action.HOLD_PROGRESSION, "adherence"),
        ({"adherence": None}, Action.HOLD_PROGRESSION, "adherence"),
        ({"sessions": ()}, Action.HOLD_PROGRESSION, "numbers"),
        ({"sessions": (Performance((12, 12)),) * 2}, Action.HOLD_PROGRESSION, "numbers"),
        ({"sessions": (Performance((12, 12, None)),) * 2}, Action.HOLD_PROGRESSION, "numbers"),
    ],
)
def test_each_guard_speaks_for_itself(change, action, rule):
    decision = arbitrate(replace(READY, **change))

    assert (decision.action, decision.rule) == (action, rule)


def test_lowering_work_after_two_weeks_away_is_small_again():
    lowering = replace(READY, eccentric=True, days_since_last=14, increment_kg=None, dose=Dose(repetitions=8, sets=4))

    to_dose = arbitrate(lowering).to_dose
    assert (to_dose.sets, to_dose.repetitions, to_dose.rir) == (2, 5, 4)


def test_lowering_work_in_a_weekly_rhythm_is_not_made_small():
    assert arbitrate(replace(READY, eccentric=True)).action is Action.HARDER


def test_reasons_of_all_guards_are_told():
    decision = arbitrate(replace(READY, pain=PainAction.REDUCE, form=FormVerdict.ADJUST))

    assert (decision.rule, len(decision.reasons)) == ("pain_reduce", 2)


@pytest.mark.parametrize(
    "change", [{"adherence": 1.1}, {"days_since_last": -1}, {"days_since_return": -1}, {"dose": Dose(sets=0)}]
)
def test_evidence_refuses_nonsense(change):
    with pytest.raises(ValueError, match=r"must|at least"):
        replace(READY, **change)


@pytest.mark.parametrize("bounds", [(0, 5), (6, 5)])
def test_target_refuses_an_empty_range(bounds):
    with pytest.raises(ValueError, match="upwards"):
        Target(*bounds)
