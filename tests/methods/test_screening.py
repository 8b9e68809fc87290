from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods.referral import ReferFirst, refer_first_reason
from methods.screening import (
    Clearance,
    Intensity,
    Outcome,
    ScreeningCode,
    effort_intensity,
    is_regular_exerciser,
    maximal_test_allowed,
    refer_first,
    screen,
    with_clearance,
)
from tests.methods.registry import Checks, Tag

NONE, LIGHT, MODERATE, VIGOROUS = Intensity
CHECKS = Checks("screening")
ACSM_PAGE = "ACSM question-and-answer page 2017: what counts as regular"
for days, minutes, months, expected in [(3, 30, 3, True), (2, 60, 24, False), (3, 29, 24, False), (3, 45, 1.5, False)]:
    CHECKS.add(Tag.READ, ACSM_PAGE, "is_regular_exerciser", f"{days} d, {minutes} min, {months} months", expected,
               lambda d=days, m=minutes, n=months: is_regular_exerciser(d, m, n))  # fmt: skip
CHECKS.add(Tag.SECONDARY, "published screening forms: valid 12 months at most", "screen", "valid months of R1", True,
           lambda: answers(True, False, False).valid_months <= 12)  # fmt: skip

# Twelve invented people against the six cells (the cells from memory and two transcriptions).
CELLS = "Riebe et al. 2015, Med Sci Sports Exerc 47:2473, six cells from memory"
for number, regular, symptoms, disease, desired, clearance, code, outcome in [
    (1, False, False, False, MODERATE, None, "N1", Outcome.OK),
    (2, False, False, True, LIGHT, None, "N2", Outcome.CLEARANCE_NEEDED),
    (3, False, True, False, MODERATE, None, "N3", Outcome.CLEARANCE_NEEDED),
    (4, True, False, False, VIGOROUS, None, "R1", Outcome.OK),
    (5, True, False, True, MODERATE, None, "R2", Outcome.OK_MODERATE_ONLY),
    (6, True, False, True, VIGOROUS, 18, "R2", Outcome.CLEARANCE_NEEDED),
    (7, True, False, True, VIGOROUS, 6, "R2", Outcome.OK),
    (8, True, True, False, MODERATE, None, "R3", Outcome.STOP_REFER),
    (9, False, False, False, MODERATE, None, "N1", Outcome.OK),  # asthma only: lungs do not count
    (10, is_regular_exerciser(3, 45, 1.5), False, True, MODERATE, None, "N2", Outcome.CLEARANCE_NEEDED),
    (11, False, False, False, LIGHT, None, "N1", Outcome.OK),  # risk factors are not counted
    (12, is_regular_exerciser(2, 60, 36), False, False, MODERATE, None, "N1", Outcome.OK),
]:
    person = (regular, symptoms, disease, desired, clearance)
    CHECKS.add(Tag.MEMORY, CELLS, "screen", f"vignette {number}", (code, outcome),
               lambda person=person: (answers(*person).code, answers(*person).outcome))  # fmt: skip


def answers(regular, symptoms, disease, desired=MODERATE, clearance=None):
    return screen(regular=regular, symptoms=symptoms, disease=disease, desired=desired, clearance_age_months=clearance)


def test_screening_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(
    ("regular", "symptoms", "disease", "ceiling"),
    [
        (False, False, False, MODERATE),
        (False, False, True, NONE),
        (False, True, False, NONE),
        (False, True, True, NONE),
        (True, False, False, VIGOROUS),
        (True, False, True, MODERATE),
        (True, True, False, NONE),
        (True, True, True, NONE),
    ],
)
def test_ceiling_without_clearance(regular, symptoms, disease, ceiling):
    assert answers(regular, symptoms, disease, VIGOROUS).ceiling is ceiling


YES_NO_UNKNOWN = (True, False, None)
three = st.tuples(*[st.sampled_from(YES_NO_UNKNOWN)] * 3)
wishes = st.sampled_from([LIGHT, MODERATE, VIGOROUS])
ages = st.none() | st.floats(0, 40)
clearances = st.builds(Clearance, st.sampled_from(Intensity), st.floats(0, 40), st.booleans())


@pytest.mark.parametrize("given_answers", [a for a in product(YES_NO_UNKNOWN, repeat=3) if None in a])
def test_missing_answer_is_incomplete_and_allows_nothing(given_answers):
    decision = answers(*given_answers, VIGOROUS, 1)

    assert (decision.outcome, decision.ceiling, decision.code, decision.valid_months) == (
        Outcome.INCOMPLETE,
        NONE,
        None,
        0,
    )


@pytest.mark.parametrize("given_answers", [(None, True, False), (True, True, None), (None, None, True)])
def test_missing_answer_beside_a_sign_still_asks_a_professional(given_answers):
    assert answers(*given_answers).needs_clearance


def test_missing_answer_alone_asks_nobody():
    assert not answers(None, False, False).needs_clearance


@given(three, wishes, ages)
def test_symptoms_are_never_better_than_none(given_answers, desired, age):
    regular, _, disease = given_answers

    assert (
        answers(regular, True, disease, desired, age).ceiling <= answers(regular, False, disease, desired, age).ceiling
    )


@given(three, wishes, ages)
def test_disease_is_never_better_than_none(given_answers, desired, age):
    regular, symptoms, _ = given_answers

    assert (
        answers(regular, symptoms, True, desired, age).ceiling
        <= answers(regular, symptoms, False, desired, age).ceiling
    )


@given(three, wishes, ages)
def test_not_training_is_never_better_than_training(given_answers, desired, age):
    _, symptoms, disease = given_answers

    assert (
        answers(False, symptoms, disease, desired, age).ceiling
        <= answers(True, symptoms, disease, desired, age).ceiling
    )


@given(three, wishes, ages, st.integers(0, 2))
def test_an_answer_withheld_is_never_better(given_answers, desired, age, which):
    hidden = [*given_answers]
    hidden[which] = None

    assert answers(*hidden, desired, age).ceiling <= answers(*given_answers, desired, age).ceiling


@given(three, wishes, st.floats(0, 40), st.floats(0, 40))
def test_an_older_clearance_is_never_better(given_answers, desired, age, older):
    assert answers(*given_answers, desired, age + older).ceiling <= answers(*given_answers, desired, age).ceiling


@given(three, wishes, ages)
def test_ok_means_that_the_wish_lies_under_the_ceiling(given_answers, desired, age):
    decision = answers(*given_answers, desired, age)

    assert decision.outcome is not Outcome.OK or desired <= decision.ceiling


@given(three, wishes, ages)
def test_nothing_allowed_is_valid_for_nothing(given_answers, desired, age):
    decision = answers(*given_answers, desired, age)

    assert (decision.valid_months > 0) <= decision.may_train
    assert decision.valid_months <= 12


def test_cleared_known_disease_runs_out_with_its_clearance():
    assert answers(True, False, True, VIGOROUS, 7).valid_months == 5


def test_known_disease_wanting_vigorous_keeps_moderate_meanwhile():
    decision = answers(True, False, True, VIGOROUS)

    assert (decision.ceiling, decision.needs_clearance) == (MODERATE, True)


def test_beginner_wanting_vigorous_gets_moderate_only():
    assert answers(False, False, False, VIGOROUS).outcome is Outcome.OK_MODERATE_ONLY


@pytest.mark.parametrize("age", [12, 12.01])
def test_clearance_lasts_twelve_months(age):
    assert answers(True, False, True, VIGOROUS, age).ceiling == (VIGOROUS if age <= 12 else MODERATE)


@pytest.mark.parametrize(
    "call", [lambda: answers(True, False, False, NONE), lambda: answers(True, False, False, LIGHT, -1)]
)
def test_screen_refuses_nonsense(call):
    with pytest.raises(ValueError, match=r"desired|negative"):
        call()


@given(three, wishes, ages, clearances)
def test_clearance_never_lifts_above_what_the_clinician_named(given_answers, desired, age, clearance):
    decision = with_clearance(answers(*given_answers, desired, age), clearance, desired=desired)

    assert decision.ceiling <= clearance.limit


@given(three, wishes, ages, clearances)
def test_clearance_never_completes_missing_answers(given_answers, desired, age, clearance):
    decision = with_clearance(answers(*given_answers, desired, age), clearance, desired=desired)

    assert None not in given_answers or decision.ceiling is NONE


@given(wishes, st.booleans(), st.booleans(), clearances)
def test_symptoms_open_only_to_a_current_clearance_that_knows_of_them(desired, regular, disease, clearance):
    decision = with_clearance(answers(regular, True, disease, desired), clearance, desired=desired)

    assert decision.ceiling is NONE or (clearance.after_answers and clearance.is_current)


@given(wishes, st.booleans(), clearances)
def test_those_who_did_not_train_stay_at_moderate(desired, disease, clearance):
    decision = with_clearance(answers(False, False, disease, desired), clearance, desired=desired)

    assert decision.ceiling <= MODERATE


@given(three, wishes, clearances, st.floats(0, 30))
def test_an_older_word_is_never_better(given_answers, desired, clearance, older):
    decision = answers(*given_answers, desired)
    aged = Clearance(clearance.limit, clearance.age_months + older, clearance.after_answers)

    now = with_clearance(decision, clearance, desired=desired)
    assert with_clearance(decision, aged, desired=desired).ceiling <= now.ceiling


def test_clearance_opens_an_inactive_person_with_disease():
    decision = with_clearance(answers(False, False, True), Clearance(VIGOROUS, 2, False), desired=MODERATE)

    assert (decision.outcome, decision.ceiling, decision.valid_months) == (Outcome.OK, MODERATE, 10)


def test_clearance_opens_a_regular_person_with_symptoms_to_its_limit():
    assert (
        with_clearance(answers(True, True, False), Clearance(VIGOROUS, 1, True), desired=VIGOROUS).ceiling is VIGOROUS
    )


def test_an_expired_limit_still_limits():
    assert with_clearance(answers(True, False, False), Clearance(LIGHT, 30, True), desired=VIGOROUS).ceiling is LIGHT


def test_not_cleared_means_no_training_even_for_the_well():
    decision = with_clearance(answers(True, False, False), Clearance(NONE, 1, True), desired=LIGHT)

    assert (decision.outcome, decision.ceiling) == (Outcome.CLEARANCE_NEEDED, NONE)


def test_clearance_refuses_a_negative_age():
    with pytest.raises(ValueError, match="negative"):
        Clearance(LIGHT, -1, True)


def test_with_clearance_refuses_no_wish():
    with pytest.raises(ValueError, match="desired"):
        with_clearance(answers(True, False, False), Clearance(LIGHT, 1, True), desired=NONE)


@pytest.mark.parametrize("group", ReferFirst)
def test_those_who_ask_a_professional_first_never_train(group):
    decision = refer_first(answers(True, False, False, VIGOROUS), [group])

    assert (decision.ceiling, decision.outcome, decision.valid_months) == (NONE, Outcome.STOP_REFER, 0)


def test_no_group_changes_nothing():
    assert refer_first(answers(True, False, False), []) == answers(True, False, False)


@pytest.mark.parametrize("group", ReferFirst)
def test_every_group_has_words(group):
    assert refer_first_reason([group]).startswith("ask a professional first: ")


def test_every_cell_is_reached():
    codes = {answers(*a).code for a in product((True, False), repeat=3)}

    assert codes == set(ScreeningCode)


@pytest.mark.parametrize(
    ("rpe", "rir", "expected"),
    [
        (6, None, MODERATE), (6.5, None, VIGOROUS), (3, None, LIGHT), (None, 3, MODERATE), (None, 2.5, VIGOROUS),
        (None, None, VIGOROUS), (6, 2, VIGOROUS), (7, 3, VIGOROUS), (6, 4, MODERATE), (None, 0, VIGOROUS),
    ],
)  # fmt: skip
def test_effort_maps_to_an_intensity(rpe, rir, expected):
    assert effort_intensity(rpe=rpe, rir=rir) is expected


def test_held_breath_is_vigorous():
    assert effort_intensity(rpe=2, breath_holding=True) is VIGOROUS


def test_mobility_without_load_is_light():
    assert effort_intensity(unloaded=True) is LIGHT


@pytest.mark.parametrize("effort", [{"rir": 0}, {"rpe": 8}])
def test_stated_effort_counts_even_without_load_or_in_a_warm_up(effort):
    assert effort_intensity(unloaded=True, **effort) is VIGOROUS
    assert effort_intensity(warm_up=True, **effort) is VIGOROUS


def test_a_warm_up_is_moderate_by_what_it_is():
    assert effort_intensity(warm_up=True) is MODERATE
    assert effort_intensity(warm_up=True, unloaded=True) is LIGHT
    assert effort_intensity(warm_up=True, breath_holding=True) is VIGOROUS


@pytest.mark.parametrize("arguments", [{"rpe": 0}, {"rpe": 11}, {"rir": -1}])
def test_effort_refuses_numbers_off_the_scale(arguments):
    with pytest.raises(ValueError, match="must"):
        effort_intensity(**arguments)


@given(st.none() | st.floats(1, 10), st.none() | st.floats(0, 10), st.floats(0, 5))
def test_less_in_reserve_is_never_gentler(rpe, rir, more):
    if rir is not None:
        assert effort_intensity(rpe=rpe, rir=rir) >= effort_intensity(rpe=rpe, rir=rir + more)


@pytest.mark.parametrize("ceiling", Intensity)
def test_tests_to_the_limit_need_a_vigorous_ceiling(ceiling):
    assert maximal_test_allowed(ceiling) == (ceiling is VIGOROUS)
