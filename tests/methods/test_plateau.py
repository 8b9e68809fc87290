from math import exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods.plateau import fell_together, judge_movements, plateau_evidence
from methods.undefined import Undefined
from methods.verdict import Verdict

NOISE = (0.0, 1.5, -1.5, 0.8, -0.8, 2.0, -2.0)


def series(stop_week=None, weeks=24, age=4, rate=0.10, shift=0):
    def grown(week):
        return rate * log(age + (week if stop_week is None else min(week, stop_week)) + 1)

    return [(7.0 * w, 100 * (1 + grown(w)) * exp(NOISE[(w + shift) % 7] / 100)) for w in range(weeks)]


def probability(movements, name="a", age=28):
    return plateau_evidence(movements, age, as_of_day=7.0 * 23)[name].probability


def test_a_stopped_movement_is_more_probably_stopped_than_a_growing_one():
    assert probability({"a": series(stop_week=6)}) > 0.6 > probability({"a": series()})


def test_others_that_stopped_too_strengthen_the_evidence():
    stopped = {name: series(stop_week=8, shift=i) for i, name in enumerate("abc")}

    assert probability(stopped) > probability({"a": stopped["a"]})


def test_others_that_grow_weaken_the_evidence():
    mixed = {"a": series(stop_week=8), "b": series(shift=2), "c": series(shift=4)}
    stopped = {name: series(stop_week=8, shift=2 * i) for i, name in enumerate("abc")}

    assert probability(mixed) < probability(stopped)


def test_too_little_says_what_is_missing():
    assert "have 3 of 6" in plateau_evidence({"a": series(weeks=3)}, 10, as_of_day=21.0)["a"].reason


def test_a_movement_without_data_leaves_the_others_alone():
    assert probability({"a": series(stop_week=6), "b": []}) == probability({"a": series(stop_week=6)})


def test_what_comes_after_the_look_is_ignored():
    early = plateau_evidence({"a": series(stop_week=6)}, 18, as_of_day=91.0)
    cut = plateau_evidence({"a": series(stop_week=6, weeks=14)}, 18, as_of_day=91.0)

    assert early == cut


@given(st.permutations(series(stop_week=8)))
def test_order_of_the_exposures_does_not_matter(points):
    assert probability({"a": points}) == pytest.approx(probability({"a": series(stop_week=8)}))


@given(st.floats(0.2, 5))
def test_the_unit_does_not_matter(factor):
    scaled = [(day, factor * value) for day, value in series(stop_week=8)]

    assert probability({"a": scaled}) == pytest.approx(probability({"a": series(stop_week=8)}), abs=1e-6)


def test_stalled_is_called_so_within_the_first_half_year():
    assert judge_movements({"a": series(stop_week=4)}, 24, as_of_day=161.0)["a"].verdict is Verdict.STALLED


def test_after_half_a_year_it_is_called_maintaining():
    assert judge_movements({"a": series(stop_week=4)}, 28, as_of_day=161.0)["a"].verdict is Verdict.MAINTAINING


def test_growth_is_progress():
    assert judge_movements({"a": series(rate=0.17, age=0)}, 24, as_of_day=161.0)["a"].verdict is Verdict.PROGRESSING


def test_unknown_training_age_is_the_length_of_the_record():
    known = judge_movements({"a": series(stop_week=4)}, 23, as_of_day=161.0)["a"]

    assert judge_movements({"a": series(stop_week=4)}, None, as_of_day=161.0)["a"].verdict is known.verdict


def test_nothing_known_is_not_enough():
    assert judge_movements({"a": []}, None, as_of_day=0.0)["a"].verdict is Verdict.NOT_ENOUGH_DATA


@pytest.mark.parametrize(("weeks", "value"), [(-1, 100.0), (4, 0.0)])
def test_plateau_refuses_impossible_arguments(weeks, value):
    with pytest.raises(ValueError, match=r"negative|positive"):
        plateau_evidence({"a": [(0.0, value)]}, weeks, as_of_day=7.0)


def test_evidence_is_undefined_rather_than_guessed():
    assert isinstance(plateau_evidence({"a": []}, 4, as_of_day=7.0)["a"], Undefined)


STEADY = [(3.5 * i, 100.0 + 2 * (i % 3)) for i in range(10)]
LOW = [(35.0, 90.0), (38.5, 91.0), (42.0, 90.0)]


def test_low_days_in_a_row_are_a_fall():
    assert fell_together({"a": STEADY + LOW}, as_of_day=42.0)


def test_one_bad_day_is_none():
    bad = {name: [*STEADY, (35.0, 101.0), (38.5, 102.0), (42.0, 85.0)] for name in "abc"}

    assert not fell_together(bad, as_of_day=42.0)


def test_a_fall_needs_a_history():
    assert not fell_together({"a": STEADY[:7] + LOW}, as_of_day=42.0)


def test_an_old_fall_is_not_news():
    assert not fell_together({"a": STEADY + LOW}, as_of_day=80.0)


def test_together_a_fall_shows_that_alone_would_not():
    small = [(35.0, 100.3), (38.5, 100.3), (42.0, 100.3)]

    assert not fell_together({"a": STEADY + small}, as_of_day=42.0)
    assert fell_together(dict.fromkeys("abcd", STEADY + small), as_of_day=42.0)


def test_a_fall_is_declining_in_the_movements_that_fell():
    verdicts = judge_movements({"a": STEADY + LOW, "b": STEADY[:4]}, 20, as_of_day=42.0)

    assert (verdicts["a"].verdict, verdicts["b"].verdict) == (Verdict.DECLINING, Verdict.NOT_ENOUGH_DATA)
