"""Progression lines: common practice among coaches, no published source.

Externally loaded movements stand at the end of a line by an explicit edge with the dose they are entered at; bands and
weights progress by load, mobility has no line.
"""

from itertools import pairwise

from programs.library.schema import Edge, Line

FEW = {"sets": 3, "amount_low": 3, "amount_high": 5, "target_rir": 3}
SOME = {"sets": 3, "amount_low": 5, "amount_high": 8, "target_rir": 3}
LOWERING = {"sets": 3, "amount_low": 2, "amount_high": 3, "target_rir": 3}
HOLD = {"sets": 3, "amount_low": 8, "amount_high": 12, "target_rir": 3}
LONG_HOLD = {"sets": 3, "amount_low": 15, "amount_high": 20, "target_rir": 3}


def _chain(*steps: str, dose: dict[str, int]) -> tuple[Edge, ...]:
    return tuple(Edge(easier, harder, dose) for easier, harder in pairwise(steps))


LINES = (
    Line(
        "pull-up-line",
        "Pull-up line",
        (
            Edge(
                "foot-assisted-hang",
                "dead-hang",
                HOLD,
                "Take weight off the feet until they only touch; then lift them for the last seconds of each hold.",
            ),
            Edge(
                "foot-assisted-hang",
                "ring-row-45deg",
                SOME,
                "Rows train the pull before the arms can carry the body: walk the feet forward to make them heavier.",
            ),
            Edge("ring-row-45deg", "ring-row-60deg", SOME, "More lean, more of the body on the hands."),
            Edge(
                "ring-row-60deg",
                "foot-assisted-pull-up",
                SOME,
                "The same pull from above. The feet help with just what is missing: less push, more load.",
            ),
            Edge("dead-hang", "scapular-pull-up", SOME),
            Edge("dead-hang", "active-hang", HOLD),
            Edge("scapular-pull-up", "foot-assisted-pull-up", SOME),
            Edge(
                "active-hang",
                "flexed-arm-hang",
                {**HOLD, "amount_low": 5, "amount_high": 8},
                "Holding the top: step up to it, hold, step down. Add seconds before adding sets.",
            ),
            Edge(
                "foot-assisted-pull-up",
                "band-assisted-pull-up",
                SOME,
                "A band helps most at the bottom. Change to a thinner one when 8 are clean with 3 in reserve.",
            ),
            Edge("foot-assisted-pull-up", "band-assisted-chin-up", SOME, "Palms towards you: the arms help more."),
            Edge("band-assisted-chin-up", "chin-up", {**LOWERING, "target_rir": 2}, "Without the band, few at first."),
            Edge(
                "foot-assisted-pull-up",
                "pull-up-negative",
                LOWERING,
                "Lowering with the whole body, 3 to 5 seconds. Few: strong soreness follows the first sessions.",
            ),
            Edge("flexed-arm-hang", "pull-up-negative", LOWERING),
            Edge("band-assisted-pull-up", "chin-up", {**LOWERING, "target_rir": 2}),
            Edge("pull-up-negative", "chin-up", {**LOWERING, "target_rir": 2}),
            Edge("chin-up", "pull-up", FEW, "Palms away: the arms help less."),
            Edge("chin-up", "neutral-grip-pull-up", FEW, "Rings that turn: the elbows choose their way."),
            Edge("chin-up", "weighted-chin-up", FEW, "From 8 clean ones on: add 2.5 kg and do fewer."),
            Edge("chin-up", "ring-pull-up", FEW),
            Edge("pull-up", "pull-up-paused-top", FEW),
            Edge("pull-up-paused-top", "chest-to-bar-pull-up", FEW),
            Edge("pull-up", "weighted-pull-up", FEW, "From 8 clean ones on: add 2.5 kg and do fewer."),
            Edge("pull-up-paused-top", "pull-up-slow-eccentric", LOWERING, "Five seconds down: more work in each."),
            Edge("pull-up-paused-top", "wide-grip-pull-up", FEW, "A wider grip shortens the lever of the arms."),
            Edge("chest-to-bar-pull-up", "l-sit-pull-up", FEW, "Legs held out add work for the trunk."),
            Edge("chest-to-bar-pull-up", "archer-pull-up", LOWERING, "More of the body on one arm."),
        ),
    ),
    Line(
        "push-up-line",
        "Push-up line",
        (
            *_chain("wall-push-up", "counter-push-up", "incline-push-up-60cm", "knee-push-up", dose=SOME),
            *_chain("knee-push-up", "incline-push-up-30cm", "push-up", dose=SOME),
            Edge("incline-push-up-30cm", "push-up-negative", LOWERING),
            Edge("push-up-negative", "push-up", FEW),
            *_chain("push-up", "push-up-paused-bottom", "decline-push-up-30cm", "decline-push-up-60cm", dose=SOME),
            Edge("push-up", "close-grip-push-up", SOME),
            Edge("decline-push-up-30cm", "ring-push-up", FEW),
            Edge("push-up", "weighted-push-up", SOME, "From 12 clean ones on: a backpack worn tight."),
            Edge("close-grip-push-up", "archer-push-up", LOWERING, "More of the body on one arm."),
            Edge("archer-push-up", "one-arm-push-up-raised", LOWERING, "One arm, the hand high at first."),
        ),
    ),
    Line(
        "row-line",
        "Row line",
        (
            *_chain("ring-row-30deg", "ring-row-45deg", "ring-row-60deg", "ring-row-75deg", "inverted-row", dose=SOME),
            Edge("ring-row-45deg", "table-row-bent-knee", SOME),
            Edge("ring-row-45deg", "inverted-row-bent-knee", SOME),
            Edge("inverted-row-bent-knee", "inverted-row", SOME, "Long legs make a longer lever."),
            Edge("inverted-row", "inverted-row-paused", FEW, "A pause at the top takes the swing away."),
            Edge("inverted-row", "archer-ring-row", FEW, "More of the body on one arm."),
            Edge("archer-ring-row", "one-arm-ring-row", FEW, "One arm, with a smaller lean at first."),
            Edge("table-row-bent-knee", "inverted-row", SOME),
            Edge("inverted-row", "inverted-row-feet-elevated", SOME),
            Edge("inverted-row", "weighted-inverted-row", SOME),
        ),
    ),
    Line(
        "dip-line",
        "Dip line",
        (
            Edge("support-hold", "foot-assisted-dip", SOME),
            Edge("foot-assisted-dip", "band-assisted-dip", SOME),
            Edge("foot-assisted-dip", "dip-negative", LOWERING),
            Edge("band-assisted-dip", "parallel-bar-dip", FEW),
            Edge("dip-negative", "parallel-bar-dip", FEW),
            Edge("parallel-bar-dip", "ring-support-hold", {**HOLD, "amount_low": 5, "amount_high": 10}),
            Edge("ring-support-hold", "ring-dip", LOWERING),
            Edge("parallel-bar-dip", "weighted-dip", FEW, "From 8 clean ones on: add 2.5 kg and do fewer."),
            Edge("parallel-bar-dip", "dip-paused-bottom", FEW, "A pause at the bottom takes the bounce away."),
        ),
    ),
    Line(
        "squat-line",
        "Squat line",
        (
            *_chain("sit-to-stand", "box-squat", "bodyweight-squat", "split-squat", "reverse-lunge", dose=SOME),
            Edge("bodyweight-squat", "goblet-squat", SOME),
            Edge("box-squat", "step-up-20cm", SOME),
            Edge("step-up-20cm", "split-squat", SOME),
            Edge("reverse-lunge", "rear-foot-elevated-split-squat", SOME),
            Edge("split-squat", "dumbbell-split-squat", SOME, "From 12 a side on: hold a weight."),
            Edge("reverse-lunge", "dumbbell-reverse-lunge", SOME, "From 12 a side on: hold a weight."),
            Edge("assisted-single-leg-squat", "shrimp-squat-assisted", LOWERING, "The knee bends deeper than the hip."),
            Edge("rear-foot-elevated-split-squat", "single-leg-box-squat", FEW),
            Edge("rear-foot-elevated-split-squat", "assisted-single-leg-squat", FEW),
            Edge("single-leg-box-squat", "pistol-squat", LOWERING),
            Edge("assisted-single-leg-squat", "pistol-squat", LOWERING),
        ),
    ),
    Line(
        "bridge-line",
        "Bridge and leg-curl line",
        (
            Edge("glute-bridge", "hip-thrust", SOME),
            Edge("glute-bridge", "single-leg-glute-bridge", SOME),
            Edge("hip-thrust", "single-leg-hip-thrust", SOME),
            Edge("hip-thrust", "weighted-hip-thrust", SOME, "From 15 on: a weight over a pad."),
            Edge("hamstring-slider-curl", "strap-hamstring-curl", FEW, "Straps let the feet swing: hold them still."),
            Edge("single-leg-glute-bridge", "single-leg-hip-thrust", SOME),
            Edge("single-leg-glute-bridge", "hamstring-slider-eccentric", LOWERING),
            Edge("hamstring-slider-eccentric", "hamstring-slider-curl", FEW),
            Edge("hamstring-slider-curl", "nordic-curl-negative", {**LOWERING, "sets": 2}),
        ),
    ),
    Line(
        "hinge-line",
        "Hinge line",
        (
            Edge("hip-hinge-drill", "dumbbell-romanian-deadlift", SOME),
            Edge("dumbbell-romanian-deadlift", "single-leg-romanian-deadlift", SOME),
        ),
    ),
    Line(
        "trunk-line",
        "Trunk line",
        (
            Edge("dead-bug", "forearm-plank-knees", LONG_HOLD),
            Edge("forearm-plank-knees", "forearm-plank", LONG_HOLD),
            Edge("forearm-plank", "plank-shoulder-tap", SOME, "One hand off the floor wants to turn the body."),
            Edge("forearm-plank", "long-lever-plank", HOLD),
            Edge("dead-bug", "hollow-hold-tuck", HOLD),
            Edge("hollow-hold-tuck", "hollow-hold", HOLD),
            Edge("long-lever-plank", "body-saw", FEW),
            Edge("body-saw", "ring-rollout-kneeling", FEW),
            Edge("hollow-hold", "tuck-front-lever-hold", {**HOLD, "amount_low": 5, "amount_high": 8}),
        ),
    ),
    Line(
        "hanging-trunk-line",
        "Leg-raise line",
        (
            *_chain("supine-knee-raise", "lying-leg-raise", "hanging-knee-raise", "hanging-leg-raise", dose=SOME),
            Edge("hanging-knee-raise", "tuck-l-sit", HOLD),
            Edge("hanging-leg-raise", "toes-to-bar", FEW, "Higher, without a swing."),
            Edge("tuck-l-sit", "l-sit", {**HOLD, "amount_low": 5, "amount_high": 8}),
        ),
    ),
    Line(
        "side-plank-line",
        "Side-plank line",
        (
            *_chain("side-plank-knees", "side-plank", "side-plank-feet-elevated", dose=LONG_HOLD),
            Edge("side-plank", "side-plank-leg-lift", HOLD, "The lower hip carries alone."),
        ),
    ),
)
