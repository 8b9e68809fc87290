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
CHECKS.add(A, HAND, "typical_error", "Hopkins' lifters, to six places", 2.889637,
           lambda: measurement.typical_error([62, 78, 81, 55, 66], [67, 76, 87, 55, 63]), 1e-6)  # fmt: skip
CHECKS.add(A, HAND, "minimal_detectable_change", "Hopkins' lifters", 8.0097,
           lambda: measurement.minimal_detectable_change(2.889637), 3e-4)  # fmt: skip
CHECKS.add(A, HAND, "minimal_detectable_change", "SEM 1.732051 at 90 %", 4.029411,
           lambda: measurement.minimal_detectable_change(1.732051, confidence=0.90), 1e-3)  # fmt: skip
MITTER = "SEM of Mitter et al. 2022, PLoS One 17(5):e0268074"
for sem, expected in [(0.7, 1.94), (1.1, 3.05)]:
    CHECKS.add(A, MITTER, "minimal_detectable_change", f"{sem} repetitions", expected,
               lambda sem=sem: measurement.minimal_detectable_change(sem), 0.005)  # fmt: skip
CHECKS.add(A, "median CV of Grgic et al. 2020, Sports Med Open 6:31", "minimal_detectable_change", "4.2 %", 11.64,
           lambda: measurement.minimal_detectable_change(4.2), 0.005)  # fmt: skip
for sem, expected in [(3.44, 9.54), (3.52, 9.76)]:
    CHECKS.add(A, "SEM of Cleary et al. 2024, JOSPT Open (knee angle)", "minimal_detectable_change", f"{sem} degrees",
               expected, lambda sem=sem: measurement.minimal_detectable_change(sem), 0.005)  # fmt: skip
CHECKS.add(A, HAND, "standard_error_of_mean_difference", "4 %, three sessions each", 3.27,
           lambda: measurement.standard_error_of_mean_difference(4, 3), 0.005)  # fmt: skip


def test_measurement_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: measurement.typical_error([1], [1]), "at least two"),
        (lambda: measurement.standard_error_of_measurement(1, 1.1), "icc"),
        (lambda: measurement.minimal_detectable_change(-1), "negative"),
        (lambda: measurement.minimal_detectable_change_log_percent(-1), "negative"),
        (lambda: measurement.smallest_worthwhile_change([1]), "two people"),
        (lambda: measurement.standard_error_of_mean_difference(1, 0), "at least 1"),
        (lambda: measurement.own_smallest_change(-1), "negative"),
    ],
)
def test_measurement_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
