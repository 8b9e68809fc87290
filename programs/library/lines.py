"""Progression lines: common practice among coaches, no published source.

Externally loaded movements stand at the end of a line by an explicit edge with the dose they are entered at; bands and
weights progress by load, mobility has no line.
"""

from programs.library.schema import Edge, Line

FEW = {"sets": 3, "amount_low": 3, "amount_high": 5, "target_rir": 3}
SOME = {"sets": 3, "amount_low": 5, "amount_high": 8, "target_rir": 3}
LOWERING = {"sets": 3, "amount_low": 2, "amount_high": 3, "target_rir": 3}
HOLD = {"sets": 3, "amount_low": 8, "amount_high": 12, "target_rir": 3}
LONG_HOLD = {"sets": 3, "amount_low": 15, "amount_high": 20, "target_rir": 3}


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
            Edge(
                "dead-hang",
                "scapular-pull-up",
                SOME,
                "The shoulder blades lift the hanging body: the first part of every pull.",
            ),
            Edge(
                "dead-hang",
                "active-hang",
                HOLD,
                "The shoulders stay pulled down for the whole hold instead of resting in the joints.",
            ),
            Edge(
                "scapular-pull-up",
                "foot-assisted-pull-up",
                SOME,
                "The elbows join in. The feet take away what the arms cannot lift yet.",
            ),
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
            Edge(
                "flexed-arm-hang",
                "pull-up-negative",
                LOWERING,
                "From holding the top to leaving it slowly: the whole way down is under load.",
            ),
            Edge(
                "band-assisted-pull-up",
                "chin-up",
                {**LOWERING, "target_rir": 2},
                "No help at the bottom any more; palms towards you, because there the arms help most.",
            ),
            Edge(
                "pull-up-negative",
                "chin-up",
                {**LOWERING, "target_rir": 2},
                "Up as well as down: lifting takes more than lowering the same weight.",
            ),
            Edge("chin-up", "pull-up", FEW, "Palms away: the arms help less."),
            Edge("chin-up", "neutral-grip-pull-up", FEW, "Rings that turn: the elbows choose their way."),
            Edge("chin-up", "weighted-chin-up", FEW, "From 8 clean ones on: add 2.5 kg and do fewer."),
            Edge(
                "chin-up",
                "ring-pull-up",
                FEW,
                "Rings turn and swing, so the grip and the shoulders have to steady them.",
            ),
            Edge("pull-up", "pull-up-paused-top", FEW, "A hold at the top, where the pull is shortest and weakest."),
            Edge(
                "pull-up-paused-top",
                "chest-to-bar-pull-up",
                FEW,
                "A hand's breadth higher: the last part of the pull is the hardest.",
            ),
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
            Edge("wall-push-up", "counter-push-up", SOME, "The lower the hands, the more of the body they carry."),
            Edge(
                "counter-push-up",
                "incline-push-up-60cm",
                SOME,
                "From hip height to knee height: more of the body on the hands.",
            ),
            Edge("incline-push-up-60cm", "knee-push-up", SOME, "Hands on the floor; the knees shorten the lever."),
            Edge(
                "knee-push-up",
                "incline-push-up-30cm",
                SOME,
                "The whole body is the lever again, so the trunk has to hold it straight.",
            ),
            Edge(
                "incline-push-up-30cm",
                "push-up",
                SOME,
                "The last step down to the floor: about a tenth of the body more on the hands.",
            ),
            Edge(
                "incline-push-up-30cm",
                "push-up-negative",
                LOWERING,
                "The full weight of the floor push-up, only downwards: lowering is stronger than lifting.",
            ),
            Edge("push-up-negative", "push-up", FEW, "What was only lowered is now pressed up as well."),
            Edge("push-up", "push-up-paused-bottom", SOME, "A pause at the bottom takes the bounce away."),
            Edge(
                "push-up-paused-bottom",
                "decline-push-up-30cm",
                SOME,
                "Feet up: more of the body on the hands, and more for the shoulders.",
            ),
            Edge("decline-push-up-30cm", "decline-push-up-60cm", SOME, "Higher feet, more of the body on the hands."),
            Edge("push-up", "close-grip-push-up", SOME, "A narrow stance gives more of the work to the elbows."),
            Edge(
                "decline-push-up-30cm",
                "ring-push-up",
                FEW,
                "The hands stand on something that moves: the shoulders have to steady them.",
            ),
            Edge("push-up", "weighted-push-up", SOME, "From 12 clean ones on: a backpack worn tight."),
            Edge("close-grip-push-up", "archer-push-up", LOWERING, "More of the body on one arm."),
            Edge("archer-push-up", "one-arm-push-up-raised", LOWERING, "One arm, the hand high at first."),
        ),
    ),
    Line(
        "row-line",
        "Row line",
        (
            Edge("ring-row-30deg", "ring-row-45deg", SOME, "More lean, more of the body on the hands."),
            Edge("ring-row-45deg", "ring-row-60deg", SOME, "More lean, more of the body on the hands."),
            Edge("ring-row-60deg", "ring-row-75deg", SOME, "Almost level: most of the body hangs from the hands."),
            Edge("ring-row-75deg", "inverted-row", SOME, "The body lies level, the feet only hold it in place."),
            Edge(
                "ring-row-45deg", "table-row-bent-knee", SOME, "The body lies level; bent knees keep the lever short."
            ),
            Edge(
                "ring-row-45deg",
                "inverted-row-bent-knee",
                SOME,
                "The body lies level; bent knees keep the lever short.",
            ),
            Edge("inverted-row-bent-knee", "inverted-row", SOME, "Long legs make a longer lever."),
            Edge("inverted-row", "inverted-row-paused", FEW, "A pause at the top takes the swing away."),
            Edge("inverted-row", "archer-ring-row", FEW, "More of the body on one arm."),
            Edge("archer-ring-row", "one-arm-ring-row", FEW, "One arm, with a smaller lean at first."),
            Edge("table-row-bent-knee", "inverted-row", SOME, "Long legs make a longer lever."),
            Edge(
                "inverted-row",
                "inverted-row-feet-elevated",
                SOME,
                "With the feet up, none of the lean is left to help.",
            ),
            Edge(
                "inverted-row",
                "weighted-inverted-row",
                SOME,
                "From 12 clean ones on: a backpack worn tight, or a weight vest.",
            ),
        ),
    ),
    Line(
        "dip-line",
        "Dip line",
        (
            Edge(
                "support-hold",
                "foot-assisted-dip",
                SOME,
                "From holding the top to bending the arms, with the feet to help.",
            ),
            Edge(
                "foot-assisted-dip",
                "band-assisted-dip",
                SOME,
                "The feet leave the floor; a band helps most at the bottom.",
            ),
            Edge(
                "foot-assisted-dip",
                "dip-negative",
                LOWERING,
                "The whole body, only downwards: lowering is stronger than pressing.",
            ),
            Edge("band-assisted-dip", "parallel-bar-dip", FEW, "Without the band, few at first."),
            Edge("dip-negative", "parallel-bar-dip", FEW, "What was only lowered is now pressed up as well."),
            Edge(
                "parallel-bar-dip",
                "ring-support-hold",
                {**HOLD, "amount_low": 5, "amount_high": 10},
                "Bars stand still, rings do not: first learn to hold the top.",
            ),
            Edge("ring-support-hold", "ring-dip", LOWERING, "The arms bend while the rings want to drift apart."),
            Edge("parallel-bar-dip", "weighted-dip", FEW, "From 8 clean ones on: add 2.5 kg and do fewer."),
            Edge("parallel-bar-dip", "dip-paused-bottom", FEW, "A pause at the bottom takes the bounce away."),
        ),
    ),
    Line(
        "squat-line",
        "Squat line",
        (
            Edge("sit-to-stand", "box-squat", SOME, "Touch the seat and rise again, without sitting down to rest."),
            Edge(
                "box-squat",
                "bodyweight-squat",
                SOME,
                "Nothing behind you any more: you decide how deep, and stop there by yourself.",
            ),
            Edge("bodyweight-squat", "split-squat", SOME, "One leg in front carries most of the body."),
            Edge(
                "split-squat",
                "reverse-lunge",
                SOME,
                "Each repetition begins with a step, so the balance is found anew.",
            ),
            Edge(
                "bodyweight-squat",
                "goblet-squat",
                SOME,
                "A weight before the chest: begin with one you could hold for 15.",
            ),
            Edge(
                "box-squat", "step-up-20cm", SOME, "One leg after the other lifts the whole body, over a small height."
            ),
            Edge(
                "step-up-20cm",
                "split-squat",
                SOME,
                "The front knee bends deeper, and the back leg helps less than a step does.",
            ),
            Edge(
                "reverse-lunge",
                "rear-foot-elevated-split-squat",
                SOME,
                "The back foot is up and can help less: more on the front leg.",
            ),
            Edge("split-squat", "dumbbell-split-squat", SOME, "From 12 a side on: hold a weight."),
            Edge("reverse-lunge", "dumbbell-reverse-lunge", SOME, "From 12 a side on: hold a weight."),
            Edge("assisted-single-leg-squat", "shrimp-squat-assisted", LOWERING, "The knee bends deeper than the hip."),
            Edge(
                "rear-foot-elevated-split-squat",
                "single-leg-box-squat",
                FEW,
                "The other leg helps no more; a seat says how deep.",
            ),
            Edge(
                "rear-foot-elevated-split-squat",
                "assisted-single-leg-squat",
                FEW,
                "One leg through the whole depth, with the hands to help.",
            ),
            Edge(
                "single-leg-box-squat",
                "pistol-squat",
                LOWERING,
                "Below the seat: the deepest part, with nothing to sit on.",
            ),
            Edge(
                "assisted-single-leg-squat",
                "pistol-squat",
                LOWERING,
                "Without the hands: strength and balance at once.",
            ),
        ),
    ),
    Line(
        "bridge-line",
        "Bridge and leg-curl line",
        (
            Edge("glute-bridge", "hip-thrust", SOME, "The back is up on an edge, so the hips travel further."),
            Edge("glute-bridge", "single-leg-glute-bridge", SOME, "One leg lifts what two lifted."),
            Edge("hip-thrust", "single-leg-hip-thrust", SOME, "One leg lifts what two lifted, over the longer way."),
            Edge("hip-thrust", "weighted-hip-thrust", SOME, "From 15 on: a weight over a pad."),
            Edge("hamstring-slider-curl", "strap-hamstring-curl", FEW, "Straps let the feet swing: hold them still."),
            Edge(
                "single-leg-glute-bridge",
                "single-leg-hip-thrust",
                SOME,
                "The back is up on an edge, so the hip travels further.",
            ),
            Edge(
                "single-leg-glute-bridge",
                "hamstring-slider-eccentric",
                LOWERING,
                "The heels slide away under load: the backs of the thighs brake. Few: they get sore.",
            ),
            Edge(
                "hamstring-slider-eccentric", "hamstring-slider-curl", FEW, "Pulled back in as well, not only let out."
            ),
            Edge(
                "hamstring-slider-curl",
                "nordic-curl-negative",
                {**LOWERING, "sets": 2},
                "Almost the whole body hangs on the backs of the thighs. Very few: strong soreness follows.",
            ),
        ),
    ),
    Line(
        "hinge-line",
        "Hinge line",
        (
            Edge(
                "hip-hinge-drill",
                "dumbbell-romanian-deadlift",
                SOME,
                "The same way of bending with a weight in the hands: begin light.",
            ),
            Edge(
                "dumbbell-romanian-deadlift",
                "single-leg-romanian-deadlift",
                SOME,
                "On one leg: less weight is needed, and the hip has to stay level.",
            ),
        ),
    ),
    Line(
        "trunk-line",
        "Trunk line",
        (
            Edge(
                "dead-bug",
                "forearm-plank-knees",
                LONG_HOLD,
                "The trunk holds against the floor's pull instead of lying on it.",
            ),
            Edge("forearm-plank-knees", "forearm-plank", LONG_HOLD, "From the knees to the toes: a longer lever."),
            Edge("forearm-plank", "plank-shoulder-tap", SOME, "One hand off the floor wants to turn the body."),
            Edge("forearm-plank", "long-lever-plank", HOLD, "Elbows further forward: a longer lever for the trunk."),
            Edge(
                "dead-bug",
                "hollow-hold-tuck",
                HOLD,
                "Both legs are held off the floor at once, without changing sides to rest.",
            ),
            Edge("hollow-hold-tuck", "hollow-hold", HOLD, "Arms and legs long: the same hold with a longer lever."),
            Edge(
                "long-lever-plank",
                "body-saw",
                FEW,
                "The lever gets longer and shorter while the trunk keeps its shape.",
            ),
            Edge("body-saw", "ring-rollout-kneeling", FEW, "The arms go far out in front, and back again."),
            Edge(
                "hollow-hold",
                "tuck-front-lever-hold",
                {**HOLD, "amount_low": 5, "amount_high": 8},
                "The same shape, hanging: arms and back carry the body.",
            ),
        ),
    ),
    Line(
        "hanging-trunk-line",
        "Leg-raise line",
        (
            Edge("supine-knee-raise", "lying-leg-raise", SOME, "Long legs are heavier than bent ones."),
            Edge(
                "lying-leg-raise",
                "hanging-knee-raise",
                SOME,
                "The floor no longer holds the back, and the hands carry the body.",
            ),
            Edge("hanging-knee-raise", "hanging-leg-raise", SOME, "Long legs are heavier than bent ones."),
            Edge(
                "hanging-knee-raise",
                "tuck-l-sit",
                HOLD,
                "The knees stay up while the arms hold the body off the floor.",
            ),
            Edge("hanging-leg-raise", "toes-to-bar", FEW, "Higher, without a swing."),
            Edge(
                "tuck-l-sit",
                "l-sit",
                {**HOLD, "amount_low": 5, "amount_high": 8},
                "Legs long: the same hold with a longer lever.",
            ),
        ),
    ),
    Line(
        "side-plank-line",
        "Side-plank line",
        (
            Edge("side-plank-knees", "side-plank", LONG_HOLD, "From the knees to the feet: a longer lever."),
            Edge(
                "side-plank",
                "side-plank-feet-elevated",
                LONG_HOLD,
                "Feet up: more of the body on the shoulder and the side.",
            ),
            Edge("side-plank", "side-plank-leg-lift", HOLD, "The lower hip carries alone."),
        ),
    ),
)
