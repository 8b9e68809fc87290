"""Refusals that every method shares: outside its range a number is refused, never pulled inside. NaN is outside."""

from collections.abc import Iterable
from math import isfinite


def require_positive(**numbers: float) -> None:
    """Refuse what is not a finite number above zero, by its name.

    Evidence: A (a check).

    Examples
    --------
    >>> require_positive(load_kg=20)
    >>> require_positive(load_kg=0)
    Traceback (most recent call last):
    ValueError: load_kg must be positive, got 0
    """
    for name, value in numbers.items():
        if not (value > 0 and isfinite(value)):
            raise ValueError(f"{name} must be positive, got {value}")


def require_not_negative(**numbers: float) -> None:
    """Refuse what is not a finite number from zero up, by its name.

    Evidence: A (a check).

    Examples
    --------
    >>> require_not_negative(days=-1)
    Traceback (most recent call last):
    ValueError: days must not be negative, got -1
    """
    for name, value in numbers.items():
        if not (value >= 0 and isfinite(value)):
            raise ValueError(f"{name} must not be negative, got {value}")


def require_between(low: float, high: float, **numbers: float) -> None:
    """Refuse what does not lie from `low` to `high`, by its name.

    Evidence: A (a check).

    Examples
    --------
    >>> require_between(0, 10, rating=11)
    Traceback (most recent call last):
    ValueError: rating must be 0 to 10, got 11
    """
    for name, value in numbers.items():
        if not low <= value <= high:
            raise ValueError(f"{name} must be {low:g} to {high:g}, got {value}")


def require_finite(**numbers: float) -> None:
    """Refuse infinity and what is no number, by its name.

    Evidence: A (a check).

    Examples
    --------
    >>> require_finite(today=float("nan"))
    Traceback (most recent call last):
    ValueError: today must be a finite number, got nan
    """
    for name, value in numbers.items():
        if not isfinite(value):
            raise ValueError(f"{name} must be a finite number, got {value}")


def require_all_finite(values: Iterable[float]) -> None:
    """Refuse a sequence with infinity or no number in it.

    Evidence: A (a check).

    Examples
    --------
    >>> require_all_finite([1, float("inf")])
    Traceback (most recent call last):
    ValueError: value must be a finite number, got inf
    """
    for value in values:
        require_finite(value=value)


def require_exposures(exposures: Iterable[tuple[float, float]]) -> None:
    """Refuse exposures whose day is no number or whose value is not above zero.

    Evidence: A (a check).

    Examples
    --------
    >>> require_exposures([(0, 100), (7, 0)])
    Traceback (most recent call last):
    ValueError: value must be positive, got 0
    """
    for day, value in exposures:
        require_finite(day=day)
        require_positive(value=value)
