"""Start and end positions as directions of the limbs, for the pictures of the lines' steps. Our own drawing.

0 is straight up, 90 to the right, as on a clock. A pose gives trunk, thigh, shank, upper arm and forearm, each from the
joint nearer the hip; a second thigh and shank where the legs differ.
"""

import math
from dataclasses import dataclass

# Segment lengths as shares of stature, rounded. [common knowledge of anatomy books; a drawing, not a measurement]
TRUNK, THIGH, SHANK, UPPER_ARM, FOREARM = 0.60, 0.42, 0.43, 0.28, 0.29
BODY = TRUNK + THIGH + SHANK
ARM = UPPER_ARM + FOREARM

Pose = tuple[float, ...]


@dataclass(frozen=True)
class Drawn:
    """`held` is what stays where it is: hands, feet, knee, or the hip at `height_m`. `props` is drawn besides."""

    start: Pose
    end: Pose | None
    held: str
    props: tuple[str, ...] = ("floor",)
    height_m: float = 0.08
    # Lying or leaning back, the toes point the other way.
    is_facing_left: bool = False


def _leaning(degrees: float, upper: float, fore: float) -> Pose:
    return (degrees, degrees + 180, degrees + 180, upper, fore)


def _push_up(
    hands_m: float = 0.0, feet_m: float = 0.0, *, knees: bool = False, end: bool = True, props: str = ""
) -> Drawn:
    length = TRUNK + THIGH if knees else BODY
    low = 0.06 if knees else feet_m + 0.12

    def lean(shoulder_m: float) -> float:
        return math.degrees(math.acos(max(-1.0, min(1.0, (hands_m + shoulder_m - low) / length))))

    up, down = _leaning(lean(ARM), 180, 180), _leaning(lean(0.16), -60, 176)
    if knees:
        up, down = (*up[:2], -80.0, *up[3:]), (*down[:2], -80.0, *down[3:])
    drawn = tuple(word for word in ("floor", "hands" if hands_m else "", "feet" if feet_m else "", props) if word)
    return Drawn(up, down if end else None, "knee" if knees else "feet", drawn, low)


def _row(lean: float, *props: str, feet_m: float = 0.0, bent: float = 0.0) -> Drawn:
    start = (lean, lean + 180 - bent, lean + 180 + bent, lean - 92, lean - 92)
    up = lean - 14
    end = (up, up + 180 - bent, up + 180 + bent, up + 140, up - 66)
    return Drawn(
        start, end, "feet", ("floor", *props, *(("feet",) if feet_m else ())), 0.08 + feet_m, is_facing_left=True
    )


def _hang(end: Pose | None, *props: str, start: Pose = (0, 178, 200, 0, 0)) -> Drawn:
    return Drawn(start, end, "hands", props or ("bar",), 2.2)


HANGING: Pose = (0, 178, 200, 0, 0)
CHIN_OVER: Pose = (-6, 174, 205, 142, -34)
CHEST_UP: Pose = (-14, 170, 205, 150, -24)
BLADES: Pose = (-8, 176, 200, 8, -6)
SUPPORT: Pose = (2, 178, 200, 182, 180)
DIPPED: Pose = (22, 165, 215, 250, 172)
STANDING: Pose = (2, 182, 178, 176, 172)
SQUAT: Pose = (36, 98, 200, 95, 88)
SPLIT: Pose = (3, 158, 186, 176, 172, 205, 225)
SPLIT_LOW: Pose = (6, 98, 182, 176, 172, 188, 268)
LYING_BENT: Pose = (-92, 45, 160, 95, 92)
BRIDGED: Pose = (-118, 66, 178, 72, 92)
PLANK: Pose = _leaning(79, 180, 90)


def _squat(start: Pose, end: Pose | None, *props: str) -> Drawn:
    return Drawn(start, end, "feet", ("floor", *props))


def _lying(start: Pose, end: Pose | None, *props: str, height_m: float = 0.1) -> Drawn:
    return Drawn(start, end, "hip", ("floor", *props), height_m)


POSES: dict[str, Drawn] = {
    "foot-assisted-hang": _hang(None, "bar", "under_feet", start=(4, 150, 200, 0, 0)),
    "dead-hang": _hang(None),
    "scapular-pull-up": _hang(BLADES),
    "active-hang": _hang(None, start=BLADES),
    "foot-assisted-pull-up": _hang((-4, 140, 215, 142, -34), "bar", "under_feet", start=(4, 120, 215, 0, 0)),
    "flexed-arm-hang": _hang(None, start=CHIN_OVER),
    "pull-up-negative": _hang(HANGING, start=CHIN_OVER),
    "band-assisted-pull-up": _hang(CHIN_OVER, "bar", "band"),
    "band-assisted-chin-up": _hang(CHIN_OVER, "bar", "band"),
    "chin-up": _hang(CHIN_OVER),
    "pull-up": _hang(CHIN_OVER),
    "neutral-grip-pull-up": _hang(CHIN_OVER, "ropes"),
    "ring-pull-up": _hang(CHIN_OVER, "ropes"),
    "pull-up-paused-top": _hang(CHIN_OVER),
    "pull-up-slow-eccentric": _hang(HANGING, start=CHIN_OVER),
    "wide-grip-pull-up": _hang(CHIN_OVER),
    "chest-to-bar-pull-up": _hang(CHEST_UP),
    "l-sit-pull-up": _hang((-6, 84, 86, 142, -34), start=(0, 86, 88, 0, 0)),
    "archer-pull-up": _hang(CHIN_OVER),
    "weighted-pull-up": _hang(CHIN_OVER, "bar", "pack"),
    "weighted-chin-up": _hang(CHIN_OVER, "bar", "pack"),
    "wall-push-up": _push_up(0.86, props="wall"),
    "counter-push-up": _push_up(0.75),
    "incline-push-up-60cm": _push_up(0.6),
    "incline-push-up-30cm": _push_up(0.3),
    "knee-push-up": _push_up(knees=True),
    "push-up": _push_up(),
    "push-up-negative": _push_up(),
    "push-up-paused-bottom": _push_up(),
    "close-grip-push-up": _push_up(),
    "decline-push-up-30cm": _push_up(feet_m=0.3),
    "decline-push-up-60cm": _push_up(feet_m=0.5),
    "ring-push-up": _push_up(0.15, props="ropes"),
    "weighted-push-up": _push_up(props="pack"),
    "archer-push-up": _push_up(),
    "one-arm-push-up-raised": _push_up(0.75),
    "ring-row-30deg": _row(30, "ropes"),
    "ring-row-45deg": _row(45, "ropes"),
    "ring-row-60deg": _row(60, "ropes"),
    "ring-row-75deg": _row(75, "ropes"),
    "table-row-bent-knee": _row(72, "bar", bent=38),
    "inverted-row-bent-knee": _row(72, "bar", bent=38),
    "inverted-row": _row(80, "bar"),
    "inverted-row-paused": _row(80, "bar"),
    "inverted-row-feet-elevated": _row(92, "bar", feet_m=0.4),
    "weighted-inverted-row": _row(80, "bar", "pack"),
    "archer-ring-row": _row(60, "ropes"),
    "one-arm-ring-row": _row(45, "ropes"),
    "support-hold": Drawn(SUPPORT, None, "hands", ("bar",), 0.95),
    "foot-assisted-dip": Drawn((2, 120, 210, 182, 180), (20, 100, 215, 250, 172), "hands", ("bar", "under_feet"), 0.95),
    "band-assisted-dip": Drawn(SUPPORT, DIPPED, "hands", ("bar", "band"), 0.95),
    "dip-negative": Drawn(SUPPORT, DIPPED, "hands", ("bar",), 0.95),
    "parallel-bar-dip": Drawn(SUPPORT, DIPPED, "hands", ("bar",), 0.95),
    "dip-paused-bottom": Drawn(SUPPORT, DIPPED, "hands", ("bar",), 0.95),
    "ring-support-hold": Drawn(SUPPORT, None, "hands", ("ropes",), 0.95),
    "ring-dip": Drawn(SUPPORT, DIPPED, "hands", ("ropes",), 0.95),
    "weighted-dip": Drawn(SUPPORT, DIPPED, "hands", ("bar", "pack"), 0.95),
    "sit-to-stand": _squat((20, 92, 184, 95, 88), STANDING, "seat"),
    "box-squat": _squat(STANDING, (34, 94, 190, 95, 88), "seat"),
    "bodyweight-squat": _squat(STANDING, SQUAT),
    "goblet-squat": _squat((2, 182, 178, 150, 30), (24, 98, 202, 140, 30), "weight"),
    "step-up-20cm": _squat((14, 118, 190, 176, 172, 170, 190), (2, 182, 178, 176, 172, 178, 178), "feet_low"),
    "split-squat": _squat(SPLIT, SPLIT_LOW),
    "reverse-lunge": _squat(STANDING, SPLIT_LOW),
    "dumbbell-split-squat": _squat(SPLIT, SPLIT_LOW, "weight"),
    "dumbbell-reverse-lunge": _squat(STANDING, SPLIT_LOW, "weight"),
    "rear-foot-elevated-split-squat": _squat((4, 160, 186, 176, 172, 200, 285), (14, 100, 184, 176, 172, 190, 300)),
    "single-leg-box-squat": _squat((2, 182, 178, 95, 90, 130, 130), (34, 94, 190, 95, 88, 88, 92), "seat"),
    "assisted-single-leg-squat": _squat((0, 182, 178, 80, 75, 120, 120), (24, 82, 200, 60, 50, 76, 80), "ropes"),
    "shrimp-squat-assisted": _squat((4, 182, 178, 90, 85, 190, 300), (36, 96, 200, 80, 70, 176, 290), "ropes"),
    "pistol-squat": _squat((2, 182, 178, 95, 90, 120, 120), (40, 78, 206, 92, 88, 82, 84)),
    "glute-bridge": Drawn(LYING_BENT, BRIDGED, "feet"),
    "single-leg-glute-bridge": Drawn((*LYING_BENT, 50, 50), (*BRIDGED, 64, 64), "feet"),
    "hip-thrust": Drawn((-50, 55, 170, 95, 92), (-90, 88, 180, 95, 92), "feet", ("floor", "shoulders")),
    "weighted-hip-thrust": Drawn((-50, 55, 170, 95, 92), (-90, 88, 180, 95, 92), "feet", ("floor", "shoulders", "lap")),
    "single-leg-hip-thrust": Drawn(
        (-50, 55, 170, 95, 92, 62, 62), (-90, 88, 180, 95, 92, 88, 88), "feet", ("floor", "shoulders")
    ),
    "hamstring-slider-eccentric": Drawn(BRIDGED, (-98, 84, 98, 92, 92), "feet"),
    "hamstring-slider-curl": Drawn((-98, 84, 98, 92, 92), BRIDGED, "feet"),
    "strap-hamstring-curl": _lying((-110, 72, 76, 100, 92), (-124, 40, 150, 80, 92), "feet_ropes", height_m=0.3),
    "nordic-curl-negative": Drawn((0, 180, 270, 150, 60), (50, 230, 270, 120, 60), "knee", ("floor", "pinned"), 0.06),
    "hip-hinge-drill": _squat(STANDING, (80, 168, 190, 165, 165)),
    "dumbbell-romanian-deadlift": _squat(STANDING, (78, 166, 190, 180, 180), "weight"),
    "single-leg-romanian-deadlift": _squat((*STANDING, 184, 190), (80, 172, 186, 180, 180, 262, 264), "weight"),
    "dead-bug": _lying((-90, 0, 90, 0, 0, 0, 90), (-90, 0, 90, -80, -80, 78, 82)),
    "forearm-plank-knees": Drawn((76, 256, 285, 180, 90), None, "knee", ("floor",), 0.06),
    "forearm-plank": Drawn(PLANK, None, "feet", ("floor",), 0.12),
    "plank-shoulder-tap": Drawn(_leaning(71, 180, 180), _leaning(71, 150, 10), "feet", ("floor",), 0.12),
    "long-lever-plank": Drawn(_leaning(81, 140, 90), None, "feet", ("floor",), 0.12),
    "body-saw": Drawn(_leaning(79, 180, 90), _leaning(83, 140, 90), "feet", ("floor",), 0.12),
    "ring-rollout-kneeling": Drawn((40, 200, 270, 150, 150), (70, 230, 270, 84, 84), "knee", ("floor", "ropes"), 0.06),
    "hollow-hold-tuck": _lying((-78, 20, 110, 60, 84), None),
    "hollow-hold": _lying((-76, 72, 72, -68, -68), None),
    "tuck-front-lever-hold": _hang(None, start=(-86, -30, 110, 24, 24)),
    "supine-knee-raise": _lying((-90, 50, 165, 95, 92), (-90, -10, 100, 95, 92)),
    "lying-leg-raise": _lying((-90, 82, 82, 95, 92), (-90, 4, 4, 95, 92)),
    "hanging-knee-raise": _hang((-8, 76, 190, 0, 0)),
    "hanging-leg-raise": _hang((-10, 84, 84, 4, 4)),
    "toes-to-bar": _hang((-40, 14, 14, 18, 18)),
    "tuck-l-sit": Drawn((4, 60, 195, 186, 184), None, "hands", ("bar", "floor"), 0.3),
    "l-sit": Drawn((2, 86, 88, 188, 186), None, "hands", ("bar", "floor"), 0.3),
    "side-plank-knees": Drawn((72, 252, 300, 180, 180), None, "knee", ("floor",), 0.08),
    "side-plank": Drawn(_leaning(76, 180, 90), None, "feet", ("floor",), 0.08),
    "side-plank-leg-lift": Drawn((76, 256, 256, 180, 90, 284, 284), None, "feet", ("floor",), 0.08),
    "side-plank-feet-elevated": Drawn(_leaning(90, 180, 90), None, "feet", ("floor", "feet"), 0.36),
}
