import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import trend
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
    ],
)
def test_trend_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
