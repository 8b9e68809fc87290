"""What a thing has to be like, and which grips are offered. House rules from how long arms and legs are; no source."""
# ruff: noqa: N817 -- as in the tables of movements

from dataclasses import replace

from clients.choices import ItemKind as I
from programs.choices import Grip as G
from programs.choices import LoadKind, Measure, Pattern
from programs.library.schema import Details, Entry

# Feet clear of the floor with bent knees; lower than that is a row or a hang with help from the feet.
FREE_HANG: Details = {I.BAR: {"height_cm": 170}, I.RINGS: {"height_cm": 150}}
BODY_BAND: Details = {I.BAND: {"levels": ("medium", "heavy")}}
LIGHT_BAND: Details = {I.BAND: {"levels": ("light", "medium")}}
ADDED: Details = {I.BACKPACK: {"most_kg": 2}, I.VEST: {"most_kg": 2}}
# Joints of the shoulder are trained with little.
LIGHT_PATTERNS = frozenset({Pattern.SHOULDER_MOBILITY})
HANGING = frozenset({Pattern.VERTICAL_PULL, Pattern.HANG})
HANGING_TRUNK = frozenset({"hanging-knee-raise", "hanging-leg-raise", "toes-to-bar", "tuck-front-lever-hold"})

GRIPS: dict[str, tuple[G, ...]] = {
    "chin-up": (G.SUPINATED, G.NEUTRAL),
    "weighted-chin-up": (G.SUPINATED,),
    "band-assisted-chin-up": (G.SUPINATED,),
    "neutral-grip-pull-up": (G.NEUTRAL,),
    "pull-up": (G.PRONATED,),
    "wide-grip-pull-up": (G.PRONATED,),
    "chest-to-bar-pull-up": (G.PRONATED,),
    "hammer-curl": (G.NEUTRAL,),
    "dumbbell-curl": (G.SUPINATED,),
}
ANY_GRIP = frozenset({Pattern.VERTICAL_PULL, Pattern.HORIZONTAL_PULL})


def with_set_up(entry: Entry) -> Entry:
    """The entry with its grips and details, where it does not name its own."""
    kinds = {kind for way in entry.equipment for kind in way}
    wanted = {kind: least for kind, least in _details(entry).items() if kind in kinds}
    return replace(entry, details=wanted | dict(entry.details), grips=entry.grips or _grips(entry))


def _details(entry: Entry) -> Details:
    found: Details = {}
    if entry.slug in HANGING_TRUNK or (entry.pattern in HANGING and entry.load_kind != LoadKind.BAND):
        with_feet = entry.load_kind == LoadKind.ASSISTED and not any(I.BAND in way for way in entry.equipment)
        found = {} if with_feet else FREE_HANG
    if entry.load_kind == LoadKind.ASSISTED:
        found = {**found, **BODY_BAND}
    if entry.pattern in LIGHT_PATTERNS:
        found = {**found, **LIGHT_BAND}
    if entry.load_kind == LoadKind.BODY_PLUS:
        found = {**found, **ADDED}
    return found


def _grips(entry: Entry) -> tuple[G, ...]:
    if entry.slug in GRIPS:
        return GRIPS[entry.slug]
    if entry.pattern in ANY_GRIP and entry.measure == Measure.REPETITIONS:
        return (G.PRONATED, G.SUPINATED, G.NEUTRAL)
    return ()
