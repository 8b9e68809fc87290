"""The movements the figure knows: a pose for every share of the way, 0 at the start and 1 at the turn."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from coaching.demo.figures import body
from coaching.demo.figures.body import Point, Pose, along, between, reach, third_corner

Line = tuple[Point, Point]


@dataclass(frozen=True)
class Movement:
    """`seconds` are there, turn, back and rest of one repetition; `lines` is the equipment; a hold is done once."""

    pose: Callable[[float], Pose]
    seconds: tuple[float, float, float, float]
    centre: Point
    metres_wide: float
    lines: tuple[Line, ...] = ()
    is_hold: bool = False


def squat(share: float) -> Pose:
    ankle = (0.0, 0.08)
    shank_lean = 4 + 30 * share
    knee = along(ankle, body.SHANK, shank_lean)
    hip = along(knee, body.THIGH, shank_lean - (5 + 113 * share))
    lean = 4 + 38 * share
    shoulder = along(hip, body.TRUNK, lean)
    elbow = along(shoulder, body.UPPER_ARM, 168 - 76 * share)
    wrist = along(elbow, body.FOREARM, 160 - 76 * share)
    head = along(shoulder, body.HEAD_MIDDLE, lean * 0.4)
    return Pose((0.18, 0.02), (-0.07, 0.02), ankle, knee, hip, shoulder, head, elbow, wrist)


def push_up(share: float) -> Pose:
    toe, ankle = (0.0, 0.02), (-0.05, 0.17)
    highest = reach(172) + 0.04
    wrist = (ankle[0] + math.sqrt(body.LEG_AND_TRUNK**2 - (highest - ankle[1]) ** 2), 0.04)
    elbow_deg = 172 - 90 * share
    shoulder = third_corner(ankle, body.LEG_AND_TRUNK, wrist, reach(elbow_deg), left=True)
    elbow = third_corner(shoulder, body.UPPER_ARM, wrist, body.FOREARM, left=False)
    return straight_body(toe, (-0.13, 0.11), ankle, shoulder, elbow, wrist)


def ring_row(share: float) -> Pose:
    ankle = (0.0, 0.09)
    hanging = along(ankle, body.LEG_AND_TRUNK, 65)
    wrist = (hanging[0], hanging[1] + reach(172))
    shoulder = third_corner(ankle, body.LEG_AND_TRUNK, wrist, reach(172 - 100 * share), left=False)
    elbow = third_corner(shoulder, body.UPPER_ARM, wrist, body.FOREARM, left=False)
    return straight_body((-0.03, 0.26), (-0.06, 0.03), ankle, shoulder, elbow, wrist)


def straight_body(toe: Point, heel: Point, ankle: Point, shoulder: Point, elbow: Point, wrist: Point) -> Pose:
    knee = between(ankle, shoulder, body.SHANK / body.LEG_AND_TRUNK)
    hip = between(ankle, shoulder, (body.SHANK + body.THIGH) / body.LEG_AND_TRUNK)
    head = between(ankle, shoulder, 1 + body.HEAD_MIDDLE / body.LEG_AND_TRUNK)
    return Pose(toe, heel, ankle, knee, hip, shoulder, head, elbow, wrist)


def pull_up(share: float) -> Pose:
    wrist = (0.0, 2.3)
    shoulder = (-0.04 - 0.05 * share, 2.3 - reach(170 - 122 * share))
    elbow = third_corner(shoulder, body.UPPER_ARM, wrist, body.FOREARM, left=False)
    hip = along(shoulder, body.TRUNK, 180 - 6 * share)
    knee = along(hip, body.THIGH, 172)
    ankle = along(knee, body.SHANK, 230)
    head = along(shoulder, body.HEAD_MIDDLE, -4)
    return Pose(along(ankle, 0.2, 210), along(ankle, 0.07, 300), ankle, knee, hip, shoulder, head, elbow, wrist)


def hollow_hold(share: float) -> Pose:
    hip = (0.0, 0.11)
    leg, trunk = 90 - 24 * share, -90 + 16 * share
    knee = along(hip, body.THIGH, leg)
    ankle = along(knee, body.SHANK, leg)
    shoulder = along(hip, body.TRUNK, trunk)
    arm = -90 + 26 * share
    elbow = along(shoulder, body.UPPER_ARM, arm)
    wrist = along(elbow, body.FOREARM, arm)
    head = along(shoulder, body.HEAD_MIDDLE, trunk + 14 * share)
    return Pose(
        along(ankle, 0.18, leg - 40), along(ankle, 0.06, leg + 60), ankle, knee, hip, shoulder, head, elbow, wrist
    )


RING_X = along((0.0, 0.09), body.LEG_AND_TRUNK, 65)[0]
RING_Y = along((0.0, 0.09), body.LEG_AND_TRUNK, 65)[1] + reach(172)

MOVEMENTS: dict[str, Movement] = {
    "squat": Movement(squat, (1.3, 0.2, 0.9, 0.3), (0.16, 0.95), 1.7),
    "push_up": Movement(push_up, (1.0, 0.1, 0.8, 0.3), (0.75, 0.6), 2.3),
    "ring_row": Movement(ring_row, (0.8, 0.3, 1.2, 0.4), (0.75, 1.2), 2.3, (((RING_X, 2.9), (RING_X, RING_Y)),)),
    "pull_up": Movement(pull_up, (0.9, 0.2, 1.3, 0.5), (0.0, 1.35), 1.9, (((-0.7, 2.33), (0.7, 2.33)),)),
    "hollow_hold": Movement(hollow_hold, (1.0, 0.0, 1.0, 0.5), (0.0, 0.7), 2.5, is_hold=True),
}
