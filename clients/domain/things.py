"""Details of things to train with: kept in kg and cm, typed and read in a person's own units."""

from decimal import Decimal
from typing import Any

from clients.choices import LengthUnit, MassUnit
from clients.library.equipment import ATTRIBUTES, Attribute
from methods.units import in_unit, kg_from, metres_from


def metric(number: Decimal, unit: str) -> float:
    """In kg or cm, to the gram or the millimetre."""
    if unit in MassUnit.values:
        return round(float(kg_from(number, unit)), 3)
    return round(metres_from(float(number), unit) * 100, 1)


def shown(kept: float, unit: str) -> str:
    """A kept number in the unit that somebody reads."""
    if unit == MassUnit.LB:
        return f"{in_unit(Decimal(str(kept)), unit).normalize():f}"
    return f"{kept / 2.54:.3g}" if unit == LengthUnit.IN else f"{kept:g}"


def details_in_words(kind: str, details: dict[str, Any], *, mass_unit: str, length_unit: str) -> str:
    """ "8, 12 kg" or "height above the floor 230 cm"; empty when nothing was told."""
    return "; ".join(
        _in_words(attribute, details[attribute.code], mass_unit if "mass" in attribute.kind else length_unit)
        for attribute in ATTRIBUTES.get(kind, ())
        if details.get(attribute.code)
    )


def _in_words(attribute: Attribute, value: Any, unit: str) -> str:
    if attribute.kind == "ticks":
        labels = dict(attribute.choices)
        return ", ".join(str(labels[code]) for code in value if code in labels)
    if attribute.kind in {"masses", "lengths"}:
        return ", ".join(shown(number, unit) for number in value) + f" {unit}"
    return f"{attribute.label} {shown(value, unit)} {unit}"
