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
PAIRS = [-340, 130, 496, 561, 713, 800, 851, 952, 1184, 1327]
CHECKS.add(Tag.READ, "statistics teaching page on Sen's slope", "theil_sen", "median of ten printed pair slopes", 756.5,
           lambda: trend.theil_sen([0, *[1] * len(PAIRS)], [0, *PAIRS]).slope)  # fmt: skip
STEADY = [80, 81.5, 80.8, 83, 83.9, 83.2, 85.4, 86.1]
PLATEAU = [100, 102.5, 101, 103, 102, 101.5, 103.5, 102, 101, 102.8]
PLATES = [70, 70, 72.5, 72.5, 72.5, 75, 75, 75, 77.5, 77.5]
BAD_DAY = [50, 51, 52, 40, 53, 54, 55, 56, 57]
for name, series, s, variance, slope, intercept in [
    ("A", STEADY, 24, 65.3333, 0.8, 80.3),
    ("B", PLATEAU, 9, 123, 0.166667, 101.25),
    ("C", SERIES_C, -26, 92, -0.75, 61),
    ("D", PLATES, 37, 115.6667, 0.833333, 70),
    ("E", BAD_DAY, 30, 92, 0.9375, 49.25),
    ("F", [100, 101, 103, 102], 4, 8.6667, 0.833333, 100.25),
    ("G", NOTE, 54, 332.6667, 0.566667, 11.966667),
]:
    CHECKS.add(A, "computed with libraries beforehand", "mann_kendall", f"series {name}: S, variance", (s, variance),
               lambda x=series: (trend.mann_kendall(x).s, trend.mann_kendall(x).variance), 5e-5)  # fmt: skip
    CHECKS.add(A, "computed with libraries beforehand", "theil_sen", f"series {name}: slope, intercept",
               (slope, intercept), lambda x=series: (trend.theil_sen(range(len(x)), x).slope,
                                                     trend.theil_sen(range(len(x)), x).intercept), 1e-6)  # fmt: skip
for name, series, p in [("A", STEADY, 0.001736), ("C", SERIES_C, 0.005886), ("E", BAD_DAY, 0.000854)]:
    CHECKS.add(A, "count of permutations", "mann_kendall", f"series {name}: exact two-sided p", p,
               lambda x=series: trend.mann_kendall(x).p_two_sided, 1e-6)  # fmt: skip
for n, row in {
    5: {2: 0.40833, 4: 0.24167, 8: 0.04167, 10: 0.00833},
    8: {10: 0.13755, 12: 0.08943, 14: 0.05434, 20: 0.00707},
    10: {15: 0.10819, 17: 0.07787, 19: 0.05416, 23: 0.02331},
}.items():
    CHECKS.add(
        A,
        "count of permutations",
        "mann_kendall_upper_p",
        f"n {n}, S {', '.join(map(str, row))}",
        tuple(row.values()),
        lambda n=n, row=row: tuple(trend.mann_kendall_upper_p(n, s) for s in row),
        6e-6,
    )
for level, row in {0.10: (6, 8, 9, 11, 12, 14, 17, 19, 20), 0.01: (10, 13, 17, 20, 24, 27, 31, 36)}.items():
    first = 13 - len(row)
    CHECKS.add(
        A,
        "count of permutations",
        "mann_kendall_critical_s",
        f"n {first} to 12, p <= {level}",
        row,
        lambda lv=level, n0=first: tuple(trend.mann_kendall_critical_s(n, lv) for n in range(n0, 13)),
    )


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
