"""The clients whom Oda Brask leads. Invented, every one."""

from coaching.demo.person import (
    Answer,
    Baseline,
    Clock,
    Day,
    Decided,
    Filmed,
    Habits,
    Maximum,
    Person,
    Place,
    Plan,
    Question,
    Screened,
    Tested,
    Work,
)
from coaching.demo.truth import Truth, some

RONJA = Person(
    name="Ronja Ebadi",
    email="ronja@client.example",
    coach="oda",
    truth=Truth(
        "Weighted pull-ups that rise: the vest gets heavier in small steps, as the reps earn it.",
        trends={"weighted-pull-up": some("PROGRESSING")},
    ),
    age=33,
    goal_words="Half my weight on the vest.",
    experience="over_2_years",
    masses=("70", "70.2", "70.4"),
    places=(Place("Loft", ("bar", "vest", "dip_bars", "chair")),),
    plan=Plan(
        message="Two days of the same lift. Small steps, no hero sets.",
        days=(
            Day(
                "Heavy",
                2,
                (
                    Work("weighted-pull-up", 4, 3, 5, can=6.3, gain=0.9, load="5", rest_s=180),
                    Work("weighted-push-up", 3, 6, 10, can=10.4, gain=0.8, load="8", rest_s=120),
                ),
            ),
            Day(
                "Lighter",
                5,
                (
                    Work("weighted-pull-up", 3, 5, 8, can=9.4, gain=0.9, load="2", rest_s=150),
                    Work("hanging-knee-raise", 3, 6, 12, section="core", can=9.6, gain=0.9),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(18, 5), effort=8),
    decides={
        "Weighted push-up": Decided(
            "edited", "One kilogram is enough: the wrists were sore in spring.", {"load_kg": 9.0}
        )
    },
    sex_for_norms="female",
    baselines=(
        Baseline(
            84,
            asked="Before we begin: where you stand, without a number to chase.",
            tested=(
                Tested("sit-to-stand", 19, ended="time", height=45),
                Tested("push-ups", 22, ended="maximum", planned="maximum", way="toes", left=0),
                Tested("pull-ups", 8, ended="maximum", planned="maximum", left=0),
                Tested("dead-hang", 48),
                Tested("hollow-hold", 31, ended="form", way="long"),
                Tested("side-bridge", 62, ended="maximum", planned="maximum", side="left"),
                Tested("side-bridge", 64, ended="maximum", planned="maximum", side="right"),
                Tested("overhead-reach", 4.5, ended="measured", planned="measured"),
            ),
        ),
        Baseline(
            6,
            asked="The same again, in the same order. Tell me what felt different.",
            tested=(
                Tested("sit-to-stand", 21, ended="time", height=45),
                Tested("push-ups", 25, ended="maximum", planned="maximum", way="toes", left=0),
                Tested("pull-ups", 11, ended="maximum", planned="maximum", left=0, note="The last one was ugly."),
                Tested("dead-hang", 61),
                Tested("hollow-hold", 30, ended="form", way="long"),
                Tested("side-bridge", 83, ended="maximum", planned="maximum", side="left"),
                Tested("side-bridge", 71, ended="maximum", planned="maximum", side="right"),
                Tested("overhead-reach", 4, ended="measured", planned="measured"),
            ),
        ),
    ),
    maxima=(Maximum("weighted-pull-up", "15", 83), Maximum("weighted-pull-up", "22.5", 5, "After the new baseline.")),
)

WILHELMINA = Person(
    name="Wilhelmina Orrin",
    email="wilhelmina@client.example",
    coach="oda",
    truth=Truth(
        "Cautious at seventy-one: active, with diabetes, so moderate effort is the ceiling and four in "
        "reserve the rule.",
        trends={"sit-to-stand": some("PROGRESSING", "UNCLEAR", "NOT_ENOUGH_DATA")},
        start="moderate",
        code="R2",
    ),
    age=71,
    goal="health",
    goal_words="Get up from the floor without a table.",
    experience="under_2_years",
    zone="Europe/Dublin",
    country="IE",
    minutes=30,
    masses=("66",),
    screened=Screened(disease=("diabetes",), desired="moderate"),
    places=(Place("Sitting room", ("chair", "table", "step", "band", "anchor")),),
    plan=Plan(
        message="Slowly, with a chair beside you. Stop while it is easy.",
        days=(
            Day(
                "Chair",
                1,
                (
                    Work("sit-to-stand", 2, 6, 10, rir="4", rest_s=90, can=10.4, gain=0.9),
                    Work("counter-push-up", 2, 6, 10, rir="4", rest_s=90, can=10.4, gain=0.9),
                ),
            ),
            Day(
                "Band and balance",
                4,
                (
                    Work("band-row-standing", 2, 8, 15, rir="4", rest_s=90, can=12.8, gain=0.8),
                    Work("calf-raise-two-leg", 2, 6, 10, rir="4", rest_s=60, can=10.4, gain=0.9),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(10, 10), effort=4),
    asks=(
        Question(
            "My neighbour says weights are dangerous at my age. Are they?",
            hours=24 * 5,
            answer=Answer(
                14,
                "What you do stays well within what your answers allow, and we stop early on purpose. Ask "
                "your doctor at the next visit as well; I would like to hear what they say.",
            ),
        ),
    ),
)

AMPARO = Person(
    name="Amparo Kjellin",
    email="amparo@client.example",
    coach="oda",
    truth=Truth(
        "With us for a year: the health answers ran out two days ago and want fresh ones before she trains on.",
        attention=some("clearance"),
        rules=some("no_training"),
        harder=False,
        start="ScreeningExpired",
    ),
    age=47,
    goal_words="Stay as I am, only sturdier.",
    experience="over_2_years",
    zone="Europe/Madrid",
    country="ES",
    masses=("62",),
    screened=Screened(ran_out=2),
    places=(Place("Patio", ("rings", "dumbbell", "chair"), (6, 8, 10, 12, 14, 16)),),
    plan=Plan(
        message="Same rhythm as last season, a little more on the legs.",
        days=(
            Day(
                "Legs",
                1,
                (
                    Work("goblet-squat", 3, 8, 12, load="12", rest_s=120, can=12.0, gain=0.8),
                    Work("hip-thrust", 3, 6, 12, can=9.6, gain=0.9),
                ),
            ),
            Day(
                "Upper",
                4,
                (Work("ring-row-45deg", 3, 8, 12, can=12.5, gain=0.6), Work("push-up", 3, 8, 12, can=12.2, gain=0.6)),
            ),
        ),
    ),
    habits=Habits(at=Clock(19, 0)),
)

MISORA = Person(
    name="冬木 みそら",
    email="misora@client.example",
    coach="oda",
    truth=Truth(
        "Calm, even work from Osaka over two blocks, with one step up between them.",
    ),
    age=34,
    goal_words="Ten push-ups, clean ones.",
    zone="Asia/Tokyo",
    country="JP",
    masses=("54", "54.2"),
    places=(Place("六畳", ("chair", "band", "anchor", "step")),),
    plan=Plan(
        message="Steady. The step comes by itself.",
        days=(
            Day(
                "Push and squat",
                3,
                (
                    Work("incline-push-up-30cm", 3, 6, 10, can=10.6, gain=1.0),
                    Work("split-squat", 3, 8, 12, can=12.6, gain=0.9, per_side=True),
                ),
            ),
            Day(
                "Row and trunk",
                6,
                (
                    Work("band-row-standing", 3, 8, 15, rest_s=75, can=11.6, gain=0.9),
                    Work("forearm-plank", 3, 20, 40, can=32, gain=1.6, rir=None, rest_s=60, section="core"),
                ),
            ),
        ),
    ),
    habits=Habits(at=Clock(6, 20), effort=6),
    filmed=(
        Filmed(
            "incline-push-up-30cm",
            "push-up",
            "いい感じですか。 Is the step low enough now?",
            hours=24 * 3,
            answer=Answer(
                19,
                "とてもいい。 Yes: take the floor next time the set feels light.",
                verdict="sound",
                good="Hips and shoulders rise together.",
                seen=False,
            ),
        ),
    ),
)

CLIENTS = (RONJA, WILHELMINA, AMPARO, MISORA)
