"""What a client does instead with what is there today: the nearest possible movement and its dose, or why none.

"Easier", "harder" and "I do not have this today" are one function. Nothing here asks the database or the clock.
"""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from math import floor

from django.utils.translation import gettext as _

from clients.choices import Area, Ceiling, ItemKind
from clients.domain.safety import is_within
from methods.dose import Dose
from methods.easing import lighter_load, reduced_dose, return_after_break, shorter_sets
from methods.volume import REPETITION_S, is_long_lowering, tempo_seconds
from programs.choices import LoadKind, Measure, Pattern, RepScheme, SetKind
from programs.domain.fitting import Details, Things, can_set_up, is_fit, unfit_words
from programs.domain.graph import Entered, Graph, Known, Option
from programs.domain.intensity import needed_ceiling

# Two weeks away: the day from which methods.easing.return_after_break lessens a dose.
BREAK_DAYS = 14
# A walk with a weight and a hold are timed alike. Common practice, no published source.
METRES_PER_SECOND = 1.0
# A set of repetitions turned into a hold lasts no longer than this. Common practice, no published source.
LONGEST_TURNED_HOLD_S = 30
# One step lighter: methods.easing.easier_version (common practice).
EASIER_LOAD_SHARE, EASIER_WORK_SHARE = 0.9, 0.8
# Loads come out in halves of a kilogram, downwards, where the masses that are there are not known.
LOAD_STEP_KG = 0.5
WITH_A_LOAD = frozenset({LoadKind.EXTERNAL.value, LoadKind.BODY_PLUS.value})
# What carries a person; beside one of these a chair only takes the feet.
CARRIES = frozenset(
    kind.value
    for kind in (
        ItemKind.BAR,
        ItemKind.LOW_BAR,
        ItemKind.RINGS,
        ItemKind.STRAPS,
        ItemKind.DIP_BARS,
        ItemKind.PARALLETTES,
        ItemKind.TABLE,
        ItemKind.POLE,
        ItemKind.CLIMBING_ROPE,
    )
)
CHAIR = ItemKind.CHAIR.value
NOT_ON_CHAIRS = frozenset({Pattern.DIP.value, Pattern.HORIZONTAL_PULL.value})


class Want(StrEnum):
    NEAREST = "nearest"
    EASIER = "easier"
    HARDER = "harder"


@dataclass(frozen=True, slots=True)
class Asked:
    """One prescription as plain values, in the movement's own measure."""

    movement: Known
    sets: int = 3
    amount_low: int = 8
    amount_high: int = 12
    kind: str = SetKind.WORK.value
    scheme: str = RepScheme.RANGE.value
    per_side: bool = False
    rest_s: int = 90
    tempo: str = ""
    target_rir: Decimal | None = None
    target_rpe: Decimal | None = None
    load_entered: Decimal | None = None
    load_unit: str = ""
    load_kg: Decimal | None = None
    percent_of_max: Decimal | None = None
    assistance_kg: Decimal | None = None
    grip: str = ""
    cluster_reps: int | None = None
    rest_within_s: int | None = None


@dataclass(frozen=True, slots=True)
class Day:
    """What holds for one client on one day. `days_since` names every movement they have done, and how long ago."""

    present: frozenset[str]
    usable: frozenset[str]
    barred: frozenset[str] = frozenset()
    ceiling: str = Ceiling.VIGOROUS.value
    # Why nothing may start, in words; empty when it may.
    no_start: str = ""
    days_since: Mapping[str, int] | None = None
    # The coach allows it at this place (clients.domain.chairs).
    chairs_carry: bool = False
    # What the client told of the things: heights, masses, how strong.
    things: Things = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Answer:
    """The movement with its dose, or none; `why` is one sentence either way."""

    dose: Asked | None
    why: str

    @property
    def movement(self) -> Known | None:
        return None if self.dose is None else self.dose.movement


Guard = Callable[[Asked, Day], str | None]


def guard_start(dose: Asked, day: Day) -> str | None:
    """Without leave to train there is nothing to do."""
    return "start" if day.no_start or day.ceiling == Ceiling.NONE else None


def guard_barred(dose: Asked, day: Day) -> str | None:
    """A barred area is never loaded."""
    return None if day.barred.isdisjoint(dose.movement.areas) else "barred"


def guard_set_up(dose: Asked, day: Day) -> str | None:
    """All things of one way to set it up are there and as they have to be, and what bears weight was checked."""
    movement = dose.movement
    return None if can_set_up(movement.ways, day.usable, movement.details, day.things) else "set_up"


def guard_chairs(dose: Asked, day: Day) -> str | None:
    """Chairs alone carry no dip and no row, unless the coach allows it: they tip (common practice)."""
    if day.chairs_carry or dose.movement.pattern not in NOT_ON_CHAIRS:
        return None
    details = dose.movement.details
    ways = [way for way in dose.movement.ways if day.usable >= way and is_fit(way, details, day.things)]
    return "chairs" if ways and all(rests_on_chairs(way) for way in ways) else None


def guard_ceiling(dose: Asked, day: Day) -> str | None:
    """Never above what screening allows."""
    needed = needed_ceiling(dose.movement, dose.kind, target_rir=dose.target_rir, target_rpe=dose.target_rpe)
    return None if is_within(needed, day.ceiling) else "ceiling"


# The first that speaks names the reason.
GUARDS: tuple[Guard, ...] = (
    guard_start,
    guard_barred,
    guard_set_up,
    guard_chairs,
    guard_ceiling,
)


def rests_on_chairs(way: frozenset[str]) -> bool:
    return CHAIR in way and CARRIES.isdisjoint(way)


def refusal(dose: Asked, day: Day) -> str | None:
    """The first reason why a client cannot do this today, as a code; None when they can."""
    for guard in GUARDS:
        if (code := guard(dose, day)) is not None:
            return code
    return None


def resolve(asked: Asked, day: Day, graph: Graph, want: Want = Want.NEAREST) -> Answer:
    """The nearest movement that is possible today, with its dose, or the reason why there is none.

    What was asked itself, when it is possible and neither easier nor harder is wanted. Never harder than asked unless
    "harder" is wanted, and then one step. The same question always has the same answer.
    """
    for option in _options(asked, graph, want):
        is_itself = option.movement.slug == asked.movement.slug
        dose = eased(asked) if is_itself and want is Want.EASIER else turned(asked, option, graph, day)
        dose = lessened(dose, asked, day)
        if refusal(dose, day) is None:
            return Answer(dose, _why(asked, dose, day, want))
    return Answer(None, _why_none(asked, day, want))


def _options(asked: Asked, graph: Graph, want: Want) -> Iterator[Option]:
    slug = asked.movement.slug
    if want is Want.HARDER:
        yield from graph.harder_than(slug) if slug in graph.movements else ()
        return
    if want is Want.NEAREST or _is_loaded(asked):
        yield Option(asked.movement)
    yield from graph.easier_than(slug) if slug in graph.movements else ()
    if want is Want.EASIER and not _is_loaded(asked) and asked.amount_high > 1:
        yield Option(asked.movement)


def _is_loaded(asked: Asked) -> bool:
    return asked.load_kg is not None and asked.load_kg > 0 and asked.movement.load_kind in WITH_A_LOAD


def turned(asked: Asked, option: Option, graph: Graph, day: Day) -> Asked:
    """The prescription as one of another movement: in its measure, on its sides, with a load only where it has one."""
    other = option.movement
    if other.slug == asked.movement.slug:
        return asked
    low, high = (
        turned_amount(asked, asked.amount_low, other.measure),
        turned_amount(asked, asked.amount_high, other.measure),
    )
    keeps_load = other.load_kind in WITH_A_LOAD and asked.movement.load_kind in WITH_A_LOAD and option.entry is None
    keeps_help = other.load_kind == asked.movement.load_kind == LoadKind.ASSISTED
    dose = replace(
        asked,
        movement=other,
        amount_low=low,
        amount_high=high,
        per_side=other.one_sided,
        tempo=asked.tempo if other.measure == Measure.REPETITIONS else "",
        load_entered=asked.load_entered if keeps_load else None,
        load_unit=asked.load_unit if keeps_load else "",
        load_kg=asked.load_kg if keeps_load else None,
        percent_of_max=None,
        assistance_kg=asked.assistance_kg if keeps_help else None,
    )
    if option.entry is not None:
        return at_entry(dose, option.entry)
    is_new = other.slug not in (day.days_since or {})
    for entry in graph.entries.get(other.slug, ()) if is_new or other.measure != asked.movement.measure else ():
        dose = at_entry(dose, entry, only_less=True)
    return dose


def turned_amount(asked: Asked, amount: int, measure: str) -> int:
    """An amount in another measure: as long as the set would have taken, never longer. Common practice."""
    source = asked.movement.measure
    if measure == source:
        return amount
    per_repetition = tempo_seconds(asked.tempo) if asked.tempo else REPETITION_S
    seconds = {
        Measure.REPETITIONS.value: amount * per_repetition,
        Measure.SECONDS.value: amount,
        Measure.METRES.value: amount / METRES_PER_SECOND,
    }[source]
    if measure == Measure.REPETITIONS:
        return max(1, floor(seconds / REPETITION_S))
    if measure == Measure.SECONDS:
        return max(1, min(floor(seconds), LONGEST_TURNED_HOLD_S))
    return max(1, floor(seconds * METRES_PER_SECOND))


def at_entry(dose: Asked, entry: Entered, *, only_less: bool = False) -> Asked:
    """The dose that a line gives for entering a movement; `only_less` takes just what lessens it."""
    high = entry.amount_high or dose.amount_high
    low = entry.amount_low or min(dose.amount_low, high)
    if only_less:
        high, low = min(high, dose.amount_high), min(low, dose.amount_low)
    return with_reserve(
        replace(dose, sets=min(dose.sets, entry.sets or dose.sets), amount_low=low, amount_high=high), entry.target_rir
    )


def with_reserve(dose: Asked, at_least: float | None) -> Asked:
    """At least so many left in reserve. A rating of effort says the same from the other end (Zourdos et al. 2016)."""
    if at_least is None:
        return dose
    least = Decimal(str(at_least))
    stated = dose.target_rir
    if stated is None and dose.target_rpe is not None:
        stated = 10 - dose.target_rpe
    if stated is not None and stated >= least:
        return dose
    return replace(dose, target_rir=least, target_rpe=None)


def lessened(dose: Asked, asked: Asked, day: Day) -> Asked:
    """The written reduced dose for a first exposure, a return, lowering, and for "easier" (methods.easing)."""
    since = (day.days_since or {}).get(dose.movement.slug)
    if since is not None and since >= BREAK_DAYS:
        dose = _with_dose(dose, return_after_break(_dose(dose), since, increment_kg=LOAD_STEP_KG))
    is_lowering = dose.movement.lowering or is_long_lowering(dose.tempo)
    is_other = dose.movement.slug != asked.movement.slug
    if since is None or (is_lowering and (is_other or since >= BREAK_DAYS)):
        dose = _with_dose(dose, reduced_dose(_dose(dose), eccentric=is_lowering))
    return dose


def eased(asked: Asked) -> Asked:
    """One step easier without another movement: a tenth less load, or a fifth less of each set."""
    ours = _dose(asked)
    if _is_loaded(asked):
        return _with_dose(asked, lighter_load(ours, EASIER_LOAD_SHARE, LOAD_STEP_KG))
    return _with_dose(asked, shorter_sets(ours, EASIER_WORK_SHARE))


def _dose(dose: Asked) -> Dose:
    """Without what is in reserve: that is only ever raised, and `with_reserve` sees to it."""
    amount, measure = dose.amount_high, dose.movement.measure
    return Dose(
        load_kg=None if dose.load_kg is None else float(dose.load_kg),
        repetitions=amount if measure == Measure.REPETITIONS else None,
        seconds=float(amount) if measure == Measure.SECONDS else None,
        metres=float(amount) if measure == Measure.METRES else None,
        sets=dose.sets,
    )


def _with_dose(dose: Asked, less: Dose) -> Asked:
    amount = less.repetitions if less.repetitions is not None else less.seconds
    high = int(amount if amount is not None else less.metres or 1)
    lower = replace(dose, sets=less.sets, amount_high=high, amount_low=min(dose.amount_low, high))
    if less.load_kg is not None and dose.load_kg is not None and less.load_kg < float(dose.load_kg):
        load = Decimal(str(less.load_kg))
        # No longer that part of the reference max.
        lower = replace(lower, load_entered=load, load_unit="kg", load_kg=load, percent_of_max=None)
    return with_reserve(lower, less.rir)


def _why(asked: Asked, dose: Asked, day: Day, want: Want) -> str:
    names = {"asked": asked.movement.name, "name": dose.movement.name}
    if dose.movement.slug != asked.movement.slug:
        sentence = {
            Want.NEAREST: _("%(name)s instead of %(asked)s: the nearest that is possible today and not harder"),
            Want.EASIER: _("%(name)s is easier than %(asked)s and possible today"),
            Want.HARDER: _("%(name)s is one step harder than %(asked)s and possible today"),
        }[want] % names
    elif want is Want.EASIER:
        sentence = _("%(name)s with less of it than planned") % names
    else:
        sentence = _("%(name)s is possible today") % names
    since = (day.days_since or {}).get(dose.movement.slug)
    if since is None:
        return _("%(sentence)s; the first time, so it starts small.") % {"sentence": sentence}
    if since >= BREAK_DAYS:
        return _("%(sentence)s; less after %(days)d days without it.") % {"sentence": sentence, "days": since}
    return _("%(sentence)s.") % {"sentence": sentence}


def _why_none(asked: Asked, day: Day, want: Want) -> str:
    reason = reason_words(asked.movement, refusal(asked, day), day)
    if refusal(asked, day) == "start":
        return reason
    if want is Want.HARDER:
        return _("No harder step of %(name)s is possible today.") % {"name": asked.movement.name}
    sentence = _("Nothing that is not harder than %(name)s is possible today.") % {"name": asked.movement.name}
    return f"{reason} {sentence}".strip()


def reason_words(movement: Known, code: str | None, day: Day) -> str:
    """A refusal in words."""
    if code is None:
        return ""
    if code == "start":
        return day.no_start or _("Screening does not allow training yet.")
    if code == "barred":
        areas = ", ".join(str(Area(area).label) for area in sorted(movement.areas & day.barred))
        return _("Loads an area that must not be loaded: %(areas)s.") % {"areas": areas}
    if code == "set_up":
        return items_words(movement.ways, day.present, day.usable, movement.details, day.things)
    return {
        "chairs": _("Chairs do not carry a dip or a row unless the coach allows it."),
        "ceiling": _("Harder than the screening allows (%(ceiling)s).") % {"ceiling": Ceiling(day.ceiling).label},
    }[code]


def set_up_words(movement: Known, day: Day) -> str:
    """What keeps someone from setting it up, in words; empty when nothing does. Says nothing about areas and effort."""
    codes = [guard(Asked(movement), day) for guard in (guard_set_up, guard_chairs)]
    return next((reason_words(movement, code, day) for code in codes if code), "")


def items_words(
    ways: Sequence[Collection[str]],
    present: frozenset[str],
    usable: frozenset[str],
    details: Details,
    things: Things,
) -> str:
    """What keeps someone from all ways of setting it up, in words. Only for whom something does."""
    if can_set_up(ways, usable, {}, {}):
        return unfit_words(ways, usable, details, things)
    if can_set_up(ways, present, {}, {}):
        return _("The set-up check is missing: %(items)s.") % {"items": _fewest_missing(ways, usable)}
    return _("Not at this place: %(items)s.") % {"items": _fewest_missing(ways, present)}


def _fewest_missing(ways: Sequence[Collection[str]], kinds: frozenset[str]) -> str:
    missing = min((sorted(set(way) - kinds) for way in ways), key=lambda things: (len(things), things))
    return ", ".join(str(ItemKind(kind).label) for kind in missing)
