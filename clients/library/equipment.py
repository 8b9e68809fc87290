"""What is asked about each thing to train with, and what a set-up check tests. In our own words; common practice."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from clients.choices import ITEMS_WANTING_A_SET_UP_CHECK, ItemKind


@dataclass(frozen=True)
class Attribute:
    """One detail of a thing. Lengths and masses are asked in the client's unit and kept in cm and kg."""

    code: str
    label: Promise
    kind: str  # length | lengths | mass | masses | ticks
    minimum: float = 0
    maximum: float = 0
    choices: tuple[tuple[str, Promise], ...] = ()


HANG_HEIGHT = Attribute("height_cm", _("Height above the floor"), "length", 20, 600)
MASSES = Attribute("masses_kg", _("Their masses, with commas between"), "masses", 0.25, 120)
HEIGHTS = Attribute("heights_cm", _("Their heights, with commas between"), "lengths", 5, 120)
BAND_LEVELS = (("light", _("light")), ("medium", _("medium")), ("heavy", _("heavy")))

ATTRIBUTES: dict[str, tuple[Attribute, ...]] = {
    ItemKind.FLOOR: (
        Attribute("length_cm", _("Clear floor, length"), "length", 50, 3000),
        Attribute("ceiling_cm", _("Floor to ceiling"), "length", 150, 1500),
    ),
    ItemKind.STEP: (HEIGHTS,),
    ItemKind.BOX: (HEIGHTS,),
    ItemKind.BACKPACK: (Attribute("most_kg", _("How heavy it can be filled"), "mass", 0.5, 60),),
    ItemKind.VEST: (Attribute("most_kg", _("How heavy it can be made"), "mass", 0.5, 60),),
    ItemKind.DUMBBELL: (MASSES,),
    ItemKind.KETTLEBELL: (MASSES,),
    ItemKind.BAND: (
        Attribute("levels", _("How strong, roughly"), "ticks", choices=BAND_LEVELS),
        Attribute("short_kg", _("Measured: pull at the shortest use"), "mass", 0.1, 120),
        Attribute("long_kg", _("Measured: pull at the longest use"), "mass", 0.1, 120),
    ),
    ItemKind.TABLE: (HANG_HEIGHT,),
    ItemKind.BAR: (HANG_HEIGHT,),
    ItemKind.LOW_BAR: (HANG_HEIGHT,),
    ItemKind.RINGS: (HANG_HEIGHT,),
    ItemKind.STRAPS: (HANG_HEIGHT,),
    ItemKind.ANCHOR: (HANG_HEIGHT,),
    ItemKind.POLE: (HANG_HEIGHT,),
    ItemKind.CLIMBING_ROPE: (HANG_HEIGHT,),
}


@dataclass(frozen=True)
class Test:
    code: str
    words: Promise


LOOK = Test("look", _("I looked it over: no cracks, rust, frayed places or loose screws."))
LOAD = Test("load", _("I leaned or hung on it slowly, first with part of my weight, then with all of it."))
STILL = Test("still", _("It did not slip, tip, turn or creak."))
SPACE = Test("space", _("Below and around it there is room to come down."))
FIXED = Test(
    "fixed", _("What it hangs from belongs to the building or is made for it: no light, no door without a stop.")
)
FEET = Test("feet", _("It stands on a floor it does not slide on, against a wall where that helps."))
STRETCH = Test("stretch", _("I stretched it without finding cuts, white spots or stickiness, away from my face."))

_HANGING = (LOOK, FIXED, LOAD, STILL, SPACE)
_STANDING = (LOOK, FEET, LOAD, STILL)

TESTS: dict[ItemKind, tuple[Test, ...]] = {
    ItemKind.BAND: (STRETCH,),
    ItemKind.CHAIR: _STANDING,
    ItemKind.TABLE: _STANDING,
    ItemKind.BOX: _STANDING,
    ItemKind.STEP: _STANDING,
    ItemKind.DIP_BARS: (LOOK, FEET, LOAD, STILL, SPACE),
} | dict.fromkeys(
    (
        ItemKind.BAR,
        ItemKind.LOW_BAR,
        ItemKind.RINGS,
        ItemKind.STRAPS,
        ItemKind.ANCHOR,
        ItemKind.POLE,
        ItemKind.CLIMBING_ROPE,
        ItemKind.DOOR_ANCHOR,
    ),
    _HANGING,
)

assert set(TESTS) == ITEMS_WANTING_A_SET_UP_CHECK, "every thing that bears weight has its tests"  # noqa: S101
