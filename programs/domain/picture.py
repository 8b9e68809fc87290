"""A movement drawn from the directions of its limbs: start and end side by side, as lines for an inline SVG."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from programs.library.poses import FOREARM, POSES, SHANK, THIGH, TRUNK, UPPER_ARM, Drawn, Pose

Point = tuple[float, float]
SCALE, MARGIN, GAP = 80.0, 14.0, 24.0
FOOT, NECK, HEAD = 0.18, 0.16, 0.1


@dataclass(frozen=True)
class Shape:
    """A line through points or a circle, in the units of the picture; `kind` names its look."""

    kind: str
    points: str = ""
    x: float = 0
    y: float = 0
    radius: float = 0


@dataclass(frozen=True)
class Picture:
    shapes: tuple[Shape, ...]
    width: float
    height: float
    has_end: bool
    middles: tuple[float, ...]


def joints(pose: Pose, drawn: Drawn) -> dict[str, Point]:
    """Where the joints are, in metres, y up; what is held stays at its height."""
    trunk, thigh, shank, upper, fore = pose[:5]
    found: dict[str, Point] = {"hip": (0.0, 0.0)}
    found["shoulder"] = _along(found["hip"], TRUNK, trunk)
    found["head"] = _along(found["shoulder"], NECK, trunk)
    found["knee"] = _along(found["hip"], THIGH, thigh)
    found["feet"] = _along(found["knee"], SHANK, shank)
    turn = 90 if drawn.is_facing_left else -90
    found["toe"] = _along(found["feet"], FOOT, shank + turn)
    found["elbow"] = _along(found["shoulder"], UPPER_ARM, upper)
    found["hands"] = _along(found["elbow"], FOREARM, fore)
    if len(pose) > len(("trunk", "thigh", "shank", "upper", "fore")):
        found["knee_2"] = _along(found["hip"], THIGH, pose[5])
        found["feet_2"] = _along(found["knee_2"], SHANK, pose[6])
        found["toe_2"] = _along(found["feet_2"], FOOT, pose[6] + turn)
    at = found[drawn.held]
    return {name: (x - at[0], y - at[1] + drawn.height_m) for name, (x, y) in found.items()}


def _along(start: Point, length: float, degrees: float) -> Point:
    turn = math.radians(degrees)
    return (start[0] + length * math.sin(turn), start[1] + length * math.cos(turn))


def picture_of(slug: str) -> Picture | None:
    """The picture of a step of the shipped lines; None for what is not drawn."""
    drawn = POSES.get(slug)
    return None if drawn is None else _picture(drawn)


def _picture(drawn: Drawn) -> Picture:
    poses = [joints(pose, drawn) for pose in (drawn.start, drawn.end) if pose is not None]
    panels = [list(_panel(pose, drawn)) for pose in poses]
    spots = [point for panel in panels for _kind, points, _radius in panel for point in points]
    left, right = min(x for x, _y in spots) - HEAD, max(x for x, _y in spots) + HEAD
    low, high = min(y for _x, y in spots) - 0.02, max(y for _x, y in spots) + HEAD
    wide = (right - left) * SCALE
    shapes: list[Shape] = []
    for number, panel in enumerate(panels):
        shift = MARGIN + number * (wide + GAP) - left * SCALE
        shapes += [_shape(kind, points, radius, shift, high) for kind, points, radius in panel]
    middles = tuple(round(MARGIN + wide / 2 + n * (wide + GAP), 1) for n in range(len(panels)))
    width = 2 * MARGIN + len(panels) * wide + (len(panels) - 1) * GAP
    return Picture(
        tuple(shapes), round(width, 1), round(MARGIN * 2 + (high - low) * SCALE, 1), len(panels) > 1, middles
    )


def _shape(kind: str, points: tuple[Point, ...], radius: float, shift: float, high: float) -> Shape:
    placed = [(round(x * SCALE + shift, 1), round((high - y) * SCALE + MARGIN, 1)) for x, y in points]
    if radius:
        return Shape(kind, x=placed[0][0], y=placed[0][1], radius=round(radius * SCALE, 1))
    return Shape(kind, " ".join(f"{x},{y}" for x, y in placed))


def _panel(at: dict[str, Point], drawn: Drawn) -> Iterator[tuple[str, tuple[Point, ...], float]]:
    for prop in drawn.props:
        yield from _prop(prop, at)
    if "knee_2" in at:
        yield ("far", tuple(at[name] for name in ("hip", "knee_2", "feet_2", "toe_2")), 0)
    yield ("limb", tuple(at[name] for name in ("shoulder", "hip", "knee", "feet", "toe")), 0)
    yield ("limb", tuple(at[name] for name in ("shoulder", "elbow", "hands")), 0)
    yield ("head", (at["head"],), HEAD)


def _prop(prop: str, at: dict[str, Point]) -> Iterator[tuple[str, tuple[Point, ...], float]]:
    """What is drawn besides the body, in thin lines: the floor, what carries hands or feet, ropes, weights."""
    across = [x for x, _y in at.values()]
    hands, feet = at["hands"], at["feet"]
    if prop == "floor":
        yield ("prop", ((min(across) - 0.1, 0.0), (max(across) + 0.1, 0.0)), 0)
    elif prop == "wall":
        yield ("prop", ((hands[0] + 0.05, 0.0), (hands[0] + 0.05, hands[1] + 0.5)), 0)
    elif prop == "bar":
        yield ("bar", (hands,), 0.04)
    elif prop == "ropes":
        yield ("prop", (hands, (hands[0], max(y for _x, y in at.values()) + 0.3)), 0)
    elif prop == "feet_ropes":
        yield ("prop", (feet, (feet[0], feet[1] + 0.7)), 0)
    elif prop == "band":
        yield ("band", (hands, feet), 0)
    elif prop == "weight":
        yield ("weight", (hands,), 0.07)
    elif prop == "lap":
        yield ("weight", ((at["hip"][0], at["hip"][1] + 0.1),), 0.07)
    elif prop == "pack":
        yield ("weight", (_middle(at["hip"], at["shoulder"]),), 0.08)
    elif prop == "pinned":
        yield ("prop", ((feet[0] - 0.06, feet[1] + 0.08), (feet[0] + 0.06, feet[1] + 0.08)), 0)
    else:
        x, top = {
            "hands": hands,
            "feet": (feet[0], feet[1] - 0.12),
            "feet_low": (feet[0] + 0.05, feet[1] - 0.02),
            "under_feet": (feet[0], feet[1] - 0.1),
            "seat": (at["hip"][0] - 0.05, 0.45),
            "shoulders": (at["shoulder"][0], at["shoulder"][1] - 0.05),
        }[prop]
        foot = top - 0.3 if prop == "under_feet" else 0.0
        yield ("prop", ((x - 0.16, foot), (x - 0.16, top), (x + 0.16, top), (x + 0.16, foot)), 0)


def _middle(one: Point, other: Point) -> Point:
    return ((one[0] + other[0]) / 2 - 0.08, (one[1] + other[1]) / 2)
