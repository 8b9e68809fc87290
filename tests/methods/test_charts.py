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
CHECKS.add(Tag.SECONDARY, NIST, "cusum", "upper sum 5", 0.0325, lambda: nist_cusum().high[4], 0.005)

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


def test_charts_agree_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: charts.ewma_chart([1], centre=0, sigma=0, weight=0.3), "positive"),
        (lambda: charts.cusum([1], target=0, slack=0, limit=0), "positive"),
    ],
)
def test_charts_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
