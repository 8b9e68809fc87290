"""A figure seen from the side: segment lengths, joints in metres, the angles between them.

Lengths: P. de Leva, "Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters," J Biomech 29(9):1223-1230,
1996, table 4, the male reference of 1.741 m. [from memory; the drawing needs proportions, not a measurement]
"""

import math
from dataclasses import dataclass

SHANK, THIGH, TRUNK = 0.4340, 0.4222, 0.6033
UPPER_ARM, FOREARM, HAND = 0.2817, 0.2689, 0.0862
NECK_AND_HEAD, FOOT = 0.2429, 0.2581
# Between the shoulder line and the middle of the head.
HEAD_MIDDLE = NECK_AND_HEAD - 0.105
LEG_AND_TRUNK = SHANK + THIGH + TRUNK

Point = tuple[float, float]


@dataclass(frozen=True)
class Pose:
    """x to the right, y up, the floor at 0. [m]"""

    toe: Point
    heel: Point
    ankle: Point
    knee: Point
    hip: Point
    shoulder: Point
    head: Point
    elbow: Point
    wrist: Point

    def angles_deg(self) -> dict[str, float]:
        lean = math.degrees(math.atan2(self.shoulder[0] - self.hip[0], self.shoulder[1] - self.hip[1]))
        return {
            "ankle": interior_angle(self.toe, self.ankle, self.knee),
            "knee": interior_angle(self.ankle, self.knee, self.hip),
            "hip": interior_angle(self.knee, self.hip, self.shoulder),
            "shoulder": interior_angle(self.hip, self.shoulder, self.elbow),
            "elbow": interior_angle(self.shoulder, self.elbow, self.wrist),
            "trunk": lean,
        }


def interior_angle(one: Point, at: Point, other: Point) -> float:
    """The angle at the middle point, 0 to 180. [deg]"""
    ax, ay, bx, by = one[0] - at[0], one[1] - at[1], other[0] - at[0], other[1] - at[1]
    return math.degrees(math.atan2(abs(ax * by - ay * bx), ax * bx + ay * by))


def along(start: Point, length: float, degrees: float) -> Point:
    """Go from a point; 0 is straight up, positive leans to the right."""
    turn = math.radians(degrees)
    return (start[0] + length * math.sin(turn), start[1] + length * math.cos(turn))


def between(one: Point, other: Point, share: float) -> Point:
    return (one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]))


def third_corner(one: Point, from_one: float, other: Point, from_other: float, *, left: bool) -> Point:
    """The point at these distances from two others, left or right of the way from one to the other."""
    dx, dy = other[0] - one[0], other[1] - one[1]
    apart = math.hypot(dx, dy)
    ahead = (from_one**2 - from_other**2 + apart**2) / (2 * apart)
    aside = math.sqrt(max(0.0, from_one**2 - ahead**2)) * (1 if left else -1)
    return (one[0] + (ahead * dx - aside * dy) / apart, one[1] + (ahead * dy + aside * dx) / apart)


def reach(elbow_deg: float) -> float:
    """From shoulder to wrist at an elbow angle, by the law of cosines. [m]"""
    fold = math.cos(math.radians(elbow_deg))
    return math.sqrt(UPPER_ARM**2 + FOREARM**2 - 2 * UPPER_ARM * FOREARM * fold)
