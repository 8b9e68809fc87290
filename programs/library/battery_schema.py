"""The shape of a baseline test, and what must hold before a battery is used."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from clients.choices import Area
from programs.choices import LoggedSide
from programs.library.schema import Entry


class Amount(StrEnum):
    REPETITIONS = "repetitions"
    SECONDS = "seconds"
    CENTIMETRES = "centimetres"


class BatteryFlaw(ValueError):
    """The battery is not fit to be used; the message has one line a flaw."""


@dataclass(frozen=True)
class Way:
    """One of the ways to do a test that is done in several, and the movement that it is."""

    code: str
    name: str
    movement: str


@dataclass(frozen=True)
class BatteryTest:
    """One test. What it needs and loads is what its movements need and load, and the areas it names itself."""

    code: str
    name: str
    movement: str
    amount: Amount
    areas: tuple[Area, ...]
    set_up: str
    how: str
    counts: str
    source: str
    ways: tuple[Way, ...] = ()
    sides: tuple[LoggedSide, ...] = (LoggedSide.BOTH,)
    # Runs for so long and no longer.
    clock_s: int | None = None
    asks_height: bool = False
    asks_angle: bool = False
    # A clock on the page helps.
    timed: bool = False
    # What it is to the limit; empty where there is no such thing.
    maximal: str = ""
    # The table that grades it, where there is one.
    norm: str = ""
    # The test that this one is the step below of.
    below: str = ""
    less_is_more: bool = False

    @property
    def movements(self) -> tuple[str, ...]:
        return tuple(way.movement for way in self.ways) or (self.movement,)

    @property
    def is_measured(self) -> bool:
        """A range of motion: no effort, so nothing is kept in reserve."""
        return self.amount is Amount.CENTIMETRES


def check_battery(tests: Sequence[BatteryTest], entries: Sequence[Entry], norms: Collection[str] = ()) -> None:
    """Raise BatteryFlaw with every flaw of the tests, against the movements they are made of."""
    known = {entry.slug: entry for entry in entries}
    codes = [test.code for test in tests]
    flaws = [f"{code}: there are several of this code" for code in set(codes) if codes.count(code) > 1]
    flaws += [f"{test.code}: {flaw}" for test in tests for flaw in _flaws(test, known, codes, norms)]
    if flaws:
        raise BatteryFlaw("\n".join(sorted(flaws)))


def _flaws(test: BatteryTest, known: dict[str, Entry], codes: Sequence[str], norms: Collection[str]) -> Iterator[str]:
    if not all([test.name, test.set_up, test.how, test.counts, test.source]):
        yield "name, set-up, how, what counts and a source are wanted"
    for slug in {test.movement, *test.movements}:
        entry = known.get(slug)
        if entry is None:
            yield f"there is no movement {slug}"
        elif slug == test.movement and not set(entry.areas) <= set(test.areas):
            yield f"it leaves out areas that {slug} stresses"
    if test.ways and test.ways[0].movement != test.movement:
        yield "the first way is the movement itself"
    if not test.sides or (LoggedSide.BOTH in test.sides and len(test.sides) > 1):
        yield "both sides at once, or each"
    if test.is_measured and test.maximal:
        yield "a range of motion has no variant to the limit"
    if test.clock_s is not None and test.amount is not Amount.REPETITIONS:
        yield "only repetitions are counted against a clock"
    if test.norm and (test.norm not in norms or not test.maximal):
        yield "a norm is of a known table, and of a test to the limit"
    if test.below and (test.below == test.code or test.below not in codes):
        yield "the step below belongs to another test"
