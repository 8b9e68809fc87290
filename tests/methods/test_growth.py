import pytest

from methods import growth
from tests.methods.registry import Checks, Tag

CHECKS = Checks("growth")
A, HAND = Tag.ARITHMETIC, "worked by hand"

STEELE = "Steele et al. 2023, Res Q Exerc Sport 94:913"
for weeks, low, high in [(52, 30, 50), (312, 50, 60)]:
    CHECKS.add(Tag.READ, STEELE, "growth_percent_steele", f"week {weeks} inside {low} to {high} %", True,
               lambda w=weeks, lo=low, hi=high: lo <= growth.growth_percent_steele(w) <= hi)  # fmt: skip

for week, expected in [(4, 1.734), (8, 0.917), (12, 0.616), (26, 0.280), (52, 0.136)]:
    CHECKS.add(A, HAND, "expected_rate_percent_per_week", f"week {week}", expected,
               lambda w=week: growth.expected_rate_percent_per_week(w), 5e-4)  # fmt: skip
for weeks, expected in [(4, 14.0), (12, 25.2), (26, 33.0), (52, 40.0), (104, 47.0), (312, 58.1)]:
    CHECKS.add(A, HAND, "growth_percent_log", f"week {weeks}", expected,
               lambda w=weeks: growth.growth_percent_log(w), 0.05)  # fmt: skip
CHECKS.add(Tag.READ, STEELE, "growth_percent_log", "week 312 inside 50 to 60 %", True,
           lambda: 50 <= growth.growth_percent_log(312) <= 60)  # fmt: skip
for n, row in {6: (1.49, 2.97, 4.75), 8: (0.96, 1.92, 3.07), 10: (0.68, 1.37, 2.19), 12: (0.52, 1.04, 1.66),
               16: (0.34, 0.67, 1.08), 20: (0.24, 0.48, 0.77)}.items():  # fmt: skip
    CHECKS.add(A, HAND, "smallest_detectable_rate_percent_per_week", f"{n} exposures, CV 2.5, 5, 8", row,
               lambda n=n: tuple(growth.smallest_detectable_rate_percent_per_week(n, cv) for cv in (2.5, 5, 8)),
               0.0051)  # fmt: skip


def test_growth_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: growth.growth_percent_steele(-1), "negative"),
        (lambda: growth.expected_rate_percent_per_week(-1), "negative"),
        (lambda: growth.growth_percent_log(0.5), "at least 1"),
        (lambda: growth.smallest_detectable_rate_percent_per_week(2, 5), "at least 3"),
    ],
)
def test_growth_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
