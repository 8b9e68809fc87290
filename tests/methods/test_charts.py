import pytest

from methods import charts
from tests.methods.registry import Checks, Tag

CHECKS = Checks("charts")
A, HAND = Tag.ARITHMETIC, "worked by hand"

NIST = "NIST/SEMATECH e-Handbook 6.3.2.3 and 6.3.2.4"
EWMA_DATA = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4,
             53.6, 52.1]  # fmt: skip
CUSUM_DATA = [
    324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
    324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
]  # fmt: skip


def nist_ewma():
    return charts.ewma_chart(EWMA_DATA, centre=50, sigma=2.0539, weight=0.3)


def nist_cusum():
    return charts.cusum(CUSUM_DATA, target=325, slack=0.3175, limit=4.1959)


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

CHECKS.add(
    Tag.MEMORY,
    "Montgomery's table",
    "cusum_average_run_length",
    "h 4, no shift",
    168,
    lambda: charts.cusum_average_run_length(0, slack=0.5, limit=4),
    0.5,
)
CHECKS.add(
    Tag.MEMORY,
    "Montgomery's table",
    "cusum_average_run_length",
    "h 4, 1 sigma",
    8.38,
    lambda: charts.cusum_average_run_length(1, slack=0.5, limit=4),
    0.01,
)
CHECKS.add(
    Tag.MEMORY,
    "Montgomery's table",
    "cusum_average_run_length",
    "h 5, no shift",
    465,
    lambda: charts.cusum_average_run_length(0, slack=0.5, limit=5),
    0.6,
)
for limit, row in {
    4: (168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.62, 2.19, 1.71),
    5: (465, 139.5, 38.0, 17.05, 10.38, 5.75, 4.01, 3.11, 2.57, 2.01),
}.items():
    CHECKS.add(Tag.MEMORY, "Montgomery's table, recomputed", "cusum_average_run_length", f"h {limit}, ten shifts", row,
               lambda h=limit: tuple(charts.cusum_average_run_length(s, slack=0.5, limit=h)
                                     for s in (0, .25, .5, .75, 1, 1.5, 2, 2.5, 3, 4)), 0.6)  # fmt: skip
for weight, width, row in [
    (0.05, 2.615, (500, 28.8, 11.4, 5.22, 3.50)), (0.10, 2.814, (500, 31.3, 10.3, 4.36, 2.87)),
    (0.20, 2.962, (500, 41.8, 10.5, 3.74, 2.38)), (0.25, 2.998, (500, 48.3, 11.1, 3.61, 2.26)),
    (0.40, 3.054, (500, 71.2, 14.3, 3.52, 2.02)),
]:  # fmt: skip
    CHECKS.add(Tag.MEMORY, "Lucas & Saccucci 1990, recomputed", "ewma_average_run_length", f"{weight}, {width}", row,
               lambda w=weight, x=width: tuple(charts.ewma_average_run_length(s, weight=w, width=x)
                                               for s in (0, .5, 1, 2, 3)), 0.5)  # fmt: skip
for count, expected in [(1, 1.848510), (2, 2.256394), (3, 2.431406), (10, 2.587399)]:
    CHECKS.add(A, HAND, "ewma_half_width", f"value {count}", expected,
               lambda n=count: charts.ewma_half_width(n, sigma=2.0539, weight=0.3), 1e-6)  # fmt: skip
CHECKS.add(
    Tag.SECONDARY,
    NIST,
    "cusum",
    "lower sums 2, 4, 7, 9, 10, 11",
    (0.0075, 0.3325, 0.5575, 0.1725, 0.2550, 0.3125),
    lambda: tuple(nist_cusum().low[i - 1] for i in (2, 4, 7, 9, 10, 11)),
    0.005,
)
STEADY = [80, 81.5, 80.8, 83, 83.9, 83.2, 85.4, 86.1]
CHECKS.add(A, "own recursion", "local_level", "steady gain, R 1, Q 0.1",
           (80, 80.78571, 80.79120, 81.51176, 82.22547, 82.50334, 83.30873, 84.07447),
           lambda: charts.local_level(STEADY, noise_variance=1, step_variance=0.1).levels, 1e-5)  # fmt: skip
CHECKS.add(A, "own recursion", "local_level", "variance after eight values", 0.274334,
           lambda: charts.local_level(STEADY, noise_variance=1, step_variance=0.1).variance, 1e-6)  # fmt: skip
for q, gain in [(0.01, 0.095125), (0.1, 0.270156), (0.5, 0.5), (1.0, 0.618034)]:
    CHECKS.add(A, "golden ratio at q 1", "local_level", f"steady gain at q {q}", gain,
               lambda q=q: charts.local_level([0.0] * 400 + [1.0], noise_variance=1, step_variance=q).levels[-1],
               1e-5)  # fmt: skip


def test_charts_agree_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: charts.ewma_chart([1], centre=0, sigma=0, weight=0.3), "positive"),
        (lambda: charts.cusum([1], target=0, slack=0, limit=0), "positive"),
        (lambda: charts.ewma_half_width(0, sigma=1, weight=0.3), "at least 1"),
        (lambda: charts.ewma_average_run_length(0, weight=1.1, width=3), "0 to 1"),
        (lambda: charts.local_level([], noise_variance=1, step_variance=0), "at least one"),
        (lambda: charts.local_level([1], noise_variance=0, step_variance=0), "positive"),
    ],
)
def test_charts_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
