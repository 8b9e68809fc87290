from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import trend
from methods.trend import StepExposure, Verdict
from methods.undefined import Undefined
from tests.methods.registry import Checks, Tag

CHECKS = Checks("trend")
A, HAND = Tag.ARITHMETIC, "worked by hand"

TABLE = "printed Mann-Kendall table (environmental-data help page)"
for n, expected in [(4, 6), (5, 8), (6, 11), (7, 13), (8, 16), (9, 18), (10, 21)]:
    CHECKS.add(Tag.READ, TABLE, "mann_kendall_critical_s", f"n {n}, p <= .05", expected,
               lambda n=n: trend.mann_kendall_critical_s(n, 0.05))  # fmt: skip
CHECKS.add(Tag.READ, TABLE, "mann_kendall_critical_s", "n 10, .01", 27, lambda: trend.mann_kendall_critical_s(10, 0.01))

HOLY_CROSS = "college note: a Mann-Kendall example by hand"
NOTE = [12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7]
for name, expected, tolerance in [("s", 54, 0), ("variance", 332.6667, 1e-4), ("z", 2.9058, 1e-4)]:
    CHECKS.add(Tag.READ, HOLY_CROSS, "mann_kendall", name, expected,
               lambda name=name: getattr(trend.mann_kendall(NOTE), name), tolerance)  # fmt: skip
CHECKS.add(
    Tag.READ, HOLY_CROSS, "mann_kendall", "one-sided p", 0.0018, lambda: trend.mann_kendall(NOTE).p_two_sided / 2, 5e-5
)

HOPKINS = "Hopkins 2000, Sports Med 30:1, five lifters (lecture notes)"
CHECKS.add(Tag.SECONDARY, HOPKINS, "typical_error", "five lifters", 2.9,
           lambda: trend.typical_error([62, 78, 81, 55, 66], [67, 76, 87, 55, 63]), 0.05)  # fmt: skip

NIST = "NIST/SEMATECH e-Handbook 6.3.2.3 and 6.3.2.4"
EWMA_DATA = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4,
             53.6, 52.1]  # fmt: skip
CUSUM_DATA = [
    324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
    324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
]  # fmt: skip


def nist_ewma():
    return trend.ewma_chart(EWMA_DATA, centre=50, sigma=2.0539, weight=0.3)


def nist_cusum():
    return trend.cusum(CUSUM_DATA, target=325, slack=0.3175, limit=4.1959)


CHECKS.add(Tag.SECONDARY, NIST, "ewma_chart", "upper limit", 52.5884, lambda: nist_ewma().upper, 5e-5)
CHECKS.add(Tag.SECONDARY, NIST, "ewma_chart", "lower limit", 47.4115, lambda: nist_ewma().lower, 1e-4)
PRINTED_EWMA = (50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
                49.92, 50.73, 51.23, 51.94, 51.99)  # fmt: skip
CHECKS.add(
    Tag.SECONDARY, NIST, "ewma_chart", "twenty printed values", PRINTED_EWMA, lambda: nist_ewma().smoothed, 0.0051
)
CHECKS.add(Tag.SECONDARY, NIST, "ewma_chart", "no signal", True,
           lambda: all(nist_ewma().lower < z < nist_ewma().upper for z in nist_ewma().smoothed))  # fmt: skip
CHECKS.add(
    Tag.SECONDARY,
    NIST,
    "cusum",
    "upper sums 13 to 20",
    (3.0075, 4.94, 7.4475, 10.63, 11.9875, 14.445, 16.0025, 19.035),
    lambda: nist_cusum().high[12:],
    0.005,
)
CHECKS.add(Tag.SECONDARY, NIST, "cusum", "first signal", 14, lambda: nist_cusum().first_signal)
CHECKS.add(Tag.SECONDARY, NIST, "cusum", "lower sum 8", 0.7150, lambda: nist_cusum().low[7], 0.005)
CHECKS.add(Tag.SECONDARY, NIST, "cusum", "upper sum 5", 0.0325, lambda: nist_cusum().high[4], 0.005)

STEELE = "Steele et al. 2023, Res Q Exerc Sport 94:913"
for weeks, low, high in [(52, 30, 50), (312, 50, 60)]:
    CHECKS.add(Tag.READ, STEELE, "growth_percent_steele", f"week {weeks} inside {low} to {high} %", True,
               lambda w=weeks, lo=low, hi=high: lo <= trend.growth_percent_steele(w) <= hi)  # fmt: skip

CHECKS.add(
    Tag.MEMORY,
    "Montgomery's table",
    "cusum_average_run_length",
    "h 4, no shift",
    168,
    lambda: trend.cusum_average_run_length(0, slack=0.5, limit=4),
    0.5,
)
CHECKS.add(
    Tag.MEMORY,
    "Montgomery's table",
    "cusum_average_run_length",
    "h 4, 1 sigma",
    8.38,
    lambda: trend.cusum_average_run_length(1, slack=0.5, limit=4),
    0.01,
)
CHECKS.add(
    Tag.MEMORY,
    "Montgomery's table",
    "cusum_average_run_length",
    "h 5, no shift",
    465,
    lambda: trend.cusum_average_run_length(0, slack=0.5, limit=5),
    0.6,
)

SERIES_C = [60, 59, 61, 58, 57, 58.5, 55.5, 56, 54]
CHECKS.add(
    A,
    HAND,
    "theil_sen",
    "series C",
    (-0.75, 61.0),
    lambda: (trend.theil_sen(range(9), SERIES_C).slope, trend.theil_sen(range(9), SERIES_C).intercept),
    1e-9,
)
for n, s, expected in [(5, 6, 0.1166667), (8, 16, 0.0305060), (10, 21, 0.0362751), (4, 2, 0.375)]:
    CHECKS.add(A, "count of permutations", "mann_kendall_upper_p", f"n {n}, S {s}", expected,
               lambda n=n, s=s: trend.mann_kendall_upper_p(n, s), 1e-6)  # fmt: skip
for sd, icc, sem, mdc in [(10, 0.97, 1.732051, 4.801000), (15, 0.90, 4.743416, 13.148080), (4.9, 0.95, 1.0957, 3.0370)]:
    CHECKS.add(A, HAND, "standard_error_of_measurement", f"SD {sd}, ICC {icc}", sem,
               lambda sd=sd, icc=icc: trend.standard_error_of_measurement(sd, icc), 1e-4)  # fmt: skip
    CHECKS.add(A, HAND, "minimal_detectable_change", f"SEM {sem}", mdc,
               lambda sem=sem: trend.minimal_detectable_change(sem), 1e-3)  # fmt: skip
CHECKS.add(
    A,
    HAND,
    "minimal_detectable_change_log_percent",
    "CV 4.2 %",
    12.08,
    lambda: trend.minimal_detectable_change_log_percent(4.2),
    5e-3,
)
for week, expected in [(4, 1.734), (8, 0.917), (12, 0.616), (26, 0.280), (52, 0.136)]:
    CHECKS.add(A, HAND, "expected_rate_percent_per_week", f"week {week}", expected,
               lambda w=week: trend.expected_rate_percent_per_week(w), 5e-4)  # fmt: skip


def test_trend_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@given(st.integers(2, 12))
def test_exact_distribution_sums_to_one_at_the_bottom(n):
    assert trend.mann_kendall_upper_p(n, -n * (n - 1) // 2) == 1


def test_exact_interval_of_theil_sen_covers_as_often_as_promised():
    rank = trend.theil_sen(range(8), range(8), confidence=0.8)
    # P(S >= 12) = .0894 <= .10, so the bounds are the 9th slope from either end of 28.
    assert (rank.low, rank.high) == (1, 1)
    assert trend._exact_rank(8, 0.8) == (28 - 10) // 2


def test_too_few_values_have_a_slope_without_an_interval():
    line = trend.theil_sen([0, 1, 2, 3], [100, 101, 103, 102], confidence=0.95)

    assert (round(line.slope, 4), isinstance(line.low, Undefined)) == (0.8333, True)


@given(st.lists(st.floats(50, 150), min_size=6, max_size=10, unique=True), st.floats(-2, 2), st.floats(-50, 50))
def test_adding_a_line_adds_its_slope(values, slope, shift):
    times = list(range(len(values)))
    moved = [v + slope * t + shift for t, v in zip(times, values, strict=True)]

    assert trend.theil_sen(times, moved).slope == pytest.approx(trend.theil_sen(times, values).slope + slope, abs=1e-6)


def test_one_time_only_has_no_slope():
    assert isinstance(trend.theil_sen([3, 3], [1, 2]), Undefined)


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: trend.mann_kendall_upper_p(41, 0), "2 to 40"),
        (lambda: trend.mann_kendall([1, 2]), "three"),
        (lambda: trend.theil_sen([1], [1, 2]), "1 times"),
        (lambda: trend.theil_sen([1, 2], [1, 2], confidence=1), "confidence"),
        (lambda: trend.typical_error([1], [1]), "at least two"),
        (lambda: trend.standard_error_of_measurement(1, 1.1), "coefficient"),
        (lambda: trend.minimal_detectable_change(-1), "negative"),
        (lambda: trend.minimal_detectable_change_log_percent(-1), "negative"),
        (lambda: trend.smallest_worthwhile_change([1]), "two people"),
        (lambda: trend.ewma_chart([1], centre=0, sigma=0, weight=0.3), "positive"),
        (lambda: trend.cusum([1], target=0, slack=0, limit=0), "positive"),
        (lambda: trend.growth_percent_steele(-1), "negative"),
        (lambda: trend.expected_rate_percent_per_week(-1), "negative"),
        (lambda: trend.judge_trend([(0, 0)], 1), "positive"),
    ],
)
def test_trend_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


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
    assert trend.judge_trend(steady(rate), training_weeks).verdict is verdict


def test_little_data_says_what_is_missing():
    assert (
        trend.judge_trend(steady(1, weeks=5), 10).reason == "not enough data: have 5 of 8 exposures over 4.0 of 8 weeks"
    )


def test_nothing_is_not_enough():
    assert trend.judge_trend([], 10).verdict is Verdict.NOT_ENOUGH_DATA


def test_a_wild_series_is_too_noisy_to_tell():
    wild = [(7 * w, 100 if w % 2 else 135) for w in range(14)]

    assert trend.judge_trend(wild, 10).verdict is Verdict.UNCLEAR


def test_a_plateau_seen_once_waits_for_next_weeks_look():
    series = steady(0, weeks=8)

    assert trend.judge_trend(series, 10, as_of_day=7 * 7).verdict is not Verdict.STALLED


def test_a_sudden_drop_is_a_decline():
    series = steady(0.5, weeks=14)
    fallen = series[:-3] + [(day, value * 0.85) for day, value in series[-3:]]

    assert trend.judge_trend(fallen, 14).verdict is Verdict.DECLINING


def test_windows_are_weeks_and_not_counts():
    often = [(2.0 * i, 100 + (i % 3)) for i in range(20)]  # 20 exposures in under six weeks

    assert trend.judge_trend(often, 10).verdict is Verdict.NOT_ENOUGH_DATA


@given(st.permutations(steady(0.4, weeks=12)))
def test_order_of_the_exposures_does_not_matter(series):
    assert trend.judge_trend(series, 10) == trend.judge_trend(steady(0.4, weeks=12), 10)


def test_time_on_a_step_needs_hard_sets():
    easy = [StepExposure(day, 4, 8, 4) for day in (0, 7, 14, 21, 28)]

    assert not trend.time_on_step(easy).no_more


def test_time_on_a_step_ends_with_a_better_set():
    better = [StepExposure(day, 4, 8, 1) for day in (0, 7, 14, 21)] + [StepExposure(28, 4, 9, 1)]

    assert not trend.time_on_step(better).no_more


def test_time_on_a_step_starts_when_the_step_does():
    seen = [StepExposure(0, 3, 12, 1), StepExposure(7, 4, 6, 1), StepExposure(14, 4, 7, 1)]

    assert (trend.time_on_step(seen).step, trend.time_on_step(seen).weeks) == (4, 1)


@pytest.mark.parametrize("describe", [trend.time_on_step, trend.steps_climbed])
def test_no_sessions_have_no_step(describe):
    assert isinstance(describe([]), Undefined)
