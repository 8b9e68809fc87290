import pytest

from methods import adherence
from methods.undefined import Undefined
from tests.methods.registry import Checks, Tag

CHECKS = Checks("adherence")
for done, due, expected in [
    (3, 4, (0.3006, 0.9544)),
    (9, 12, (0.4677, 0.9111)),
    (0, 4, (0.0, 0.4899)),
    (12, 12, (0.7575, 1.0)),
]:
    CHECKS.add(Tag.ARITHMETIC, "worked by hand", "wilson_interval", f"{done} of {due}", expected,
               lambda d=done, n=due: adherence.wilson_interval(d, n), 5e-5)  # fmt: skip


def test_adherence_agrees_with_the_outside():
    assert CHECKS.wrong() == []


def test_unknown_sessions_are_not_missed_ones():
    assert adherence.session_adherence(3, 1, unknown=6).share == 0.75


def test_partly_done_was_due_and_is_not_whole():
    partly = adherence.session_adherence(2, 1, partly=1)

    assert (partly.done, partly.due, partly.share) == (2, 4, 0.5)


@pytest.mark.parametrize("undefined", [adherence.session_adherence(0, 0).share, adherence.wilson_interval(0, 0),
                                       adherence.set_adherence([])])  # fmt: skip
def test_nothing_due_has_no_adherence(undefined):
    assert isinstance(undefined, Undefined)


def test_extra_sets_do_not_make_up_for_missed_ones():
    assert adherence.set_adherence([(20, 10), (0, 10)]) == 0.5


@pytest.mark.parametrize(("days", "gaps", "quiet"), [(9, [3, 3, 3], True), (8, [3, 3, 3], False), (99, [3, 3], False)])
def test_quiet_is_measured_by_own_gaps(days, gaps, quiet):
    assert adherence.quiet_for_longer_than_usual(days, gaps) == quiet


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: adherence.wilson_interval(5, 4), "between"),
        (lambda: adherence.wilson_interval(1, 4, confidence=1), "confidence"),
        (lambda: adherence.session_adherence(-1, 0), "negative"),
        (lambda: adherence.set_adherence([(-1, 1)]), "negative"),
        (lambda: adherence.quiet_for_longer_than_usual(-1, []), "negative"),
    ],
)
def test_adherence_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


def test_doses_are_compared_where_both_are_known():
    assert adherence.dose_adherence([(500, 1000), (900, None), (None, 1000)]) == 0.5


def test_no_doses_have_no_adherence():
    assert isinstance(adherence.dose_adherence([(None, 1000)]), Undefined)


@pytest.mark.parametrize(
    ("weeks", "below"),
    [([4] * 8 + [1, 1], True), ([4] * 8 + [2, 1], False), ([4] * 8 + [1], False), ([0] * 10, False)],
)
def test_two_weeks_below_half_of_the_own_usual_are_noticed(weeks, below):
    assert adherence.below_own_usual(weeks) == below
