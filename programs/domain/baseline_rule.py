"""Which baseline tests a client is offered on a day, how they end, and why not the others. No database, no clock."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cache

from django.utils.translation import gettext as _

from clients.choices import Area, Ceiling
from clients.domain.safety import is_within
from methods.referral import ReferFirst
from methods.screening import Intensity, maximal_test_allowed
from programs.choices import SetKind
from programs.domain.graph import Known, shipped_graph
from programs.domain.resolving import Asked, Day, reason_words, refusal
from programs.library.battery import BATTERY, BY_CODE
from programs.library.battery_schema import Amount, BatteryTest, Way


@dataclass(frozen=True, slots=True)
class Target:
    """With how much left a test ends: repetitions, or an effort of 10. Neither for a range of motion."""

    rir: int | None = None
    effort: int | None = None


# The first that the ceiling allows. Two in reserve is the end of a test; three is what a moderate ceiling still
# allows (methods.screening.effort_intensity). Holds and clocked tests say the same as an effort: common practice.
REPETITIONS_LEFT = (Target(rir=2), Target(rir=3))
EFFORTS = (Target(effort=8), Target(effort=6))


@dataclass(frozen=True, slots=True)
class Situation:
    """What holds for a client on a day, and what this run has told so far."""

    day: Day
    # Also where nobody knows.
    is_minor: bool = False
    groups: frozenset[ReferFirst] = frozenset()
    # To go around; what is barred stands in the day.
    protected: frozenset[str] = frozenset()
    # Tests of this run in which something hurt, and those that came out as nothing or were left out.
    hurt: frozenset[str] = frozenset()
    none_of: frozenset[str] = frozenset()
    # A test of this run was stopped with a sign that is asked about before anything else.
    is_halted: bool = False


@dataclass(frozen=True, slots=True)
class Offer:
    """One test for one client on a day. `why_not` is one sentence where it is not offered."""

    test: BatteryTest
    why_not: str = ""
    target: Target = field(default_factory=Target)
    ways: tuple[Way, ...] = ()
    # Why it is not offered to the limit; empty when it is.
    why_not_maximal: str = ""
    # Areas that the client protects and this stresses.
    around: tuple[str, ...] = ()

    @property
    def is_offered(self) -> bool:
        return not self.why_not

    @property
    def may_be_maximal(self) -> bool:
        return self.is_offered and not self.why_not_maximal


def offers(situation: Situation, tests: Collection[BatteryTest] = BATTERY) -> list[Offer]:
    """Every test of the battery, offered or with the reason why not."""
    return [offer_of(test, situation) for test in tests]


def offer_of(test: BatteryTest, situation: Situation) -> Offer:
    """Whether a test is offered, with the end that is hard enough and no harder than screening allows."""
    if why_not := _why_not_in_this_run(test, situation):
        return Offer(test, why_not)
    for target in _targets(test):
        ways = tuple(way for way in _ways(test) if _refusal(test, way, target, situation.day) is None)
        if ways:
            around = tuple(sorted(situation.protected & _areas(test)))
            why_not = _why_not_below(test, situation)
            maximal = _why_not_maximal(test, situation, around)
            return Offer(test, why_not, target, ways if test.ways else (), maximal, around)
    return Offer(test, _refused_words(test, situation.day))


def _why_not_in_this_run(test: BatteryTest, situation: Situation) -> str:
    if situation.is_halted:
        return _("A test was stopped with a sign that has to be looked at first: no further test in this run.")
    for code in sorted(situation.hurt):
        if shared := _areas(test) & _areas(BY_CODE[code]):
            areas = ", ".join(str(Area(area).label) for area in sorted(shared))
            return _("Something hurt in %(test)s, which loads the same parts: %(areas)s.") % {
                "test": BY_CODE[code].name,
                "areas": areas,
            }
    return ""


def _targets(test: BatteryTest) -> tuple[Target, ...]:
    if test.is_measured:
        return (Target(),)
    is_counted = test.amount is Amount.REPETITIONS and test.clock_s is None
    return REPETITIONS_LEFT if is_counted else EFFORTS


def _ways(test: BatteryTest) -> tuple[Way, ...]:
    return test.ways or (Way("", "", test.movement),)


def _refusal(test: BatteryTest, way: Way, target: Target, day: Day) -> str | None:
    return refusal(_asked(test, way, target), day)


def _asked(test: BatteryTest, way: Way, target: Target) -> Asked:
    """The test as a prescription, so that the resolver's guards decide about it as about any other."""
    return Asked(
        _movement(test, way.movement),
        sets=1,
        kind=(SetKind.WARM_UP if test.is_measured else SetKind.WORK).value,
        target_rir=None if target.rir is None else Decimal(target.rir),
        target_rpe=None if target.effort is None else Decimal(target.effort),
    )


@cache
def _shipped() -> dict[str, Known]:
    return dict(shipped_graph().movements)


def _movement(test: BatteryTest, slug: str) -> Known:
    known = _shipped()[slug]
    return replace(known, areas=known.areas | {area.value for area in test.areas})


def _areas(test: BatteryTest) -> frozenset[str]:
    """All that a test may stress, whichever way it is done."""
    return frozenset(area.value for area in test.areas).union(*(_movement(test, slug).areas for slug in test.movements))


def _refused_words(test: BatteryTest, day: Day) -> str:
    way, target = _ways(test)[0], _targets(test)[-1]
    return reason_words(_movement(test, way.movement), _refusal(test, way, target, day), day)


def _why_not_below(test: BatteryTest, situation: Situation) -> str:
    """The step below is for whoever has none of the step above, or cannot do it here."""
    if not test.below or test.below in situation.none_of:
        return ""
    if not offer_of(BY_CODE[test.below], situation).is_offered:
        return ""
    return _("%(test)s come first; this is the step below, for whoever has none yet.") % {
        "test": BY_CODE[test.below].name
    }


def _why_not_maximal(test: BatteryTest, situation: Situation, around: Collection[str]) -> str:
    return next(_maximal_refusals(test, situation, around), "")


def _maximal_refusals(test: BatteryTest, situation: Situation, around: Collection[str]) -> Iterator[str]:
    """Never for minors, in pregnancy or where a professional is asked first, below a vigorous outcome, or around an
    area to protect; and never an own choice of ours where one of these is not known."""
    if not test.maximal:
        yield _("This test has no variant to the limit.")
    if situation.is_minor or ReferFirst.MINOR in situation.groups:
        yield _("Under age, or without a date of birth, nobody is tested to the limit.")
    if situation.groups:
        yield _("Not to the limit while the answers name a reason to ask a professional first.")
    ceiling = Ceiling(situation.day.ceiling)
    if not maximal_test_allowed(Intensity[ceiling.name]) or not is_within(Ceiling.VIGOROUS, ceiling):
        yield _("To the limit only with a vigorous outcome of the screening.")
    if around:
        areas = ", ".join(str(Area(area).label) for area in around)
        yield _("Not to the limit with an area to protect: %(areas)s.") % {"areas": areas}


def end_words(test: BatteryTest, target: Target) -> str:
    """When to stop, for the page."""
    if target.rir is not None:
        return _("Stop when %(left)d more clean ones would still be possible, or when the form goes.") % {
            "left": target.rir
        }
    if target.effort is None:
        return _("Without effort: stop where it stops by itself.")
    if test.clock_s is not None:
        return _("At a steady pace, at most %(effort)d of 10 hard, until the time is over or the form goes.") % {
            "effort": target.effort
        }
    return _("Stop when it is %(effort)d of 10 hard, or when the form goes.") % {"effort": target.effort}
