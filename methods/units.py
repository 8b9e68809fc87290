"""Conversions between the units people type and the units everything is kept in (kg, m, s, degrees)."""

from decimal import ROUND_HALF_EVEN, Decimal
from math import floor
from typing import overload

from methods.ranges import require_finite, require_positive

LB_IN_KG = Decimal("0.45359237")  # exact by the international yard and pound agreement of 1959
IN_IN_M = Decimal("0.0254")
GRAM = Decimal("0.001")
STANDARD_GRAVITY_M_S2 = 9.80665

_KG = {"kg": Decimal(1), "lb": LB_IN_KG}
_M = {"m": Decimal(1), "cm": Decimal("0.01"), "in": IN_IN_M}


def _factor(table: dict[str, Decimal], unit: str) -> Decimal:
    if unit not in table:
        raise ValueError(f"unit must be {' or '.join(table)}, got {unit!r}")
    return table[unit]


@overload
def kg_from(value: Decimal, unit: str) -> Decimal: ...
@overload
def kg_from(value: float, unit: str) -> float: ...
def kg_from(value: Decimal | float, unit: str) -> Decimal | float:
    """Convert a mass to kilograms. [kg]

    Parameters
    ----------
    value : Decimal or float
        Mass in `unit`. A Decimal comes back as a Decimal to the gram, a float as an unrounded float.
    unit : "kg" or "lb"

    Raises
    ------
    ValueError
        If the unit is another one.

    Evidence: V (exact by agreement).

    Examples
    --------
    >>> kg_from(Decimal("45"), "lb")
    Decimal('20.412')
    >>> kg_from(20.0, "kg")
    20.0
    """
    factor = _factor(_KG, unit)
    require_finite(value=float(value))
    if isinstance(value, Decimal):
        return (value * factor).quantize(GRAM, ROUND_HALF_EVEN)
    return value * float(factor)


def in_unit(mass_kg: Decimal, unit: str) -> Decimal:
    """Show a mass kept in kg in the unit a person reads, to two decimals.

    Evidence: V (exact by agreement).

    Examples
    --------
    >>> in_unit(Decimal("45.359"), "lb")
    Decimal('100.00')
    """
    return (mass_kg / _factor(_KG, unit)).quantize(Decimal("0.01"), ROUND_HALF_EVEN)


def metres_from(value: float, unit: str) -> float:
    """Convert a length to metres. [m]

    Evidence: V (exact by agreement).

    Examples
    --------
    >>> round(metres_from(24, "in"), 4)
    0.6096
    """
    require_finite(value=value)
    return value * float(_factor(_M, unit))


def round_half_up(value: float) -> int:
    """Round to the nearest whole number, halves upwards (Python's round() sends 2.5 to 2).

    Evidence: A (arithmetic).

    Examples
    --------
    >>> round_half_up(2.5)
    3
    """
    return floor(value + 0.5)


def round_down_to_increment(value: float, increment: float) -> float:
    """Round down to a multiple of what the equipment allows. [unit of the value]

    Evidence: A (arithmetic).

    Examples
    --------
    >>> round_down_to_increment(61.9, 1.25)
    61.25
    """
    require_positive(increment=increment)
    require_finite(value=value)
    # The tiny allowance keeps 61.25 / 1.25 = 48.999... from losing a whole plate.
    return floor(value / increment + 1e-9) * increment
