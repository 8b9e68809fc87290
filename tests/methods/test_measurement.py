import pytest

from methods import measurement
from tests.methods.registry import Checks, Tag

CHECKS = Checks("measurement")
A, HAND = Tag.ARITHMETIC, "worked by hand"

HOPKINS = "Hopkins 2000, Sports Med 30:1, five lifters (lecture notes)"
CHECKS.add(Tag.SECONDARY, HOPKINS, "typical_error", "five lifters", 2.9,
           lambda: measurement.typical_error([62, 78, 81, 55, 66], [67, 76, 87, 55, 63]), 0.05)  # fmt: skip

for sd, icc, sem, mdc in [(10, 0.97, 1.732051, 4.801000), (15, 0.90, 4.743416, 13.148080), (4.9, 0.95, 1.0957, 3.0370)]:
    CHECKS.add(A, HAND, "standard_error_of_measurement", f"SD {sd}, ICC {icc}", sem,
               lambda sd=sd, icc=icc: measurement.standard_error_of_measurement(sd, icc), 1e-4)  # fmt: skip
    CHECKS.add(A, HAND, "minimal_detectable_change", f"SEM {sem}", mdc,
               lambda sem=sem: measurement.minimal_detectable_change(sem), 1e-3)  # fmt: skip
CHECKS.add(
    A,
    HAND,
    "minimal_detectable_change_log_percent",
    "CV 4.2 %",
    12.08,
    lambda: measurement.minimal_detectable_change_log_percent(4.2),
    5e-3,
)


def test_measurement_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: measurement.typical_error([1], [1]), "at least two"),
        (lambda: measurement.standard_error_of_measurement(1, 1.1), "coefficient"),
        (lambda: measurement.minimal_detectable_change(-1), "negative"),
        (lambda: measurement.minimal_detectable_change_log_percent(-1), "negative"),
        (lambda: measurement.smallest_worthwhile_change([1]), "two people"),
    ],
)
def test_measurement_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
