"""The answer "there is no value, and this is why"."""

from dataclasses import dataclass
from typing import Literal


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
