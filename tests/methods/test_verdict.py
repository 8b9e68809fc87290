from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods.undefined import Undefined
from methods.verdict import StepExposure, Verdict, judge_trend, steps_climbed, time_on_step


def test_verdict_refuses_values_that_are_not_positive():
    with pytest.raises(ValueError, match="positive"):
        judge_trend([(0, 0)], 1)


def steady(rate_percent, weeks=16, noise=(0.0, 1.0, -1.0, 0.5, -0.5)):
    return [(7 * w, 100 * exp((rate_percent * w + noise[w % len(noise)]) / 100)) for w in range(weeks)]


@pytest.mark.parametrize(
    ("rate", "training_weeks", "verdict"),
    [
        (1.0, 10, Verdict.PROGRESSING),
        (0.0, 10, Verdict.STALLED),
        (0.0, None, Verdict.STALLED),
        (-1.0, 10, Verdict.DECLINING),
    ],
)
def test_a_clear_series_gets_its_verdict(rate, training_weeks, verdict):
    assert judge_trend(steady(rate), training_weeks).verdict is verdict


def test_little_data_says_what_is_missing():
    assert judge_trend(steady(1, weeks=5), 10).reason == "not enough data: have 5 of 8 exposures over 4.0 of 8 weeks"


def test_nothing_is_not_enough():
    assert judge_trend([], 10).verdict is Verdict.NOT_ENOUGH_DATA


def test_a_wild_series_is_too_noisy_to_tell():
    wild = [(7 * w, 100 if w % 2 else 135) for w in range(14)]

    assert judge_trend(wild, 10).verdict is Verdict.UNCLEAR


def test_a_plateau_seen_once_waits_for_next_weeks_look():
    series = steady(0, weeks=8)

    assert judge_trend(series, 10, as_of_day=7 * 7).verdict is not Verdict.STALLED


def test_a_sudden_drop_is_a_decline():
    series = steady(0.5, weeks=14)
    fallen = series[:-3] + [(day, value * 0.85) for day, value in series[-3:]]

    assert judge_trend(fallen, 14).verdict is Verdict.DECLINING


def test_windows_are_weeks_and_not_counts():
    often = [(2.0 * i, 100 + (i % 3)) for i in range(20)]  # 20 exposures in under six weeks

    assert judge_trend(often, 10).verdict is Verdict.NOT_ENOUGH_DATA


@given(st.permutations(steady(0.4, weeks=12)))
def test_order_of_the_exposures_does_not_matter(series):
    assert judge_trend(series, 10) == judge_trend(steady(0.4, weeks=12), 10)


def test_time_on_a_step_needs_hard_sets():
    easy = [StepExposure(day, 4, 8, 4) for day in (0, 7, 14, 21, 28)]

    assert not time_on_step(easy).no_more


def test_time_on_a_step_ends_with_a_better_set():
    better = [StepExposure(day, 4, 8, 1) for day in (0, 7, 14, 21)] + [StepExposure(28, 4, 9, 1)]

    assert not time_on_step(better).no_more


def test_time_on_a_step_starts_when_the_step_does():
    seen = [StepExposure(0, 3, 12, 1), StepExposure(7, 4, 6, 1), StepExposure(14, 4, 7, 1)]

    assert (time_on_step(seen).step, time_on_step(seen).weeks) == (4, 1)


@pytest.mark.parametrize("describe", [time_on_step, steps_climbed])
def test_no_sessions_have_no_step(describe):
    assert isinstance(describe([]), Undefined)
