"""The regions of the body chart, and which sides an area has. Own drawing, in units of about half a centimetre.

Both pictures have the client's own left on their left: from the front as in a mirror, from behind as somebody behind
them would see it. Points are offsets outward from the midline and down from the crown; a paired region is mirrored.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from clients.choices import Area, Side

Points = tuple[tuple[float, float], ...]

PAIRED = frozenset(
    {
        Area.SHOULDER,
        Area.UPPER_ARM,
        Area.ELBOW,
        Area.WRIST,
        Area.HIP,
        Area.THIGH_FRONT,
        Area.HAMSTRING,
        Area.KNEE,
        Area.CALF,
        Area.ANKLE,
        Area.FOOT,
    }
)
# Left to right and top to bottom of one picture: x, y, width, height.
FRAME = (-70, 0, 140, 362)

_LIMBS: dict[Area, Points] = {
    Area.SHOULDER: ((13, 70), (34, 71), (47, 78), (49, 97), (30, 96), (26, 79)),
    Area.UPPER_ARM: ((30, 97), (49, 98), (55, 127), (36, 130)),
    Area.ELBOW: ((36, 131), (55, 128), (61, 154), (42, 157)),
    Area.WRIST: ((42, 158), (61, 155), (68, 187), (66, 205), (51, 207), (47, 185)),
    Area.KNEE: ((9, 247), (30, 247), (29, 269), (10, 269)),
    Area.CALF: ((10, 270), (29, 270), (31, 290), (27, 317), (10, 317), (8, 290)),
    Area.ANKLE: ((9.5, 318), (27, 318), (27, 334.5), (9.5, 334.5)),
    Area.FOOT: ((9, 335.5), (27, 335.5), (34, 352), (30, 360), (8, 360)),
}
_FRONT: dict[Area, Points] = _LIMBS | {
    Area.HIP: ((15, 161), (30, 161), (34, 188), (8, 188)),
    Area.THIGH_FRONT: ((6, 189), (34, 189), (30, 246), (9, 246)),
}
_BACK: dict[Area, Points] = _LIMBS | {
    Area.HIP: ((1, 163), (30, 163), (34, 190), (1, 190)),
    Area.HAMSTRING: ((2, 191), (34, 191), (30, 246), (9, 246)),
}
# The trunk is told in thirds: a side of the client's, or the middle.
_FRONT_THIRDS: dict[Area, Points] = {
    Area.CHEST: ((9.5, 75), (25, 80), (29, 93), (28, 118), (9.5, 118)),
    Area.BELLY: ((9.5, 119), (28, 119), (27, 138), (30, 160), (9.5, 160)),
}
_BACK_THIRDS: dict[Area, Points] = {
    Area.UPPER_BACK: ((9.5, 75), (25, 80), (29, 93), (28, 121), (9.5, 121)),
    Area.LOW_BACK: ((9.5, 122), (28, 122), (27, 140), (30, 162), (9.5, 162)),
}
_NECK: Points = ((-10, 57), (10, 57), (12, 74), (-12, 74))
_FRONT_MIDDLE: dict[Area, Points] = {
    Area.HEAD: ((-12, 4), (12, 4), (19, 16), (17, 39), (-17, 39), (-19, 16)),
    Area.JAW: ((-17, 40), (17, 40), (10, 56), (-10, 56)),
    Area.NECK: _NECK,
    Area.GROIN: ((-14, 161), (14, 161), (8, 180), (0, 189), (-8, 180)),
}
_BACK_MIDDLE: dict[Area, Points] = {
    Area.HEAD: ((-12, 4), (12, 4), (19, 16), (17, 42), (10, 56), (-10, 56), (-17, 42), (-19, 16)),
    Area.NECK: _NECK,
}


@dataclass(frozen=True)
class Region:
    """One shape to tap. The side is the one it stands for until the client says otherwise."""

    area: Area
    side: Side
    points: Points

    @property
    def is_paired(self) -> bool:
        return self.area in PAIRED

    @property
    def is_single(self) -> bool:
        """Stands for the area alone: on which side, the client says beside it."""
        return not self.is_paired and not self.has_thirds

    @property
    def has_thirds(self) -> bool:
        return self.area in _FRONT_THIRDS or self.area in _BACK_THIRDS

    @property
    def as_svg(self) -> str:
        return " ".join(f"{x:g},{y:g}" for x, y in self.points)


def sides_of(area: Area | str) -> tuple[Side, ...]:
    """The sides that make sense: whatever there are two of has no middle."""
    return (Side.LEFT, Side.RIGHT, Side.BOTH) if area in PAIRED else (Side.LEFT, Side.MIDDLE, Side.RIGHT, Side.BOTH)


def front() -> tuple[Region, ...]:
    return tuple(_regions(_FRONT_MIDDLE, _FRONT_THIRDS, _FRONT))


def back() -> tuple[Region, ...]:
    return tuple(_regions(_BACK_MIDDLE, _BACK_THIRDS, _BACK))


def _regions(middle: dict[Area, Points], thirds: dict[Area, Points], pairs: dict[Area, Points]) -> Iterator[Region]:
    for area, points in middle.items():
        yield Region(area, Side.MIDDLE, points)
    for area, points in thirds.items():
        top, bottom = points[0][1], points[-1][1]
        yield Region(area, Side.LEFT, _at_left(points))
        yield Region(area, Side.MIDDLE, ((-8.5, top), (8.5, top), (8.5, bottom), (-8.5, bottom)))
        yield Region(area, Side.RIGHT, points)
    for area, points in pairs.items():
        yield Region(area, Side.LEFT, _at_left(points))
        yield Region(area, Side.RIGHT, points)


def _at_left(points: Points) -> Points:
    return tuple((-x, y) for x, y in points)
