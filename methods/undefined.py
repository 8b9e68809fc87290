"""A statistic that cannot be stated, with the reason. Never zero, never infinity, never a guess."""

from dataclasses import dataclass
from typing import TypeVar

T = TypeVar("T")


@dataclass(frozen=True)
class Undefined:
    """No value, because of `reason`. False in a condition.

    Examples
    --------
    >>> bool(Undefined("no body mass"))
    False
    """

    reason: str

    def __bool__(self) -> bool:
        return False


def value_or_none(result: "T | Undefined") -> "T | None":
    """The value, or None where it is undefined: for a database column beside its reason.

    Examples
    --------
    >>> value_or_none(3.5), value_or_none(Undefined("x"))
    (3.5, None)
    """
    return None if isinstance(result, Undefined) else result
