"""The published JSON Schema (draft 2020-12) of a block file, as docs/block-files.md tells it in words."""

from collections.abc import Sequence
from typing import Any

from clients.choices import MassUnit
from programs.choices import Grip, GroupKind, Measure, RepScheme, SectionKind, SetKind

Schema = dict[str, Any]

FORMAT = "purlin-block"
VERSION = 1
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
# As many prescriptions as the editor takes.
MOST_IN_A_SESSION = 40
MOST_SESSIONS = 16 * 21
MOST_LOAD = 1000
_UUID = "^[0-9a-fA-F]{8}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{12}$"


def _object(properties: Schema, *, required: Sequence[str], **more: Any) -> Schema:
    told = {"type": "object", "properties": properties, "required": list(required), "additionalProperties": False}
    return told | more


def _list(items: Schema, *, least: int, most: int) -> Schema:
    return {"type": "array", "items": items, "minItems": least, "maxItems": most}


def _whole(least: int, most: int) -> Schema:
    return {"type": "integer", "minimum": least, "maximum": most}


def _number(most: int, *, decimals: int, least: int = 0) -> Schema:
    """`decimals` is our own word: `multipleOf` fails on binary fractions in many programs."""
    return {"type": "number", "minimum": least, "maximum": most, "decimals": decimals}


def _one_of(choices: Sequence[Any]) -> Schema:
    return {"type": "string", "enum": [str(choice) for choice in choices if choice]}


def _text(most: int) -> Schema:
    return {"type": "string", "minLength": 1, "maxLength": most}


def _name(most: int) -> Schema:
    return _text(most) | {"pattern": "\\S"}


def _lineage() -> Schema:
    return {
        "type": "string",
        "pattern": _UUID,
        "description": "The same in other weeks. On reading it joins what belongs together inside the file, no more.",
    }


def _slug() -> Schema:
    return {"type": "string", "pattern": "^[-a-zA-Z0-9_]+$", "minLength": 1, "maxLength": 80}


_GRIP = "|".join(grip.value for grip in Grip if grip.value)

PRESCRIPTION = _object(
    {
        "lineage": _lineage(),
        "movement": _slug(),
        "movement_name": _text(120) | {"description": "For people; reading goes by the slug in `movement`."},
        "own_movement": {"type": "boolean", "description": "Of the practice that wrote the file, not of the library."},
        "measure": _one_of(Measure.values) | {"description": "What the amounts count."},
        "kind": _one_of(SetKind.values),
        "sets": _whole(1, 20),
        "amount_low": _whole(1, 3600),
        "amount_high": _whole(1, 3600),
        "scheme": _one_of(RepScheme.values),
        "per_side": {"type": "boolean"},
        "rest_s": _whole(0, 1200) | {"description": "Seconds."},
        "tempo": _text(12) | {"description": "Lowering-bottom-lifting-top in seconds; X lifts fast: 3-1-X-0."},
        "target_rir": _number(10, decimals=1),
        "target_rpe": _number(10, decimals=1, least=1),
        "load_entered": _number(MOST_LOAD, decimals=2),
        "load_unit": _one_of(MassUnit.values),
        "load_kg": _number(MOST_LOAD, decimals=3),
        "percent_of_max": _number(100, decimals=1) | {"exclusiveMinimum": 0},
        "assistance_kg": _number(MOST_LOAD, decimals=3),
        "grip": _text(60)
        | {"pattern": f"^({_GRIP})(,({_GRIP})){{0,4}}$", "description": "Several take turns, set by set."},
        "cluster_reps": _whole(1, 3600) | {"description": "Of each part of a cluster set."},
        "rest_within_s": _whole(0, 120) | {"description": "Between the parts of a cluster set. Seconds."},
        "cue": _text(300),
        "and_or": _text(200),
        "easier": _slug() | {"description": "The slug of what is done instead below `easier_below`."},
        "easier_below": _whole(1, 3600),
        "harder": _slug() | {"description": "The slug of what comes next from `harder_from` on."},
        "harder_from": _whole(1, 3600),
        "step_sets": _whole(-5, 5) | {"description": "What changes from week to week, here and below."},
        "step_amount": _whole(-60, 60),
        "step_rir": _number(3, decimals=1, least=-3),
        "step_load": _number(50, decimals=2, least=-50) | {"description": "In the unit of the load, or in percent."},
    },
    required=["movement", "measure", "sets", "amount_low", "amount_high"],
    dependentRequired={
        "load_entered": ["load_unit", "load_kg"],
        "load_unit": ["load_entered"],
        "load_kg": ["load_entered"],
        "cluster_reps": ["rest_within_s"],
        "rest_within_s": ["cluster_reps"],
        "easier": ["easier_below"],
        "easier_below": ["easier"],
        "harder": ["harder_from"],
        "harder_from": ["harder"],
    },
)

GROUP = _object(
    {
        "kind": _one_of(GroupKind.values),
        "minutes": _whole(1, 120) | {"description": "How long rounds in a time go on."},
        "interval_s": _whole(10, 1200) | {"description": "How often a set begins in “every minute”. Seconds."},
        "prescriptions": _list(PRESCRIPTION, least=1, most=MOST_IN_A_SESSION),
    },
    required=["kind", "prescriptions"],
)

SECTION = _object(
    {"kind": _one_of(SectionKind.values), "groups": _list(GROUP, least=1, most=MOST_IN_A_SESSION)},
    required=["kind", "groups"],
)

SESSION = _object(
    {
        "lineage": _lineage(),
        "week": _whole(1, 16),
        "weekday": _one_of(WEEKDAYS),
        "name": _name(120),
        "sections": _list(SECTION, least=0, most=MOST_IN_A_SESSION),
    },
    required=["week", "weekday", "name", "sections"],
)

BLOCK = _object(
    {
        "format": {"type": "string", "const": FORMAT},
        "version": {"type": "integer", "const": VERSION},
        "lineage": _lineage(),
        "title": _name(120),
        "weeks": _whole(1, 16),
        "deload_week": _whole(1, 16) | {"description": "The week with less of everything, where there is one."},
        "sessions": _list(SESSION, least=0, most=MOST_SESSIONS),
    },
    required=["format", "version", "title", "weeks", "sessions"],
)

SCHEMA = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "$id": f"urn:purlin:block:{VERSION}",
    "title": "A block of training",
} | BLOCK
