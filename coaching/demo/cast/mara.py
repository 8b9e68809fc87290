"""The clients whom Mara Quell leads. Invented, every one."""

from coaching.demo.person import (
    Answer,
    Away,
    Baseline,
    CheckIns,
    Cleared,
    Clock,
    Day,
    Decided,
    Filmed,
    Habits,
    Left,
    Noted,
    Pain,
    Person,
    Place,
    Plan,
    Question,
    Screened,
    Tested,
    Warned,
    Work,
)
from coaching.demo.truth import Truth, some

ILSE = Person(
    name="Ilse Varga",
    email="ilse@client.example",
    coach="mara",
    truth=Truth(
        "Progressing: reps climb to the top of the range, more load is due, and the block ends this week.",
        attention=some("block_ending"),
        trends={"goblet-squat": some("PROGRESSING")},
        rules=some("double_progression"),
        harder=True,
    ),
    goal_words="Carry my kayak up the steps without stopping.",
    masses=("72.4", "72.0", "71.8"),
    places=(
        Place(
            "Spare room",
            ("rings", "bar", "dumbbell", "chair", "band", "table"),
            (10, 12.5, 15, 17.5, 20, 22.5, 25, 27.5),
            untested=("table",),
        ),
    ),
    plan=Plan(
        weeks=7,
        message="Two sessions a week. Stop each set with the reps in reserve that are written beside it.",
        days=(
            Day(
                "Squat and push",
                0,
                (
                    Work(
                        "goblet-squat",
                        3,
                        8,
                        10,
                        can=11.3,
                        gain=1.0,
                        load="15",
                        rest_s=120,
                        cue="Sit between your heels.",
                    ),
                    Work(
                        "push-up",
                        3,
                        8,
                        12,
                        can=12.5,
                        gain=0.9,
                        paired=True,
                        then={"push-up-paused-bottom": 9},
                        cue="Push the floor away.",
                    ),
                    Work("ring-row-45deg", 3, 8, 12, can=12.5, gain=0.8, then={"ring-row-60deg": 9.5}),
                ),
            ),
            Day(
                "Hinge and hold",
                3,
                (
                    Work("dumbbell-romanian-deadlift", 3, 8, 10, can=10.8, gain=0.7, load="25", rest_s=120),
                    Work(
                        "hollow-hold-tuck",
                        3,
                        15,
                        25,
                        can=22,
                        gain=1.6,
                        rir=None,
                        rest_s=60,
                        section="core",
                        then={"hollow-hold": 10},
                    ),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(6, 50)),
    filmed=(
        Filmed(
            "push-up",
            "push-up",
            "Do I keep one line from head to heels?",
            hours=24 * 24,
            answer=Answer(
                20,
                "Calm and even. Carry on, and slow the way down when it feels easy.",
                verdict="sound",
                good="One line from head to heels in every rep.",
                cue="Push the floor away.",
                notes=((2.1, "Here the chest leads and the hips follow. Just right."),),
            ),
        ),
        Filmed("goblet-squat", "squat", "Do my heels stay down at the bottom?", hours=5),
    ),
)

BRAM = Person(
    name="Bram Okonjo",
    email="bram@client.example",
    coach="mara",
    truth=Truth(
        "Stalled: the same pull-ups with the same ten kilograms for three months.",
        attention=some("stall"),
        trends={
            "weighted-pull-up": some("STALLED"),
            "parallel-bar-dip": some("STALLED"),
            "hanging-knee-raise": some("STALLED", "UNCLEAR"),
            "side-plank": some("STALLED", "UNCLEAR"),
        },
        rules=some("double_progression"),
        harder=False,
    ),
    age=41,
    goal="skill",
    goal_words="A strict muscle-up before my birthday.",
    experience="over_2_years",
    masses=("83", "83.4", "83.1"),
    places=(Place("Garage", ("bar", "dip_bars", "vest", "chair")),),
    plan=Plan(
        message="Heavy and few. Rest as long as it says; the clock is part of the plan.",
        days=(
            Day(
                "Pull",
                1,
                (
                    Work(
                        "weighted-pull-up",
                        4,
                        4,
                        6,
                        can=6.7,
                        gain=0,
                        load="10",
                        rir="1",
                        rest_s=180,
                        cue="Chest to the bar.",
                    ),
                    Work("side-plank", 2, 20, 40, can=33, gain=0.2, rir=None, rest_s=45, section="core", per_side=True),
                ),
            ),
            Day(
                "Dip",
                4,
                (
                    Work("weighted-pull-up", 3, 4, 6, gain=0, load="10", rir="1", rest_s=180, can=6.0),
                    Work("parallel-bar-dip", 3, 6, 10, can=10, gain=0, rest_s=150),
                    Work("hanging-knee-raise", 3, 8, 12, rest_s=75, section="core", can=12.6, gain=0),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(20, 15), effort=8),
    check_ins=CheckIns(
        days=1,
        fell=5,
        newest="waits",
        note="Nights at work again. Nothing moves, and I sleep in two halves.",
        question="Would a lighter week be a step back?",
        activity="Two long bike rides",
    ),
    pinned=("Muscle-up is the dream; the shoulder is the limit.",),
    notes=(Noted("note", 9, "Same numbers again. Talk about sleep before touching the plan."),),
    filmed=(Filmed("weighted-pull-up", "pull-up", "Is the top high enough to count?", hours=70),),
)

KOJO = Person(
    name="Kojo Halvorsen",
    email="kojo@client.example",
    coach="mara",
    truth=Truth(
        "Rising too fast: he adds a set that nobody asked for every other week, and an elbow begins to answer.",
        rules=some("pain_hold"),
        harder=False,
        weeks="rising",
    ),
    age=27,
    goal="muscle",
    goal_words="Fill my shirts. Yesterday.",
    minutes=60,
    masses=("77", "77.6"),
    places=(Place("Yard", ("bar", "rings", "dip_bars", "chair")),),
    plan=Plan(
        message="Three short sessions. More is not written here on purpose.",
        days=(
            Day(
                "Pull",
                1,
                (
                    Work("pull-up", 4, 5, 8, can=9, gain=0.8, rest_s=120),
                    Work("ring-row-60deg", 3, 8, 12, can=13, gain=0.8),
                ),
            ),
            Day(
                "Push",
                3,
                (
                    Work("push-up", 4, 10, 15, can=14, gain=0.8, rest_s=75),
                    Work("parallel-bar-dip", 3, 6, 10, can=10, gain=0.8, rest_s=120),
                ),
            ),
            Day(
                "Row and hang",
                5,
                (
                    Work("ring-row-60deg", 3, 8, 12, can=12.5, gain=0.8),
                    Work("dead-hang", 3, 20, 60, rir=None, can=30, gain=2.2),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(17, 20), overdoes=7, effort=7),
    pains=(
        Pain("elbow", "left", 3, days=9, after=2, morning="usual", note="Inside of the elbow, only while pulling."),
        Pain("elbow", "left", 3, days=2, after=2, morning="usual", note="Same place. Gone by breakfast."),
    ),
    asks=(
        Question(
            "I feel great. May I train every day?",
            hours=24 * 18,
            answer=Answer(
                30,
                "Keep the three days for now. What you build between them is the point. We look again "
                "when the block ends.",
            ),
        ),
    ),
)

TOMAS = Person(
    name="Tomas Reyne",
    email="tomas@client.example",
    coach="mara",
    truth=Truth(
        "Waiting for clearance: diabetes, and not active so far. Nothing starts without a clinician's word.",
        attention=some("clearance"),
        start="ClearanceMissing",
        state="intake",
        code="N2",
        weeks="none",
    ),
    age=52,
    goal="health",
    goal_words="Keep up with my granddaughter on the slope.",
    experience="none",
    masses=("94",),
    screened=Screened(regular=False, disease=("diabetes",), desired="moderate"),
    medicines="Metformin, twice a day.",
)

PIA = Person(
    name="Pia Sommer",
    email="pia@client.example",
    coach="mara",
    truth=Truth(
        "Trains but never records: she sends a clip and asks, and the log stays empty.",
        attention=some("not_recording", "check_in"),
        rules=some("first_exposure"),
        harder=False,
        start="moderate",
        code="N1",
        weeks="never recorded",
    ),
    age=46,
    goal="health",
    goal_words="Feel strong when I get up from the floor.",
    experience="under_6_months",
    minutes=30,
    masses=("58",),
    places=(Place("Living room", ("chair", "box", "band", "anchor")),),
    screened=Screened(regular=False, desired="moderate"),
    plan=Plan(
        message="Half an hour, twice a week. One tap after the session is enough for me.",
        days=(
            Day(
                "Two chairs",
                2,
                (
                    Work("incline-push-up-60cm", 3, 8, 12, can=13, rir="3"),
                    Work("box-squat", 3, 10, 15, can=15, rir="3", rest_s=75),
                ),
            ),
            Day(
                "Band",
                5,
                (
                    Work("band-row-standing", 3, 10, 15, can=15, rir="3", rest_s=75),
                    Work("dead-bug", 2, 6, 10, can=12, rir="3", section="core"),
                ),
            ),
        ),
    ),
    habits=Habits(records="never"),
    check_ins=CheckIns(newest="never"),
    decides={"*": Decided("declined", "She trains, by her own words and her clips; only the numbers are missing.")},
    filmed=(
        Filmed(
            "incline-push-up-60cm",
            "push-up",
            "I did all three sets. Is the chair too high by now?",
            hours=52,
            side="right",
        ),
    ),
    asks=(
        Question(
            "Must I really type every set? I forget my phone in the kitchen.",
            hours=24 * 9,
            answer=Answer(22, "No. One tap on “Done as planned” afterwards tells me enough to go on."),
        ),
    ),
)

EWA = Person(
    name="Ewa Sundaram",
    email="ewa@client.example",
    coach="mara",
    truth=Truth(
        "Goal reached: the first strict chin-up, three of them by now. The block is over and a new goal is needed.",
        attention=some("needs_block"),
        trends={"chin-up": some("PROGRESSING", "UNCLEAR", "NOT_ENOUGH_DATA")},
    ),
    age=38,
    goal="first_pull_up",
    goal_words="One strict chin-up, witnessed by my sons.",
    experience="under_2_years",
    masses=("63", "62.6", "62.8"),
    places=(Place("Door frame and balcony", ("bar", "chair", "rings")),),
    baselines=(
        Baseline(
            1,
            asked="A new goal wants a new starting point. Half an hour, in one go or in two.",
            finished=False,
            tested=(
                Tested("sit-to-stand", 17, ended="time", height=44),
                Tested("push-ups", 14, way="toes", left=2),
                Tested("pull-ups", 2, left=1, note="I counted only the clean ones."),
                Tested("side-bridge", 41, side="left"),
            ),
            left_out={"dead-hang": "tired"},
        ),
    ),
    plan=Plan(
        weeks=7,
        began=14,
        message="Lower slowly, stop early. The first one comes when nobody pushes it.",
        days=(
            Day(
                "Towards the bar",
                2,
                (
                    Work(
                        "pull-up-negative",
                        3,
                        3,
                        5,
                        gain=1.0,
                        rest_s=150,
                        cue="Five seconds on the way down.",
                        can=7.0,
                        then={"chin-up": 4.6},
                    ),
                    Work("ring-row-60deg", 3, 6, 10, can=9.0, gain=1.0),
                ),
            ),
            Day(
                "Floor",
                5,
                (
                    Work("push-up", 3, 6, 10, can=9.6, gain=1.0),
                    Work("forearm-plank", 3, 20, 60, rir=None, rest_s=60, section="core", can=34, gain=2.4),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(13, 10)),
    notes=(Noted("call", 1, "Happy. Wants five chin-ups next, or something for the legs."),),
    asks=(
        Question(
            "I did it!! Three in a row. The boys counted. What now?",
            hours=33,
            answer=Answer(
                9,
                "Three! Tell the boys that I counted along. Rest two days, and think about what you would "
                "like next: I write your block this week.",
                seen=False,
            ),
        ),
    ),
)

MATEUS = Person(
    name="Mateus Oriol",
    email="mateus@client.example",
    coach="mara",
    truth=Truth(
        "Returning after an illness: sixteen days away, excused, and the rules bring the dose down before it goes up.",
        rules=some("break"),
        harder=False,
        weeks="ill",
    ),
    age=33,
    goal="return",
    goal_words="Be where I was before the flu.",
    zone="Europe/Lisbon",
    country="PT",
    masses=("79.5", "79", "77.8"),
    places=(Place("Terrace", ("rings", "bar", "kettlebell", "chair"), (12, 16, 20, 24)),),
    plan=Plan(
        message="Nothing fancy: pull, squat, press, carry.",
        days=(
            Day(
                "Pull and squat",
                0,
                (
                    Work("chin-up", 3, 5, 8, can=8.6, gain=0.9, rest_s=150),
                    Work("goblet-squat", 3, 8, 12, can=12.4, gain=0.9, load="20", rest_s=120),
                ),
            ),
            Day(
                "Press and carry",
                3,
                (
                    Work("half-kneeling-dumbbell-press", 3, 6, 10, can=9.7, gain=0.8, load="16", per_side=True),
                    Work("farmer-carry", 3, 20, 40, can=44, gain=1, rir=None, load="24"),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(12, 20), away=(Away(16, 1, "ill"),)),
    asks=(Question("Fever gone for three days, I sleep again. May I start tomorrow with the old weights?", hours=7),),
)

ORSOLYA = Person(
    name="Orsolya Beke",
    email="orsolya@client.example",
    coach="mara",
    truth=Truth(
        "Cleared with limits: a kidney condition, a clinician's word on record, moderate effort and nothing above it.",
        trends={"sit-to-stand": some("PROGRESSING", "UNCLEAR", "NOT_ENOUGH_DATA")},
        start="moderate",
        code="N2",
    ),
    age=58,
    goal="health",
    goal_words="Garden for a whole Saturday and feel fine on Sunday.",
    experience="none",
    minutes=30,
    zone="Europe/Budapest",
    country="HU",
    masses=("69",),
    places=(Place("Veranda", ("chair", "step", "band", "anchor", "table")),),
    screened=Screened(
        regular=False,
        disease=("kidney",),
        desired="moderate",
        cleared=Cleared(
            "General practitioner",
            98,
            "moderate",
            "No holding of the breath, no heavy lifting; blood pressure at home once a week.",
        ),
    ),
    plan=Plan(
        message="Easy beginnings. Breathe out on the hard part of every rep.",
        days=(
            Day(
                "Chair and wall",
                1,
                (
                    Work("sit-to-stand", 2, 6, 10, rir="4", rest_s=75, can=10.2, gain=1.0),
                    Work("wall-push-up", 2, 6, 10, rir="4", rest_s=75, can=10.2, gain=1.0),
                ),
            ),
            Day(
                "Band and step",
                4,
                (
                    Work("band-row-standing", 2, 8, 15, rir="4", rest_s=75, can=13.0, gain=0.9),
                    Work("step-up-20cm", 2, 6, 10, can=12.4, gain=0.8, rir="4", per_side=True),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(9, 30), effort=4),
)

CASEY = Person(
    name="Casey Thornbury",
    email="casey@client.example",
    coach="mara",
    truth=Truth(
        "Pounds and inches: trains in Chicago with a rack of dumbbells in pounds, and gets stronger.",
        trends={"goblet-squat": some("PROGRESSING", "UNCLEAR"), "dumbbell-floor-press": some("PROGRESSING", "UNCLEAR")},
        harder=True,
    ),
    age=36,
    goal_words="Deadlift my own weight some day.",
    zone="America/Chicago",
    country="US",
    unit="lb",
    length_unit="in",
    masses=("171", "170.5", "169"),
    places=(Place("Basement", ("dumbbell", "chair", "bar"), (15, 20, 25, 30, 35, 40, 45, 50, 55, 60)),),
    plan=Plan(
        message="The jump from one dumbbell to the next is large: earn it.",
        days=(
            Day(
                "Squat and press",
                2,
                (
                    Work("goblet-squat", 3, 6, 10, load="35", rest_s=120, can=10.4, gain=1.1),
                    Work("dumbbell-floor-press", 3, 6, 10, load="50", can=9.6, gain=1.0),
                ),
            ),
            Day(
                "Hinge and row",
                5,
                (
                    Work("dumbbell-romanian-deadlift", 3, 6, 10, load="55", rest_s=120, can=9.6, gain=1.0),
                    Work("dumbbell-row-supported", 3, 6, 10, load="50", per_side=True, can=9.6, gain=1.0),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(5, 45)),
)

SUHA = Person(
    name="سُها مرجان",
    email="suha@client.example",
    coach="mara",
    truth=Truth(
        "One tap a session: she marks them as done, with no numbers, so nothing is made harder.",
        harder=False,
        weeks="one tap",
    ),
    age=30,
    goal_words="Two quiet half hours a week that are mine.",
    zone="Asia/Dubai",
    country="AE",
    minutes=30,
    masses=("61",),
    places=(Place("Bedroom", ("band", "anchor", "chair", "dumbbell"), (2, 4, 6, 8)),),
    plan=Plan(
        message="One tap is fine. When you have a minute more, the last set's numbers help me most.",
        days=(
            Day("Lower", 3, (Work("goblet-squat", 3, 8, 12, can=13, load="8"), Work("hip-thrust", 3, 8, 12, can=13))),
            Day(
                "Upper",
                6,
                (
                    Work("band-row-standing", 3, 10, 15, can=15, rest_s=75),
                    Work("incline-push-up-60cm", 3, 8, 12, can=13),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(21, 10), records="one_tap"),
    decides={"*": Decided("declined", "No numbers is no reason to do less: she tells me that it goes well.")},
)

LUCJA = Person(
    name="Łucja Ożóg",
    email="lucja@client.example",
    coach="mara",
    truth=Truth(
        "One thing about the form to adjust: the review of her squat was corrected, and the next step waits for it.",
        rules=some("form_hold"),
    ),
    age=29,
    goal_words="Squat like the kids in the park do.",
    zone="Europe/Warsaw",
    country="PL",
    masses=("66", "66.2"),
    places=(Place("Flat", ("rings", "chair", "band")),),
    plan=Plan(
        message="Depth first, numbers second.",
        days=(
            Day(
                "Squat",
                1,
                (
                    Work("bodyweight-squat", 3, 6, 10, rest_s=75, cue="Knees over toes.", can=9.6, gain=0.7),
                    Work("ring-row-45deg", 3, 8, 12, can=11.8, gain=0.7),
                ),
            ),
            Day(
                "Push and hold",
                4,
                (
                    Work("push-up", 3, 5, 8, can=8.5, gain=0.8),
                    Work("hollow-hold-tuck", 3, 15, 40, rir=None, rest_s=60, section="core", can=22, gain=2.2),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(7, 15)),
    filmed=(
        Filmed(
            "bodyweight-squat",
            "shallow squat",
            "Deep enough?",
            hours=24 * 8,
            answer=Answer(
                26,
                "Looks good, carry on.",
                verdict="sound",
                good="Even pace.",
                corrected=Answer(
                    0,
                    "I looked again at full size: you stop well above the depth you had in spring. Same "
                    "reps, a hand lower.",
                    verdict="adjust",
                    good="Even pace, knees track well.",
                    cue="Hips to knee height.",
                    notes=((2.0, "You turn around here; go a hand lower."), (4.1, "Here as well.")),
                ),
            ),
        ),
    ),
)

INGRITH = Person(
    name="Ingrith Solano",
    email="ingrith@client.example",
    coach="mara",
    truth=Truth(
        "Locked: she ticked a warning sign three hours ago, was told to seek care, and training is closed "
        "until a clearance.",
        attention=some("red_flag"),
        rules=some("lock"),
        harder=False,
        start="Locked",
    ),
    age=49,
    goal_words="Climb to the hut in one go.",
    masses=("70",),
    places=(Place("Cellar", ("bar", "kettlebell", "chair"), (8, 12, 16)),),
    plan=Plan(
        message="Steady work, long rests.",
        days=(
            Day(
                "Legs",
                2,
                (
                    Work("goblet-squat", 3, 8, 12, can=12.4, gain=0.8, load="12", rest_s=120),
                    Work("glute-bridge", 3, 8, 15, can=11.4, gain=0.9),
                ),
            ),
            Day(
                "Pull",
                5,
                (
                    Work("foot-assisted-pull-up", 3, 4, 8, can=6.8, gain=0.8),
                    Work("farmer-carry", 3, 20, 40, can=36, gain=1, rir=None, load="16"),
                ),
            ),
        ),
    ),
    asks=(Question("Can I still do the easy walk on Sunday?", hours=2.5),),
    warned=Warned(("card.chest",)),
)

THEO = Person(
    name="Theo Blyskal",
    email="theo@client.example",
    coach="mara",
    truth=Truth(
        "Paused: he is moving house. No reason on the desk, nothing counted against him.", state="paused", weeks="over"
    ),
    age=44,
    goal_words="Less back ache at the workbench.",
    experience="under_6_months",
    masses=("88",),
    places=(Place("Workshop", ("rings", "chair")),),
    plan=Plan(
        weeks=7,
        began=17,
        message="Short and often.",
        days=(
            Day(
                "All of it",
                2,
                (Work("ring-row-30deg", 3, 8, 12, can=13, gain=0.9), Work("glute-bridge", 3, 8, 15, can=11, gain=0.9)),
            ),
            Day(
                "Again",
                5,
                (
                    Work("bird-dog", 2, 6, 12, per_side=True, section="core", can=9, gain=0.9),
                    Work("box-squat", 3, 8, 12, can=13.4, gain=0.8),
                ),
            ),
        ),
    ),
    left=Left("paused", 20, "Moving house until the end of next month."),
)

SAM = Person(
    name="Sam Ferreira",
    email="sam@client.example",
    coach="mara",
    truth=Truth(
        "Newly invited, two days ago; has not answered yet.",
        start="ConsentMissing",
        state="invited",
        code="",
        weeks="none",
    ),
    accepts=False,
)

CLIENTS = (
    ILSE, BRAM, KOJO, TOMAS, PIA, EWA, MATEUS, ORSOLYA, CASEY, SUHA, LUCJA, INGRITH, THEO, SAM,
)  # fmt: skip
