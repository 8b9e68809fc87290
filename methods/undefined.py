"""The answer "there is no value, and this is why"."""

from dataclasses import dataclass
from typing import Literal, TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Undefined:
    """A statistic without a value, with the reason in plain words.

    Falsy, so that ``if load:`` skips it; use ``isinstance`` where zero is a value of its own.

    Examples
    --------
    >>> bool(Undefined("no load this week"))
    False
    """

    reason: str

    def __post_init__(self) -> None:
        if not self.reason:
            raise ValueError("an Undefined needs a reason")

    def __bool__(self) -> Literal[False]:
        return False


def value_or_none(result: T | Undefined) -> T | None:
    """Give the value, or None where it is undefined: for a column that stands beside its reason.

    Evidence: A (a convention).

    Examples
    --------
    >>> value_or_none(3.5), value_or_none(Undefined("no body mass"))
    (3.5, None)
    """
    return None if isinstance(result, Undefined) else result
