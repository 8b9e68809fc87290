"""What a visitor of a public session says about themself. It stands in the address they ask for and is not kept."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from clients.choices import ITEMS_WANTING_A_SET_UP_CHECK, Area, Ceiling, ItemKind
from clients.domain.equipment import ALWAYS_THERE
from programs.choices import WORK_SECTIONS, SectionKind, SetKind, Strength
from programs.domain.graph import Graph
from programs.domain.resolving import Day, Want

THING, STRENGTH, PROTECT = "thing", "strength", "protect"
# More than there are things or areas: what comes after these was not made by our page.
MOST_VALUES = 64
# Nobody screened the visitor (docs/methods.md, "A session for anyone").
CEILING = Ceiling.MODERATE.value

ABOUT_STRENGTH: dict[str, Promise] = {
    Strength.NEW.value: _("Easier than written where that is possible, and less of it: a first dose."),
    Strength.SOME.value: _("As written. What you cannot do here gives way to the nearest that is not harder."),
    Strength.TRAINED.value: _("One step harder where there is one, else as written. For whoever trains like this."),
}

THING_GROUPS: tuple[tuple[Promise, tuple[ItemKind, ...]], ...] = (
    (
        _("To hang from, pull on or press on"),
        (
            ItemKind.BAR,
            ItemKind.LOW_BAR,
            ItemKind.RINGS,
            ItemKind.STRAPS,
            ItemKind.DIP_BARS,
            ItemKind.PARALLETTES,
            ItemKind.POLE,
            ItemKind.CLIMBING_ROPE,
        ),
    ),
    (_("To lean, step or sit on"), (ItemKind.CHAIR, ItemKind.TABLE, ItemKind.BOX, ItemKind.STEP)),
    (_("Weights"), (ItemKind.BACKPACK, ItemKind.VEST, ItemKind.DUMBBELL, ItemKind.KETTLEBELL)),
    (_("Bands and what holds them"), (ItemKind.BAND, ItemKind.ANCHOR, ItemKind.DOOR_ANCHOR)),
    (_("Small things"), (ItemKind.TOWEL, ItemKind.STICK, ItemKind.PAD, ItemKind.SLIDERS, ItemKind.ROPE)),
)


@dataclass(frozen=True)
class Visitor:
    things: frozenset[str]
    strength: str = Strength.SOME.value
    protected: frozenset[str] = frozenset()

    def want(self, section: str, kind: str) -> Want:
        """Only work is moved a step up: a warm-up that got harder would warm nobody up. To be easier than the work, the
        sets before it go down with it."""
        is_before_work = section == SectionKind.RAMP or (section in WORK_SECTIONS and kind == SetKind.WARM_UP)
        if is_before_work and self.strength == Strength.NEW:
            return Want.EASIER
        if section not in WORK_SECTIONS or kind == SetKind.WARM_UP:
            return Want.NEAREST
        return {Strength.NEW.value: Want.EASIER, Strength.TRAINED.value: Want.HARDER}.get(self.strength, Want.NEAREST)

    def day(self, graph: Graph) -> Day:
        """Whoever is new to this has done none of the movements, so each starts with the reduced first dose."""
        there = self.things | ALWAYS_THERE
        done = {} if self.strength == Strength.NEW else dict.fromkeys(graph.movements, 0)
        return Day(present=there, usable=there, barred=self.protected, ceiling=CEILING, days_since=done)


def visitor_of(asked: Mapping[str, Sequence[str]], *, own_things: frozenset[str]) -> Visitor:
    """The visitor behind a query. What we do not know is passed over; a bare address has all that the session needs."""
    if not {THING, STRENGTH, PROTECT} & set(asked):
        return Visitor(own_things)
    strength = next((one for one in _first(asked, STRENGTH) if one in Strength.values), Strength.SOME.value)
    return Visitor(
        frozenset(_first(asked, THING)) & frozenset(ItemKind.values),
        strength,
        frozenset(_first(asked, PROTECT)) & frozenset(Area.values),
    )


def _first(asked: Mapping[str, Sequence[str]], name: str) -> Sequence[str]:
    return asked.get(name, ())[:MOST_VALUES]


@dataclass(frozen=True)
class Tick:
    code: str
    label: str
    is_ticked: bool
    # Bears weight or pulls hard: to be tested before it is used.
    wants_a_test: bool = False
    about: str = ""


@dataclass(frozen=True)
class TickGroup:
    label: str
    ticks: list[Tick]


def thing_ticks(kinds: Iterable[str], visitor: Visitor) -> list[TickGroup]:
    """Things to tick by what they are for; a group without any is left out."""
    wanted = frozenset(kinds)
    groups = [
        TickGroup(str(label), [_tick(kind, visitor) for kind in of_group if kind in wanted])
        for label, of_group in THING_GROUPS
    ]
    return [group for group in groups if group.ticks]


def _tick(kind: ItemKind, visitor: Visitor) -> Tick:
    return Tick(kind.value, str(kind.label), kind.value in visitor.things, kind in ITEMS_WANTING_A_SET_UP_CHECK)


def strength_ticks(visitor: Visitor) -> list[Tick]:
    return [
        Tick(one.value, str(one.label), one.value == visitor.strength, about=str(ABOUT_STRENGTH[one.value]))
        for one in Strength
    ]


def area_ticks(visitor: Visitor) -> list[Tick]:
    return [Tick(area.value, str(area.label), area.value in visitor.protected) for area in Area]
