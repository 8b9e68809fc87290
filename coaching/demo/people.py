"""The invented cast of the demo. No one here exists; what is true of each is written beside them."""

import uuid
from collections.abc import Callable
from dataclasses import dataclass

NAMESPACE = uuid.UUID("0b8f1f2e-6a35-4d7c-9a57-5b8f6f6d2c11")

# Reps or seconds, and RIR, of one set: week since the first (1..), session of the week, set number.
Doing = Callable[[int, int, int], tuple[int, float | None]]


@dataclass(frozen=True)
class Planned:
    """One prescription of the demo, and how the client really does it."""

    slug: str
    sets: int
    low: int
    high: int
    doing: Doing
    rir: str | None = "2"
    rest_s: int = 120
    load: str | None = None
    scheme: str = "range"
    paired: bool = False
    section: str = "strength"
    per_side: bool = False
    cue: str = ""
    tempo: str = ""
    help_kg: str | None = None


@dataclass(frozen=True)
class Person:
    name: str
    email: str
    truth: str
    age: int = 34
    mass: str | None = "72"
    unit: str = "kg"
    regular: bool = True
    desired: str = "vigorous"
    disease: tuple[str, ...] = ()
    items: tuple[str, ...] = ("rings", "bar", "dumbbell", "chair", "band")
    masses: str = "6, 8, 10, 12.5, 15, 17.5, 20, 22.5, 25"
    zone: str = "Europe/Berlin"
    country: str = "DE"
    area: tuple[str, str, str] | None = None
    sessions: tuple[tuple[str, tuple[Planned, ...]], ...] = ()
    coach: str = "mara"
    stops_recording: bool = False
    films: tuple[str, str, str] | None = None
    asks: str = ""
    weeks_back: int = 11
    pain: tuple[str, str, int] | None = None


def steady(value: int, rir: float | None = 2) -> Doing:
    """The same over the weeks, with a rep fewer on some days so that it looks like a person."""

    def doing(week: int, session: int, number: int) -> tuple[int, float | None]:
        wobble = (0, 0, 0, -1, 0, 0, -1)[(week * 2 + session) % 7] if value > 3 else 0
        return max(1, value + wobble), rir

    return doing


def easing(value: int, first_rir: int, every_weeks: float) -> Doing:
    """The same reps, with more and more left in reserve: how strength shows when sets stop where they should."""

    def doing(week: int, session: int, number: int) -> tuple[int, float | None]:
        return value, min(6, first_rir + int((week - 1) / every_weeks))

    return doing


def rising(start: int, every_weeks: float, most: int, rir: float | None = 2) -> Doing:
    """One more every so many weeks, up to a most."""

    def doing(week: int, session: int, number: int) -> tuple[int, float | None]:
        return min(most, start + int((week - 1) / every_weeks)), rir

    return doing


WARM_UP = Planned("march-in-place", 1, 120, 120, steady(120, None), rir=None, rest_s=30, section="raise")
OPENER = Planned("cat-cow", 1, 8, 8, steady(8, None), rir=None, rest_s=20, section="mobility")


def session(*work: Planned) -> tuple[Planned, ...]:
    return (WARM_UP, OPENER, *work)


SQUAT_AND_PUSH = session(
    Planned("goblet-squat", 3, 8, 10, rising(8, 2.0, 12), load="17.5", cue="Sit between your heels."),
    Planned("push-up", 3, 8, 12, rising(8, 1.6, 14), rest_s=90, paired=True, cue="Push the floor away."),
    Planned("ring-row-45deg", 3, 8, 12, rising(9, 2.2, 12), rest_s=90),
)
HINGE_AND_HOLD = session(
    Planned("dumbbell-romanian-deadlift", 3, 8, 10, rising(7, 2.5, 10), load="22.5"),
    Planned("hollow-hold-tuck", 3, 15, 25, rising(15, 1.0, 26, None), rir=None, rest_s=60, section="core"),
)
PULL_HEAVY = session(
    Planned("weighted-pull-up", 4, 4, 6, steady(5, 1), rir="1", rest_s=180, load="10", cue="Chest to the ceiling."),
    Planned("side-plank", 2, 20, 40, rising(20, 0.7, 38, None), rir=None, rest_s=45, section="core", per_side=True),
)
DIP_DAY = session(
    Planned("weighted-pull-up", 3, 4, 6, steady(5, 1), rir="1", rest_s=180, load="10"),
    Planned("parallel-bar-dip", 3, 6, 10, rising(5, 2.0, 9), rest_s=150),
    Planned("hanging-knee-raise", 3, 8, 12, rising(7, 2.0, 12), rest_s=75, section="core"),
)
LEGS_WITH_KNEE = session(
    Planned("split-squat", 3, 8, 12, rising(7, 2.5, 11), rest_s=90, per_side=True),
    Planned("push-up", 3, 8, 12, rising(7, 2.2, 12), rest_s=90),
)
UPPER = session(
    Planned("ring-row-45deg", 3, 8, 12, rising(8, 2.5, 12), rest_s=90),
    Planned("glute-bridge", 3, 10, 15, rising(10, 1.8, 15), rest_s=60),
)
TOWARDS_THE_BAR = session(
    Planned("foot-assisted-pull-up", 4, 5, 8, rising(4, 2.5, 8), rest_s=120, cue="Let the feet only help."),
    Planned("dead-hang", 3, 15, 30, rising(16, 1.0, 31, None), rir=None, rest_s=90),
)
ROWS_AND_LEGS = session(
    Planned("ring-row-30deg", 3, 8, 12, rising(8, 2.0, 13), rest_s=90, paired=True),
    Planned("bodyweight-squat", 3, 10, 15, rising(9, 1.8, 15), rest_s=60),
)
SETS_OF_FOUR = session(
    Planned("pull-up", 6, 4, 4, easing(4, 3, 2.5), rir="4", rest_s=90, scheme="same", cue="Every rep like the first."),
    Planned("l-sit", 4, 8, 15, rising(8, 1.2, 16, None), rir=None, rest_s=75, section="core"),
)
PUSH_UPS = session(Planned("push-up", 4, 10, 15, rising(9, 2.0, 15, 3), rir="3", rest_s=75))
TWO_CHAIRS = session(
    Planned("incline-push-up-60cm", 3, 8, 12, rising(8, 2.0, 12, 3), rir="3", rest_s=90),
    Planned("box-squat", 3, 10, 15, rising(10, 1.6, 15, 3), rir="3", rest_s=75),
)
BAND_DAY = session(Planned("band-row-standing", 3, 10, 15, rising(10, 1.8, 15, 3), rir="3", rest_s=75))
ONE_BAND = session(
    Planned("band-row-standing", 3, 12, 15, rising(10, 2.2, 15, 3), rir="3", rest_s=60, paired=True),
    Planned("push-up", 3, 10, 15, rising(9, 2.2, 15, 3), rir="3", rest_s=60),
)
HOTEL_LEGS = session(Planned("reverse-lunge", 3, 8, 12, rising(7, 2.4, 12, 3), rir="3", rest_s=60, per_side=True))

COACHES = {
    "mara": ("Mara Quell", "mara@lintel-lane.example", "owner"),
    "jonte": ("Jonte Abram", "jonte@lintel-lane.example", "coach"),
}

PEOPLE = (
    Person(
        "Ilse Varga",
        "ilse@client.example",
        "progressing: reps rise past the range, so load and steps are due",
        sessions=(("Squat and push", SQUAT_AND_PUSH), ("Hinge and hold", HINGE_AND_HOLD)),
        films=("goblet-squat", "squat", "Do my knees go too far in?"),
    ),
    Person(
        "Bram Okonjo",
        "bram@client.example",
        "stalled: the same five pull-ups with 10 kg for eleven weeks",
        mass="83",
        sessions=(("Pull", PULL_HEAVY), ("Dip", DIP_DAY)),
        items=("bar", "dip_bars", "vest"),
        masses="",
        films=("weighted-pull-up", "pull_up", "Is the top high enough?"),
    ),
    Person(
        "Noor Lindqvist",
        "noor@client.example",
        "in pain: the right knee, 6 of 10 in the last session",
        mass="64",
        sessions=(("Legs and push", LEGS_WITH_KNEE), ("Row and bridge", UPPER)),
        area=("knee", "right", "Runner's years; worse on stairs"),
        pain=("knee", "right", 6),
        films=("push-up", "push_up", "My lower back sags, or does it?"),
    ),
    Person(
        "Tomas Reyne",
        "tomas@client.example",
        "waiting for clearance: diabetes and not active so far",
        age=52,
        regular=False,
        desired="moderate",
        disease=("diabetes",),
        items=("chair", "band"),
        masses="",
    ),
    Person(
        "Pia Sommer",
        "pia@client.example",
        "trains but no longer records",
        mass="58",
        regular=False,
        desired="moderate",
        sessions=(("Two chairs", TWO_CHAIRS), ("Band", BAND_DAY)),
        items=("chair", "box", "band", "anchor"),
        masses="",
        stops_recording=True,
    ),
    Person(
        "Yusuf Adan",
        "yusuf@client.example",
        "a beginner on the way to the first pull-up",
        mass="91",
        sessions=(("Towards the bar", TOWARDS_THE_BAR), ("Rows and legs", ROWS_AND_LEGS)),
        items=("bar", "rings", "chair"),
        masses="",
        coach="jonte",
        asks="My palms hurt after hanging. Should I use straps?",
        films=("ring-row-30deg", "ring_row", "Am I pulling with the arms only?"),
    ),
    Person(
        "Greta Holm",
        "greta@client.example",
        "the same reps every set, and holds that reach the top of their range",
        mass="140",
        unit="lb",
        zone="America/New_York",
        country="US",
        sessions=(("Sets of four", SETS_OF_FOUR), ("Push-ups", PUSH_UPS)),
        items=("bar", "parallettes", "vest"),
        masses="",
        coach="jonte",
    ),
    Person(
        "Kaya Moreau",
        "kaya@client.example",
        "travelling with one band, body mass not given",
        mass=None,
        zone="Asia/Tokyo",
        country="JP",
        sessions=(("Hotel room", ONE_BAND), ("Legs in the hotel room", HOTEL_LEGS)),
        items=("band", "anchor"),
        masses="",
    ),
    Person("Lio Brandt", "lio@client.example", "under the age limit: a guardian is needed", age=16, mass=None),
    Person("Sam Ferreira", "sam@client.example", "invited, has not answered yet", mass=None),
)
