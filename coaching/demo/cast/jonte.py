"""The clients whom Jonte Abram leads. Invented, every one."""

from coaching.demo.person import (
    Answer,
    Away,
    CheckIns,
    Cleared,
    Clock,
    Day,
    Filmed,
    Guardian,
    Habits,
    Left,
    Noted,
    Pain,
    Person,
    Place,
    Plan,
    Question,
    Screened,
    Warned,
    Work,
)
from coaching.demo.truth import Truth, some

NOOR = Person(
    name="Noor Lindqvist",
    email="noor@client.example",
    coach="jonte",
    truth=Truth(
        "In pain: the right knee, 6 of 10 in the last session. What loads the knee is to be left out.",
        attention=some("pain"),
        rules=some("pain_stop"),
        weeks="pain",
    ),
    age=31,
    goal_words="Run with my sister again in spring.",
    zone="Europe/Stockholm",
    country="SE",
    masses=("64", "64.3"),
    protects=(("knee", "right", "Runner's years; worse on stairs."),),
    places=(Place("Shed", ("rings", "chair", "band", "dumbbell"), (4, 6, 8, 10, 12, 14)),),
    plan=Plan(
        message="The knee decides about depth, you decide about the rest.",
        days=(
            Day(
                "Legs and push",
                6,
                (
                    Work("split-squat", 3, 8, 12, can=11.4, gain=0.5, per_side=True),
                    Work("push-up", 3, 8, 12, can=11.5, gain=0.7),
                ),
            ),
            Day(
                "Row and bridge",
                3,
                (
                    Work("ring-row-45deg", 3, 8, 12, can=12, gain=0.8),
                    Work("glute-bridge", 3, 8, 15, rest_s=60, can=11.4, gain=0.9),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(17, 30)),
    pinned=("Right knee decides about depth.", "Prefers a call to a long text."),
    notes=(Noted("call", 12, "Twelve minutes. Stairs are worse than squats. She sees a physiotherapist next month."),),
    pains=(Pain("knee", "right", 6, days=1, note="From the third set on, at the bottom."),),
    filmed=(Filmed("split-squat", "squat", "Is this the depth where it starts to hurt?", hours=15),),
)

IMRE = Person(
    name="Imre Castellane",
    email="imre@client.example",
    coach="jonte",
    truth=Truth(
        "Gone quiet: recorded everything until three weeks ago, and then not a word.",
        attention=some("not_recording", "check_in"),
        rules=some("break"),
        harder=False,
        weeks="quiet",
    ),
    age=35,
    goal="muscle",
    goal_words="A back that shows.",
    zone="Europe/Rome",
    country="IT",
    masses=("81",),
    places=(Place("Roof terrace", ("bar", "rings", "dumbbell", "chair"), (10, 12, 14, 16, 18, 20, 22, 24)),),
    plan=Plan(
        message="Pull a lot, press a little.",
        days=(
            Day(
                "Pull",
                2,
                (
                    Work("pull-up", 4, 5, 8, rest_s=150, can=7.8, gain=0.7),
                    Work("ring-row-60deg", 3, 6, 10, can=9.6, gain=0.7),
                ),
            ),
            Day(
                "Press",
                5,
                (
                    Work("dumbbell-overhead-press", 3, 6, 10, load="16", can=9.4, gain=0.7),
                    Work("push-up", 3, 6, 10, can=9.6, gain=0.7),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(19, 45), quiet_since=21),
    notes=(Noted("note", 6, "Wrote twice, no answer. New job; call on Friday after six."),),
    asks=(
        Question(
            "New job starts on Monday, I will be late most evenings.",
            hours=24 * 25,
            answer=Answer(
                40, "Good luck with it. Shall we go down to one session for two weeks? Just say so.", seen=False
            ),
        ),
    ),
)

KAYA = Person(
    name="Kaya Moreau",
    email="kaya@client.example",
    coach="jonte",
    truth=Truth(
        "Travelling with one band: Tokyo for a season, hotel rooms, body mass not given, so loads in kg stay unknown.",
        weeks="no kg",
    ),
    age=28,
    goal_words="Not lose what I have while I am on the road.",
    zone="Asia/Tokyo",
    country="JP",
    minutes=30,
    masses=(),
    places=(Place("Hotel room", ("band", "anchor")),),
    plan=Plan(
        message="One band, one door, half an hour.",
        days=(
            Day(
                "Hotel room",
                1,
                (
                    Work("band-row-standing", 3, 8, 15, rir="3", rest_s=60, paired=True, can=12, gain=0.9),
                    Work("push-up", 3, 8, 12, can=13, gain=0.7, rir="3", rest_s=60),
                ),
            ),
            Day(
                "Legs in the hotel room",
                4,
                (
                    Work("reverse-lunge", 3, 8, 12, can=13, gain=0.7, rir="3", rest_s=60, per_side=True),
                    Work("dead-bug", 2, 6, 12, rir="3", section="core", can=9.6, gain=0.8),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(22, 5), away=(Away(33, 27, "travel"),), effort=6),
    check_ins=CheckIns(usual=(3, 3, 4, 4, 4), reminders=False),
    asks=(
        Question(
            "The band starts to look thin near the door anchor. When is it time for a new one?",
            hours=20,
            about="band-row-standing",
        ),
    ),
)

LIO = Person(
    name="Lio Brandt",
    email="lio@client.example",
    coach="jonte",
    truth=Truth(
        "Under the age limit: sixteen, so a guardian has to agree before anything else.",
        start="GuardianNeeded",
        state="intake",
        code="",
        weeks="none",
    ),
    age=16,
    masses=(),
    guardian=Guardian("Maren Brandt (invented)", "maren@guardian.example", "mother"),
)

YUSUF = Person(
    name="Yusuf Adan",
    email="yusuf@client.example",
    coach="jonte",
    truth=Truth(
        "A beginner without a pull-up yet: feet help less from week to week, and hangs grow longer.",
        start="moderate",
        code="N1",
    ),
    age=24,
    pains=(Pain("upper_back", "both", 3, days=1, is_soreness=True),),
    goal="first_pull_up",
    goal_words="One pull-up. Just one.",
    experience="none",
    masses=("91.5", "90.8", "90"),
    screened=Screened(regular=False, desired="moderate"),
    places=(Place("Playground and home", ("bar", "rings", "chair", "band")),),
    plan=Plan(
        message="The feet may help. Every week a little less.",
        days=(
            Day(
                "Towards the bar",
                1,
                (
                    Work(
                        "foot-assisted-pull-up",
                        4,
                        4,
                        8,
                        rir="3",
                        rest_s=120,
                        cue="Let the feet only help.",
                        can=7.8,
                        gain=0.8,
                    ),
                    Work("dead-hang", 3, 15, 40, rir="3", can=20, gain=2.2),
                ),
            ),
            Day(
                "Rows and legs",
                4,
                (
                    Work("ring-row-30deg", 3, 8, 12, can=12.4, gain=0.8, rir="3", paired=True),
                    Work("bodyweight-squat", 3, 8, 15, rir="3", rest_s=60, can=12.2, gain=0.9),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(16, 25), effort=6),
    asks=(Question("My palms hurt after hanging. Should I use straps?", hours=26, about="dead-hang"),),
    filmed=(
        Filmed(
            "ring-row-30deg",
            "row",
            "Am I pulling with the arms only?",
            hours=24 * 12,
            side="right",
            answer=Answer(
                75,
                "Sorry for the wait. The pull starts well; let the shoulder blades finish it.",
                verdict="sound",
                good="Body like a plank.",
                cue="Elbows to your pockets.",
                notes=((1.6, "Shoulder blades meet here. More of that."),),
            ),
        ),
    ),
)

GRETA = Person(
    name="Greta Holm",
    email="greta@client.example",
    coach="jonte",
    truth=Truth(
        "Isometric work: holds that reach the top of their range, the same reps in every set, a check-in overdue.",
        attention=some("check_in"),
        trends={"l-sit": some("PROGRESSING")},
        rules=some("holds_to_the_top", "even_sets"),
        harder=True,
        weeks="holds",
    ),
    age=40,
    goal="skill",
    goal_words="Hold an L for twenty seconds.",
    experience="over_2_years",
    zone="America/New_York",
    country="US",
    unit="lb",
    length_unit="in",
    masses=("140", "139.5"),
    places=(Place("Attic", ("bar", "parallettes", "vest", "chair")),),
    plan=Plan(
        message="Holds are work. Count them honestly and stop when the shape goes.",
        days=(
            Day(
                "Hold",
                2,
                (
                    Work("l-sit", 4, 8, 15, can=11, gain=2.4, rir=None, rest_s=75, section="core"),
                    Work(
                        "side-plank",
                        3,
                        20,
                        40,
                        rir=None,
                        rest_s=45,
                        section="core",
                        per_side=True,
                        can=47,
                        gain=0.8,
                        then={"side-plank-feet-elevated": 16},
                    ),
                ),
            ),
            Day(
                "Sets of four",
                5,
                (
                    Work(
                        "pull-up", 6, 4, 4, rir="3", scheme="same", cue="Every rep like the first.", can=5.4, gain=0.6
                    ),
                    Work("dead-hang", 2, 30, 60, rir=None, can=38, gain=1.8),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(7, 5), effort=6),
    check_ins=CheckIns(days=2, newest="overdue"),
    filmed=(
        Filmed(
            "l-sit", "hollow hold", "It is a hollow hold between two sets, I know. Is the lower back flat?", hours=40
        ),
    ),
)

SUNNIVA = Person(
    name="Sunniva Achter",
    email="sunniva@client.example",
    coach="jonte",
    truth=Truth(
        "Two sides that differ: the left leg is behind, each side is logged, and the weaker one sets the pace.",
        weeks="sides",
    ),
    age=37,
    goal_words="Two legs that deserve the name.",
    zone="Europe/Oslo",
    country="NO",
    masses=("68", "68.5"),
    places=(Place("Boathouse", ("dumbbell", "chair", "step"), (6, 8, 10, 12, 14, 16)),),
    protects=(("ankle", "left", "Sprained two years ago."),),
    plan=Plan(
        message="Left first, always. The right side does what the left side managed.",
        days=(
            Day(
                "One leg",
                0,
                (
                    Work("split-squat", 3, 6, 12, per_side=True, can=11.4, gain=0.8),
                    Work("single-leg-glute-bridge", 3, 6, 12, per_side=True, can=10.8, gain=0.9),
                ),
            ),
            Day(
                "Reach and hold",
                3,
                (
                    Work("step-up-20cm", 3, 6, 12, per_side=True, can=10.8, gain=0.8),
                    Work("side-plank", 2, 20, 60, rir=None, rest_s=45, section="core", per_side=True, can=34, gain=1.8),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(18, 10), left_share=0.8),
)

VIKTOR = Person(
    name="Viktor Amsel",
    email="viktor@client.example",
    coach="jonte",
    truth=Truth(
        "Withdrew the consent to video ten days ago: his clip is gone, the coach's words about it stay. "
        "An ankle hurt three days ago, and the next morning was never told.",
        attention=some("pain"),
    ),
    age=55,
    pains=(Pain("ankle", "right", 2, days=3, after=1, note="On the stairs, after carrying."),),
    goal="health",
    goal_words="Stay the one who carries the suitcases.",
    masses=("86", "85.5"),
    places=(Place("Hobby room", ("kettlebell", "chair", "bar"), (8, 12, 16, 20, 24)),),
    plan=Plan(
        message="Carry, squat, row. As planned is good enough.",
        days=(
            Day(
                "Carry",
                1,
                (
                    Work("goblet-squat", 3, 8, 12, can=12.4, gain=0.8, load="16", rest_s=120),
                    Work("suitcase-carry", 3, 20, 40, can=38, gain=1, rir=None, load="20", per_side=True),
                ),
            ),
            Day(
                "Row",
                4,
                (
                    Work("dumbbell-romanian-deadlift", 3, 8, 12, can=12.6, gain=0.8, load="24", rest_s=120),
                    Work("foot-assisted-pull-up", 3, 4, 8, can=6.8, gain=0.8),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(10, 30)),
    filmed=(
        Filmed(
            "goblet-squat",
            "squat",
            "Is my back straight enough?",
            hours=24 * 26,
            answer=Answer(
                18,
                "Straight enough, and steady. Nothing to change.",
                verdict="sound",
                good="Tall at the top of every rep.",
                cue="Elbows inside the knees.",
            ),
        ),
    ),
    video_withdrawn=10,
)

GALINI = Person(
    name="Γαλήνη Στάθη",
    email="galini@client.example",
    coach="jonte",
    truth=Truth(
        "Two places, and set-up checks that ran out: rings and bar do not count until she has looked at them again. "
        "Today she told that a wrist hurts, and left the questions half-way.",
        weeks="unchecked",
    ),
    age=43,
    pains=(Pain("wrist", "right", None, days=0, since="today"),),
    goal_words="Ten ring push-ups in the park.",
    zone="Europe/Athens",
    country="GR",
    masses=("59", "58.8"),
    places=(
        Place("Courtyard", ("rings", "bar", "chair"), renewed=None),
        Place("Park by the sea", ("low_bar", "bar"), renewed=None),
    ),
    plan=Plan(
        message="Courtyard on weekdays, the park when the weather asks for it.",
        days=(
            Day(
                "Rings",
                2,
                (Work("ring-row-45deg", 3, 8, 12, can=12.4, gain=0.9), Work("push-up", 3, 8, 12, can=12.2, gain=0.9)),
            ),
            Day(
                "Bar",
                5,
                (
                    Work("foot-assisted-pull-up", 3, 4, 8, can=6.8, gain=0.8),
                    Work("hanging-knee-raise", 3, 6, 12, section="core", can=9.6, gain=0.9),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(20, 40)),
)

ZLATA = Person(
    name="Злата Вересова",
    email="zlata@client.example",
    coach="jonte",
    truth=Truth(
        "Getting weaker: three weeks of falling numbers after a hard season at work. She did not say a word about it.",
        attention=some("decline"),
        trends={
            "chin-up": some("DECLINING"),
            "goblet-squat": some("DECLINING", "UNCLEAR"),
            "push-up": some("DECLINING", "UNCLEAR"),
        },
        harder=False,
        weeks="recorded",
    ),
    age=39,
    goal_words="Eight chin-ups.",
    zone="Europe/Belgrade",
    country="RS",
    masses=("65",),
    places=(Place("Yard", ("bar", "kettlebell", "chair"), (12, 16, 20, 24)),),
    plan=Plan(
        message="You know how. Keep the rests.",
        days=(
            Day(
                "Pull and squat",
                1,
                (
                    Work("chin-up", 3, 5, 8, can=8.2, gain=0.3, rest_s=150),
                    Work("goblet-squat", 3, 8, 12, can=12, gain=0.3, load="20", rest_s=120),
                ),
            ),
            Day(
                "Pull and push",
                4,
                (Work("chin-up", 3, 5, 8, can=8, gain=0.3, rest_s=150), Work("push-up", 3, 8, 12, can=12, gain=0.3)),
            ),
        ),
    ),
    habits=Habits(at=Clock(21, 20), falls_off=20, effort=8),
)

MEERAV = Person(
    name="मीरव सोलंकर",
    email="meerav@client.example",
    coach="jonte",
    truth=Truth(
        "Skips two sessions of five for want of time, and says so: what is not done often enough does not get harder. "
        "Two days ago he ticked that he thought of harming himself: help was shown, Jonte opened it and called. "
        "Nothing is locked.",
        rules=some("adherence"),
        harder=False,
        weeks="skips",
    ),
    age=45,
    warned=Warned(("mind.harm",), days=2, is_opened=True),
    notes=(
        Noted("call", 2, "Called at once. He is with his sister, and sees someone tomorrow. I call again on Friday."),
    ),
    goal_words="Something that fits between two meetings.",
    zone="Asia/Kolkata",
    country="IN",
    minutes=30,
    masses=("75",),
    places=(Place("Office corner", ("band", "anchor", "chair")),),
    plan=Plan(
        message="Twenty-five minutes. If you only have ten, do the first pair.",
        days=(
            Day(
                "Before lunch",
                2,
                (
                    Work("band-row-standing", 3, 8, 15, rest_s=60, paired=True, can=11.6, gain=0.9),
                    Work("incline-push-up-60cm", 3, 6, 10, rest_s=60, can=9.8, gain=0.9),
                ),
            ),
            Day(
                "After lunch",
                4,
                (
                    Work("box-squat", 3, 6, 10, rest_s=60, can=9.8, gain=0.9),
                    Work("dead-bug", 2, 6, 12, section="core", can=9.0, gain=0.9),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(11, 50), skips="-x-x-", effort=6),
)

DESTA = Person(
    name="Desta Wolkeba",
    email="desta@client.example",
    coach="jonte",
    truth=Truth(
        "A shift worker: trains after midnight, and the night still counts to the day it was planned for. "
        "A warning sign of six weeks ago is open again: a physician looked at it the next day.",
        weeks="nights",
    ),
    age=32,
    warned=Warned(
        ("bone.point",),
        days=40,
        is_opened=True,
        cleared=Cleared("Physician", 39, "vigorous", "None named. Not through pain."),
    ),
    goal_words="Be awake when my daughter is.",
    zone="Europe/London",
    country="GB",
    masses=("74", "73.6"),
    places=(Place("Ward gym and flat", ("dumbbell", "chair", "bar"), (8, 10, 12, 14, 16, 18, 20)),),
    plan=Plan(
        message="After the shift, before bed. Leave two in the tank, you need it to sleep.",
        days=(
            Day(
                "Night one",
                2,
                (
                    Work("goblet-squat", 3, 8, 12, can=12.3, gain=0.8, load="16", rest_s=120),
                    Work("dumbbell-row-supported", 3, 8, 12, can=12.2, gain=0.8, load="16", per_side=True),
                ),
            ),
            Day(
                "Night two",
                5,
                (
                    Work("dumbbell-floor-press", 3, 8, 12, can=12.2, gain=0.8, load="14"),
                    Work("dead-hang", 2, 20, 60, rir=None, can=30, gain=1.8),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(1, 35)),
)

LENE = Person(
    name="Lene Haugsted",
    email="lene@client.example",
    coach="jonte",
    truth=Truth(
        "Ended: got what she came for and said goodbye. Her facts stay, nothing is asked of anybody.",
        state="ended",
        weeks="over",
    ),
    age=51,
    goal="return",
    goal_words="Get back on the horse.",
    masses=("67",),
    places=(Place("Barn", ("rings", "chair")),),
    plan=Plan(
        weeks=7,
        began=19,
        message="One thing after the other.",
        days=(
            Day(
                "Pull",
                1,
                (
                    Work("ring-row-45deg", 3, 8, 12, can=13, gain=0.8),
                    Work("dead-bug", 2, 6, 12, section="core", can=9.4, gain=0.9),
                ),
            ),
            Day(
                "Legs",
                4,
                (
                    Work("split-squat", 3, 8, 12, can=12.6, gain=0.8, per_side=True),
                    Work("glute-bridge", 3, 8, 15, can=11.4, gain=0.9),
                ),
            ),
        ),
    ),
    left=Left("ended", 30, "Rides again. Thanked everybody."),
)

NILS = Person(
    name="Nils Aurelio",
    email="nils@client.example",
    coach="jonte",
    truth=Truth(
        "Just arrived: the intake is answered, he may start, and waits for the first block.",
        attention=some("needs_block"),
        start="moderate",
        code="N1",
        weeks="none",
    ),
    age=26,
    goal_words="Know what I am doing.",
    experience="none",
    masses=("71",),
    screened=Screened(regular=False, desired="moderate"),
    # Its day was before the client came: nothing is owed yet.
    check_ins=CheckIns(days=4),
    places=(Place("Student room", ("backpack", "chair", "towel")),),
)

CLIENTS = (
    NOOR, IMRE, KAYA, LIO, YUSUF, GRETA, SUNNIVA, VIKTOR, GALINI, ZLATA, MEERAV, DESTA, LENE, NILS,
)  # fmt: skip
