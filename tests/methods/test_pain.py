from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods.pain import (
    CAUTION,
    PainAction,
    monitor_pain,
    most_cautious,
    pain_change_farrar,
    pain_improvement_salaffi,
    soreness_takes_pain_path,
    week_mean_change,
    worse_by_two_points,
)
from methods.referral import ReferFirst
from methods.undefined import Undefined
from tests.methods.registry import Checks, Tag

CHECKS = Checks("pain")
# What the 2007 trial allowed, as two independent notes quote it.
SILBERNAGEL = "Silbernagel et al. 2007, Am J Sports Med 35:897 (quoted in two notes)"
for case, arguments, expected in [
    ("5 while doing it may go on", (5, 0, "usual", 0, False), True),
    ("5 right after may go on when settled by morning", (2, 5, "usual", 0, False), True),
    ("not settled by morning may not", (2, 2, "raised", 0, False), False),
    ("rising from week to week may not", (2, 2, "usual", 1, False), False),
    ("6 while doing it may not", (6, 0, "usual", 0, False), False),
]:
    CHECKS.add(Tag.SECONDARY, SILBERNAGEL, "monitor_pain", case, expected,
               lambda a=arguments: monitor_pain(*a).action.value.startswith("continue"))  # fmt: skip
FARRAR = "Farrar et al. 2001, Pain 94:149 (2 points or 30 %)"
for before, now, expected in [(6, 4, (True, True)), (8, 6, (True, False)), (3, 2, (False, True))]:
    CHECKS.add(Tag.READ, FARRAR, "pain_change_farrar", f"{before} to {now}", expected,
               lambda b=before, n=now: (pain_change_farrar(b, n).meets_two_points,
                                        pain_change_farrar(b, n).meets_thirty_percent))  # fmt: skip
SALAFFI = "Salaffi et al. 2004, Eur J Pain 8:283"
for before, now, expected in [
    (7, 6, "slightly better"),
    (6, 4, "much better"),
    (5, 5, "not better"),
    (8, 6, "much better"),
    (3, 2, "much better"),
]:
    CHECKS.add(Tag.READ, SALAFFI, "pain_improvement_salaffi", f"{before} to {now}", expected,
               lambda b=before, n=now: pain_improvement_salaffi(b, n))  # fmt: skip
for case, arguments, row in [
    ("2, 2", (2, 2, "usual", 0, False), 7),
    ("4, 3", (4, 3, "usual", 0, False), 6),
    ("5, 5", (5, 5, "usual", 0, False), 6),
    ("6, 2", (6, 2, "usual", 0, False), 2),
    ("4, 6", (4, 6, None, None, False), 3),
    ("raised", (3, 2, "raised", 0, False), 4),
    ("week up", (2, 2, "usual", 1, False), 5),
    ("red flag", (1, 1, "usual", 0, True), 1),
    ("open", (4, 4, None, 0, False), 9),
    ("first week", (1, 1, "usual", None, False), 9),
    ("raised in the first week", (1, None, "raised", None, None), 4),
    ("0, 4", (0, 4, "usual", 0, False), 8),
]:
    CHECKS.add(Tag.PRACTICE, "stricter zones, house rule", "monitor_pain", case, row,
               lambda a=arguments: monitor_pain(*a).row)  # fmt: skip
for group in (ReferFirst.POST_OPERATIVE, ReferFirst.NERVE_SIGNS, ReferFirst.NEW_INJURY, ReferFirst.MINOR,
              ReferFirst.SUSPECTED_BONE_STRESS, ReferFirst.LOCKED_JOINT, ReferFirst.PREGNANT):  # fmt: skip
    CHECKS.add(Tag.PRACTICE, "whom the table was never tested on; who of them asks first is a house rule",
               "monitor_pain", f"row 0, {group.value}", (0, "stop_refer"),
               lambda g=group: (monitor_pain(0, 0, "usual", 0, False, [g]).row,
                                monitor_pain(0, 0, "usual", 0, False, [g]).action.value))  # fmt: skip


def test_pain_agrees_with_the_outside():
    assert CHECKS.wrong() == []


STRICTNESS = {
    PainAction.STOP_REFER: 0,
    PainAction.STOP_EXERCISE: 1,
    PainAction.REDUCE: 2,
    PainAction.PENDING: 3,
    PainAction.CONTINUE_NO_PROGRESSION: 3,
    PainAction.CONTINUE: 4,
}
ratings = st.integers(0, 10)
maybe = st.none() | ratings
mornings = st.sampled_from(["usual", "raised"])
weekly = st.floats(-3, 3)


def freedom(*arguments, **more):
    return STRICTNESS[monitor_pain(*arguments, **more).action]


@given(maybe, maybe, st.none() | mornings, st.none() | weekly)
def test_a_warning_sign_always_refers(during, after, morning, change):
    assert monitor_pain(during, after, morning, change, True).action is PainAction.STOP_REFER


@given(maybe, maybe, st.none() | mornings, st.none() | weekly, st.none() | st.booleans(), st.sampled_from(ReferFirst))
def test_an_excluded_group_never_continues(during, after, morning, change, flag, group):
    decision = monitor_pain(during, after, morning, change, flag, [group])

    assert (decision.action, decision.refer) == (PainAction.STOP_REFER, True)


ALL_RATINGS = [None, *range(11)]
GROUPS = [[], *([group] for group in ReferFirst)]
CHANGES = [None, -1.0, 0.0, 0.5, 1.0]


def crossings():
    """All that the table can be asked, with both sides of the week's limit; the groups one by one."""
    told = product(ALL_RATINGS, ALL_RATINGS, ["usual", "raised", None], CHANGES, [True, False, None], GROUPS)
    return [(*case, monitor_pain(*case)) for case in told]


def test_nothing_goes_on_from_a_warning_sign_an_excluded_group_or_an_open_question():
    goes_on, wrong = 0, []
    for *told, change, flag, groups, decision in crossings():
        if not decision.action.value.startswith("continue"):
            continue
        goes_on += 1
        is_open = flag is not False or groups or change is None or None in told
        if is_open or "raised" in told or max(told[:2]) > 5 or change >= 1:
            wrong.append((told, change, flag, groups, decision))

    assert wrong == []
    # 0 to 5 during and after, the morning as usual, and a week that rose by less than one point.
    assert goes_on == 6 * 6 * 3


@given(ratings, ratings, mornings, weekly, st.integers(0, 10))
def test_more_pain_while_doing_it_is_never_freer(during, after, morning, change, more):
    worse = min(10, during + more)

    assert freedom(worse, after, morning, change, False) <= freedom(during, after, morning, change, False)


@given(ratings, ratings, mornings, weekly, st.integers(0, 10))
def test_more_pain_right_after_is_never_freer(during, after, morning, change, more):
    worse = min(10, after + more)

    assert freedom(during, worse, morning, change, False) <= freedom(during, after, morning, change, False)


@given(ratings, ratings, mornings, weekly, st.floats(0, 3))
def test_a_worse_week_or_morning_is_never_freer(during, after, morning, change, more):
    assert freedom(during, after, "raised", change + more, False) <= freedom(during, after, morning, change, False)


@given(ratings, ratings, mornings, weekly, st.integers(0, 4))
def test_a_missing_answer_never_allows_progression(during, after, morning, change, which):
    full = [during, after, morning, change, False]
    full[which] = None

    assert not monitor_pain(*full).allows_progression


def test_stopping_twice_refers():
    assert monitor_pain(7, 3, "usual", 0, False, earlier_stops=1).refer


def test_stopping_once_does_not():
    assert not monitor_pain(7, 3, "usual", 0, False).refer


@pytest.mark.parametrize("rating", [-1, 11, 2.5, True])
@pytest.mark.parametrize("place", [0, 1])
def test_ratings_off_the_scale_are_refused(rating, place):
    arguments = [1, 1, "usual", 0, False]
    arguments[place] = rating

    with pytest.raises(ValueError, match="0 to 10"):
        monitor_pain(*arguments)


def test_an_unknown_morning_is_refused():
    with pytest.raises(ValueError, match="next_morning"):
        monitor_pain(1, 1, "fine", 0, False)


def test_an_unknown_group_is_refused():
    with pytest.raises(ValueError, match="not a valid"):
        monitor_pain(1, 1, "usual", 0, False, ["left_handed"])


FINE = {"level": 4, "in_joint": False, "sharp": False, "hours": 40}


def test_ordinary_soreness_stays_soreness():
    assert not soreness_takes_pain_path(**FINE)


@pytest.mark.parametrize(
    "change",
    [
        {"level": 6},
        {"in_joint": True},
        {"sharp": True},
        {"hours": 73},
        {"level": None},
        {"in_joint": None},
        {"sharp": None},
        {"hours": None},
    ],
)
def test_soreness_with_a_doubt_takes_the_pain_path(change):
    assert soreness_takes_pain_path(**FINE | change)


def test_change_from_no_pain_has_no_percentage():
    assert isinstance(pain_change_farrar(0, 3).percent, Undefined)


@pytest.mark.parametrize(("before", "now", "worse"), [(2, 4, True), (2, 3, False), (4, 2, False)])
def test_two_points_worse_is_mentioned(before, now, worse):
    assert worse_by_two_points(before, now) == worse


@pytest.mark.parametrize("weeks", [([], [3]), ([3], []), ([], [])])
def test_a_week_without_ratings_keeps_the_table_pending(weeks):
    assert week_mean_change(*weeks) is None


def test_the_most_cautious_answer_stands():
    for more, less in pairwise(CAUTION):
        assert most_cautious([less, more]) is more


def test_no_report_is_no_pain():
    assert most_cautious([]) is PainAction.CONTINUE


@pytest.mark.parametrize("change", [float("nan"), float("inf")])
def test_a_week_that_is_no_number_is_refused(change):
    with pytest.raises(ValueError, match="finite"):
        monitor_pain(1, 1, "usual", change, False)
