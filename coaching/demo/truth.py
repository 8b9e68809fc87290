"""What is true of a person of the demo, in a sentence and in what the rules must then say. Checked by the tests."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Truth:
    """The sentence is read on the sign-in page; the rest is compared with the derived rows.

    attention : all kinds of reasons on the desk, no more and no fewer
    trends : movement slug to the verdicts that fit; a stall or a fall that is not named here may not be seen anywhere
    rules : rules that must have spoken in the suggestions
    harder : whether a step up is suggested; None where it does not matter
    start : the ceiling of the leave to train, or the name of the error that says what is missing
    weeks : how the weekly rows look, by the name of a check
    """

    sentence: str
    attention: frozenset[str] = frozenset()
    trends: Mapping[str, frozenset[str]] = field(default_factory=dict)
    rules: frozenset[str] = frozenset()
    harder: bool | None = None
    start: str = "vigorous"
    state: str = "active"
    code: str = "R1"
    weeks: str = "recorded"


def some(*words: str) -> frozenset[str]:
    return frozenset(words)
