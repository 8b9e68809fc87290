"""What a person of the demo is made of. A person is data: the loaders do what such a person would have done.

Days are counted back from the client's today, so that the demo is as old on any date as on any other.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from coaching.demo.truth import Truth

Clock = datetime.time
AFTER_WORK = datetime.time(18, 40)


@dataclass(frozen=True)
class Work:
    """One prescription of the first block, and what the person can really do with it.

    `can` is how often until failure (or how many seconds, or metres) at the first load in the first week; `gain` is
    what is added to the maximum each week, in percent, up to week `until`. `then` says what the person can with a
    movement that takes this one's place, where the shares of body mass do not tell.
    """

    slug: str
    sets: int
    low: int
    high: int
    can: float
    gain: float = 0.8
    until: int = 99
    rir: str | None = "2"
    rest_s: int = 90
    load: str | None = None
    scheme: str = "range"
    paired: bool = False
    section: str = "strength"
    per_side: bool = False
    cue: str = ""
    tempo: str = ""
    then: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Day:
    """A session of the week. `ahead` is how many days after today it comes next; 0 is today."""

    name: str
    ahead: int
    works: tuple[Work, ...]


@dataclass(frozen=True)
class Plan:
    """Two blocks of as many weeks each; the first began so many weeks before this one."""

    days: tuple[Day, ...]
    message: str
    weeks: int = 8
    began: int = 13


@dataclass(frozen=True)
class Decided:
    """What the coach decided when the first block ended, where that was not simply "accept"."""

    decided: str
    reason: str = ""
    change: Mapping[str, float | str] = field(default_factory=dict)


@dataclass(frozen=True)
class Away:
    """From so many days ago until so many days ago, sessions were said to be skipped, and why."""

    since: int
    until: int
    reason: str


@dataclass(frozen=True)
class Habits:
    """How the person trains and records. `overdoes` adds a set and effort every week from then on."""

    at: Clock = AFTER_WORK
    records: str = "numbers"  # numbers | one_tap | never
    quiet_since: int | None = None
    away: tuple[Away, ...] = ()
    # What becomes of one session after the other, over and over: "x" is one that is skipped.
    skips: str = ""
    overdoes: int | None = None
    falls_off: int | None = None
    left_share: float = 1.0
    effort: int = 7


@dataclass(frozen=True)
class Place:
    """Where the person trains, with what. The set-up checks of the first day were renewed so many days ago, or not."""

    name: str
    items: tuple[str, ...]
    masses: tuple[float, ...] = ()
    renewed: int | None = 20
    # Things that nobody has tested yet: they do not count.
    untested: tuple[str, ...] = ()


@dataclass(frozen=True)
class Screened:
    """What was answered about health, how long ago, and what a professional said since."""

    regular: bool = True
    disease: tuple[str, ...] = ()
    desired: str = "vigorous"
    special: tuple[str, ...] = ()
    ran_out: int | None = None
    cleared: "Cleared | None" = None


@dataclass(frozen=True)
class Cleared:
    role: str
    days: int
    ceiling: str
    limits: str


@dataclass(frozen=True)
class Pain:
    """Told so many days ago; the next morning's answer follows a day later, where there is one.

    Rated 0 to 10, None where the questions were left half-way. `is_soreness`: it was called that, and was.
    """

    area: str
    side: str
    during: int | None
    days: int
    after: int | None = None
    morning: str = ""
    note: str = ""
    since: str = "days"
    is_soreness: bool = False


@dataclass(frozen=True)
class Warned:
    """Warning signs ticked so many days ago. The coach opened them the same day, and a professional looked at them."""

    items: tuple[str, ...]
    days: int = 0
    is_opened: bool = False
    cleared: "Cleared | None" = None


@dataclass(frozen=True)
class CheckIns:
    """The weekly check-ins since the first block began; the last check-in day was so many days ago.

    `usual` answers sleep, fatigue, stress, soreness and mood; from `fell` weeks ago on three of them
    are a point lower. `newest` is "read", "waits", "overdue", or "never" when none was ever told.
    """

    days: int = 3
    usual: tuple[int, int, int, int, int] = (4, 3, 4, 3, 4)
    fell: int | None = None
    newest: str = "read"
    note: str = ""
    question: str = ""
    activity: str = ""
    reminders: bool = True


@dataclass(frozen=True)
class Answer:
    """What the coach wrote, so many hours after it came. A corrected answer carries what replaced it."""

    hours: float
    message: str
    verdict: str = ""
    good: str = ""
    cue: str = ""
    notes: tuple[tuple[float, str], ...] = ()
    seen: bool = True
    corrected: "Answer | None" = None
    by: str | None = None


@dataclass(frozen=True)
class Question:
    text: str
    hours: float
    about: str = ""
    answer: Answer | None = None


@dataclass(frozen=True)
class Filmed:
    """A clip of the last session before that many hours ago. `figure` names one of coaching.demo.studio.FIGURES."""

    slug: str
    figure: str
    question: str
    hours: float
    side: str = "left"
    answer: Answer | None = None


@dataclass(frozen=True)
class Guardian:
    name: str
    email: str
    relation: str


@dataclass(frozen=True)
class Enquired:
    """Somebody who wrote so many hours ago and is no client yet."""

    name: str
    email: str
    hours: float
    goal: str
    equipment: str = ""
    zone: str = "Europe/Berlin"
    answer: str = ""
    declined: bool = False


@dataclass(frozen=True)
class Holiday:
    """A coach is away from so many days ago until so many days from now."""

    coach: str
    cover: str
    since: int
    days: int
    message: str


@dataclass(frozen=True)
class GivenOut:
    """A session of a client's first block that a coach published for anyone, so many hours ago."""

    person: str
    session: str
    title: str
    about: str
    hours: float


@dataclass(frozen=True)
class Noted:
    """A note or a call that the coach kept so many days ago."""

    kind: str
    days: int
    text: str


@dataclass(frozen=True)
class Tested:
    """One side of a baseline test: how much, in its own measure, and how it was set up and ended."""

    test: str
    amount: float
    ended: str = "reserve"
    planned: str = "reserve"
    side: str = "both"
    way: str = ""
    left: int | None = None
    height: int | None = None
    note: str = ""


@dataclass(frozen=True)
class Baseline:
    """Tests done so many days ago; `asked` is what the coach wrote two days before. One may be left half-way."""

    days: int
    tested: tuple[Tested, ...]
    left_out: Mapping[str, str] = field(default_factory=dict)
    finished: bool = True
    asked: str | None = None


@dataclass(frozen=True)
class Maximum:
    """A reference max that the coach set so many days ago, of what was added to the body."""

    slug: str
    load: str
    days: int
    note: str = ""


@dataclass(frozen=True)
class Left:
    """The person paused or ended so many days ago."""

    to: str
    days: int
    reason: str


@dataclass(frozen=True)
class Person:
    name: str
    email: str
    coach: str
    truth: Truth
    age: int = 34
    goal: str = "stronger"
    goal_words: str = ""
    experience: str = "under_2_years"
    minutes: int = 45
    zone: str = "Europe/Berlin"
    country: str = "DE"
    unit: str = "kg"
    length_unit: str = "cm"
    # Kilograms or pounds, the oldest first, told every four weeks.
    masses: tuple[str, ...] = ("72",)
    places: tuple[Place, ...] = (Place("Home", ("band", "chair")),)
    screened: Screened = Screened()
    protects: tuple[tuple[str, str, str], ...] = ()
    plan: Plan | None = None
    habits: Habits = Habits()
    decides: Mapping[str, Decided] = field(default_factory=dict)
    pains: tuple[Pain, ...] = ()
    warned: Warned | None = None
    filmed: tuple[Filmed, ...] = ()
    asks: tuple[Question, ...] = ()
    left: Left | None = None
    accepts: bool = True
    video_withdrawn: int | None = None
    medicines: str = ""
    contact: str = "A neighbour (invented)"
    guardian: Guardian | None = None
    # Only of somebody who trains.
    check_ins: CheckIns | None = CheckIns()
    notes: tuple[Noted, ...] = ()
    pinned: tuple[str, ...] = ()
    baselines: tuple[Baseline, ...] = ()
    # By which rows of published tables to be read; told only by who likes.
    sex_for_norms: str = ""
    maxima: tuple[Maximum, ...] = ()
