"""Checks of `methods` against the outside, kept as data so that they can be run, printed and counted."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import pytest


class Tag(StrEnum):
    """Where an expected value comes from."""

    READ = "V"  # read in the source, a standard or a package's own data
    SECONDARY = "V2"  # read in a secondary source that reports it
    LIBRARY = "L"  # what a reference library answers
    MEMORY = "M"  # from memory of the source
    ARITHMETIC = "A"  # worked by hand from the stated formula: shows that the code is the formula, not that it is right
    PRACTICE = "T"  # common practice or house rule


OUTSIDE = (Tag.READ, Tag.SECONDARY)
MOST_PER_SOURCE = 8
MOST_LIBRARY = 30


@dataclass(frozen=True)
class Check:
    """One expected value, its source, and how to get ours."""

    method: str
    case: str
    expected: object
    got: Callable[[], object]
    source: str
    tag: Tag
    tolerance: float = 0.0

    def __str__(self) -> str:
        return f"{self.method}[{self.case}]"

    def passes(self) -> bool:
        """Whether ours equals the expected value within the tolerance."""
        value = self.got()
        if self.tolerance:
            return value == pytest.approx(self.expected, abs=self.tolerance)
        return value == self.expected


class Checks(list[Check]):
    """The checks of one module, written one a line."""

    def __init__(self, module: str) -> None:
        super().__init__()
        self.module = module

    def add(
        self,
        tag: Tag,
        source: str,
        method: str,
        case: str,
        expected: object,
        got: Callable[[], object],
        tolerance: float = 0.0,
    ) -> None:
        """Register one check."""
        self.append(Check(f"{self.module}.{method}", case, expected, got, source, tag, tolerance))

    def wrong(self) -> list[str]:
        """Name those that do not pass, with what came out. One test a module: a test for each would cost seconds."""
        return [f"{check}: {check.got()} instead of {check.expected}" for check in self if not check.passes()]
