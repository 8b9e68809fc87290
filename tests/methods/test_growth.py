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


def test_growth_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: growth.growth_percent_steele(-1), "negative"),
        (lambda: growth.expected_rate_percent_per_week(-1), "negative"),
    ],
)
def test_growth_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
