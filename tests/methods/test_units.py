from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import units
from tests.methods.registry import Checks, Tag

CHECKS = Checks("units")
SCIPY = "scipy.constants (the standards' exact values)"
CHECKS.add(Tag.READ, SCIPY, "kg_from", "1 lb", 0.45359237, lambda: units.kg_from(1.0, "lb"), 1e-15)
CHECKS.add(Tag.READ, SCIPY, "metres_from", "1 in", 0.0254, lambda: units.metres_from(1.0, "in"))
CHECKS.add(Tag.READ, SCIPY, "STANDARD_GRAVITY_M_S2", "g", 9.80665, lambda: units.STANDARD_GRAVITY_M_S2)


def test_units_agree_with_the_outside():
    assert CHECKS.wrong() == []


def test_kg_from_decimal_pounds_is_exact_to_the_gram():
    assert units.kg_from(Decimal("100"), "lb") == Decimal("45.359")


@pytest.mark.parametrize("convert", [units.kg_from, units.metres_from])
def test_conversion_refuses_an_unknown_unit(convert):
    with pytest.raises(ValueError, match="unit must be"):
        convert(1.0, "stone")


def test_in_unit_refuses_an_unknown_unit():
    with pytest.raises(ValueError, match="unit must be"):
        units.in_unit(Decimal(1), "stone")


@given(st.decimals(min_value=0, max_value=500, places=2))
def test_pounds_survive_a_round_trip(pounds):
    assert units.in_unit(units.kg_from(pounds, "lb"), "lb") == pounds


@pytest.mark.parametrize(("value", "rounded"), [(2.5, 3), (3.5, 4), (2.4999, 2), (-0.5, 0)])
def test_halves_round_upwards(value, rounded):
    assert units.round_half_up(value) == rounded


@given(st.integers(0, 400), st.sampled_from([0.5, 1.0, 1.25, 2.5]))
def test_a_multiple_of_the_increment_stays(count, increment):
    assert units.round_down_to_increment(count * increment, increment) == pytest.approx(count * increment)


def test_round_down_refuses_no_increment():
    with pytest.raises(ValueError, match="positive"):
        units.round_down_to_increment(10, 0)
