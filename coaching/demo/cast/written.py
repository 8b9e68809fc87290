"""Six blocks in different styles that the invented practice begins from. Doses are invented; none is advice."""

from decimal import Decimal

from coaching.demo.person import Work, Written

RAISE = Work("march-in-place", 1, 120, 120, can=0, rir=None, rest_s=30, section="raise")
WRISTS = Work("wrist-extension-rock", 1, 10, 10, can=0, rir=None, rest_s=20, section="mobility")
SHOULDERS = Work("arm-circles", 1, 10, 10, can=0, rir=None, rest_s=20, section="mobility")
HIPS = Work("hip-switch", 1, 8, 8, can=0, rir=None, rest_s=20, section="mobility")
BACK = Work("cat-cow", 1, 8, 8, can=0, rir=None, rest_s=20, section="mobility")
CHEST = Work("doorway-chest-stretch", 2, 30, 30, can=0, rir=None, rest_s=15, section="cool_down", per_side=True)
FOLD = Work("seated-forward-fold", 2, 30, 30, can=0, rir=None, rest_s=15, section="cool_down")

ONE_REP = {"step_amount": 1}
ONE_SET = {"step_sets": 1}
FIVE_S = {"step_amount": 5}
TWO_AND_A_HALF = {"step_load": Decimal("2.5")}


def ramp(slug: str, reps: int) -> Work:
    return Work(slug, 2, reps, reps, can=0, rir=None, rest_s=60, section="ramp", more={"kind": "warm_up"})


UPPER = Written(
    title="Upper body first (invented)",
    about="Pull and press three times a week, legs kept going. For a bar, rings and dip bars.",
    written_for="Kojo Halvorsen",
    deload_week=4,
    days=(
        (
            "Pull",
            0,
            (
                RAISE,
                SHOULDERS,
                ramp("scapular-pull-up", 5),
                Work("pull-up", 1, 3, 5, can=0, rir="2", rest_s=180, more={"kind": "top"} | ONE_REP),
                Work("pull-up", 3, 3, 4, can=0, rir="3", rest_s=150, more={"kind": "back_off"}),
                Work("ring-row-45deg", 3, 8, 12, can=0, rest_s=30, paired=True, more=ONE_REP),
                Work("ring-push-up", 3, 8, 12, can=0, rest_s=90, more=ONE_REP),
                Work("hollow-hold", 3, 20, 20, can=0, rir=None, rest_s=45, section="core", more=FIVE_S),
            ),
        ),
        (
            "Press",
            2,
            (
                RAISE,
                WRISTS,
                ramp("scapular-push-up", 8),
                Work("parallel-bar-dip", 4, 4, 6, can=0, rest_s=150, more=ONE_REP),
                Work("pike-push-up", 3, 6, 8, can=0, more=ONE_REP),
                Work("split-squat", 3, 8, 10, can=0, per_side=True),
                CHEST,
            ),
        ),
        (
            "Both, by the clock",
            4,
            (
                RAISE,
                SHOULDERS,
                Work(
                    "chin-up", 5, 3, 3, can=0, rir="3", rest_s=0, paired=True,
                    more={"together": "every", "interval_s": 60},
                ),
                Work("push-up", 5, 8, 8, can=0, rir="3", rest_s=0),
                Work("ring-support-hold", 3, 15, 15, can=0, rir=None, rest_s=60, more=FIVE_S),
                Work("dead-bug", 3, 8, 8, can=0, rir=None, rest_s=45, section="core"),
            ),
        ),
    ),
)  # fmt: skip

ONE_BAND = Written(
    title="All of it with one band (invented)",
    about="Three circuits a week for somebody with a band, an anchor and a floor.",
    written_for="मीरव सोलंकर",
    days=(
        (
            "Circuit one",
            0,
            (
                RAISE,
                BACK,
                Work("band-row-standing", 3, 10, 15, can=0, rir="3", rest_s=20, paired=True, more=ONE_REP),
                Work("push-up", 3, 6, 12, can=0, rir="3", rest_s=20, paired=True,
                     more={"easier_slug": "incline-push-up-30cm", "easier_below": 6}),
                Work("bodyweight-squat", 3, 12, 15, can=0, rir="3", rest_s=90, more=ONE_REP),
                Work("dead-bug", 2, 8, 8, can=0, rir=None, rest_s=45, section="core"),
            ),
        ),
        (
            "Rounds",
            2,
            (
                RAISE,
                HIPS,
                Work("band-good-morning", 4, 10, 10, can=0, rir="4", rest_s=0, paired=True,
                     more={"together": "rounds", "minutes": 12}),
                Work("band-overhead-press", 4, 8, 8, can=0, rir="4", rest_s=0, paired=True),
                Work("band-pull-apart", 4, 15, 15, can=0, rir="4", rest_s=0),
                FOLD,
            ),
        ),
        (
            "Circuit two",
            4,
            (
                RAISE,
                BACK,
                Work("band-pulldown-kneeling", 3, 10, 15, can=0, rir="3", rest_s=20, paired=True, more=ONE_REP),
                Work("glute-bridge", 3, 12, 15, can=0, rir="3", rest_s=20, paired=True, more=ONE_REP),
                Work("band-anti-rotation-press", 3, 10, 10, can=0, rir="3", rest_s=60, per_side=True),
            ),
        ),
    ),
)  # fmt: skip

DUMBBELLS = Written(
    title="Two dumbbells (invented)",
    about="Heavier by small steps, with a lighter fourth week. For dumbbells that can be changed and a chair.",
    written_for="Casey Thornbury",
    deload_week=4,
    days=(
        (
            "Squat and row",
            0,
            (
                RAISE,
                HIPS,
                ramp("bodyweight-squat", 10),
                Work("goblet-squat", 4, 8, 10, can=0, load="20", rest_s=120, more=TWO_AND_A_HALF),
                Work("dumbbell-row-supported", 3, 8, 12, can=0, load="16", per_side=True, more=ONE_REP),
                Work("dumbbell-curl", 2, 10, 12, can=0, load="8", rest_s=60, more={"grip": "supinated,neutral"}),
                Work("side-plank", 2, 20, 20, can=0, rir=None, rest_s=45, section="core", per_side=True, more=FIVE_S),
            ),
        ),
        (
            "Press and hinge",
            3,
            (
                RAISE,
                SHOULDERS,
                Work("dumbbell-floor-press", 4, 6, 8, can=0, load="18", rest_s=120, more=TWO_AND_A_HALF),
                Work(
                    "dumbbell-romanian-deadlift", 3, 8, 8, can=0, load="24", rest_s=120, tempo="3-1-1-0",
                    more=TWO_AND_A_HALF,
                ),
                Work(
                    "dumbbell-overhead-press-seated", 3, 6, 6, can=0, load="12", rest_s=120,
                    more={"kind": "cluster", "cluster_reps": 2, "rest_within_s": 15},
                ),
                Work("dumbbell-lateral-raise", 2, 12, 15, can=0, load="5", rest_s=60),
            ),
        ),
    ),
)  # fmt: skip

TRAVEL = Written(
    title="A fortnight away (invented)",
    about="Twenty minutes in a small room: a band, a chair, the floor. Enough to come back to.",
    written_for="Kaya Moreau",
    weeks=2,
    begun_for=("Imre Castellane",),
    days=(
        (
            "Small room",
            1,
            (
                RAISE,
                BACK,
                Work("push-up", 3, 6, 10, can=0, rir="3", rest_s=20, paired=True,
                     more={"and_or": "Or hands on the edge of the bed."}),
                Work("split-squat", 3, 8, 10, can=0, rir="3", rest_s=60, per_side=True),
                Work("forearm-plank", 2, 30, 30, can=0, rir=None, rest_s=45, section="core"),
            ),
        ),
        (
            "Small room, band",
            4,
            (
                RAISE,
                SHOULDERS,
                Work("band-row-seated", 3, 10, 15, can=0, rir="3", rest_s=20, paired=True),
                Work("single-leg-glute-bridge", 3, 8, 12, can=0, rir="3", rest_s=60, per_side=True),
                Work("band-pull-apart", 2, 15, 20, can=0, rir="4", rest_s=45),
                FOLD,
            ),
        ),
    ),
)  # fmt: skip

AFTER_PAIN = Written(
    title="Back after a sore knee (invented)",
    about="For when a professional has looked and the next mornings are as usual: little, slow, one step a week.",
    written_for="Noor Lindqvist",
    begun_for=("Noor Lindqvist",),
    days=(
        (
            "Hips and row",
            1,
            (
                RAISE,
                HIPS,
                Work("glute-bridge", 2, 10, 12, can=0, rir="5", rest_s=60, more=ONE_SET,
                     cue="Stop two reps before it speaks up."),
                Work("ring-row-45deg", 3, 8, 10, can=0, rir="3", rest_s=90, more=ONE_REP),
                Work("dead-bug", 2, 6, 8, can=0, rir=None, rest_s=45, section="core"),
            ),
        ),
        (
            "Sit, stand, press",
            4,
            (
                RAISE,
                BACK,
                Work("sit-to-stand", 2, 8, 8, can=0, rir="5", rest_s=60, tempo="3-0-1-0",
                     cue="Only as deep as it stays as usual."),
                Work("push-up", 3, 6, 10, can=0, rir="3", more=ONE_REP),
                Work("calf-raise-two-leg", 2, 12, 15, can=0, rir="4", rest_s=60),
            ),
        ),
    ),
)  # fmt: skip

LIGHTER = Written(
    title="One lighter week (invented)",
    about="A week between two blocks: the same movements, half the sets, far from the limit.",
    written_for="Bram Okonjo",
    weeks=1,
    days=(
        (
            "Light pull",
            0,
            (
                RAISE,
                SHOULDERS,
                Work("foot-assisted-pull-up", 2, 6, 8, can=0, rir="4", rest_s=90),
                Work("inverted-row-bent-knee", 2, 8, 10, can=0, rir="4", rest_s=90),
                Work("dead-hang", 2, 15, 15, can=0, rir=None, rest_s=60),
            ),
        ),
        (
            "Light press and legs",
            3,
            (
                RAISE,
                HIPS,
                Work("push-up", 2, 6, 8, can=0, rir="5", rest_s=90),
                Work("reverse-lunge", 2, 8, 8, can=0, rir="5", rest_s=60, per_side=True),
                CHEST,
            ),
        ),
    ),
)

WRITTEN = (UPPER, ONE_BAND, DUMBBELLS, TRAVEL, AFTER_PAIN, LIGHTER)
