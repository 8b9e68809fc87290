"""The shape of the movement library's entries. The texts are our own; shares come from methods.bodyweight."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from clients.choices import Area, ItemKind
from methods.bodyweight import Share
from programs.choices import Grip, LoadKind, Measure, Muscle, Pattern

# Any-of sets: (BAR,), (RINGS,) means a bar or rings; (BAR, CHAIR) means both.
Equipment = tuple[tuple[ItemKind, ...], ...]

# What a thing has to be like, as clients.library.equipment asks: the least length or mass, or one of these levels.
Details = Mapping[ItemKind, Mapping[str, float | tuple[str, ...]]]

SCORED_BY_SHARE = frozenset({LoadKind.BODY_FULL, LoadKind.BODY_SHARE, LoadKind.BODY_PLUS, LoadKind.ASSISTED})


@dataclass(frozen=True)
class Entry:
    """A movement as the library ships it. A changed entry becomes a new revision when it is loaded."""

    slug: str
    name: str
    pattern: Pattern
    load_kind: LoadKind
    equipment: Equipment
    muscles: Mapping[Muscle, float]
    areas: tuple[Area, ...]
    cues: tuple[str, ...]
    set_up: str
    film_from: str
    measure: Measure = Measure.REPETITIONS
    share: Share | None = None
    cautions: tuple[str, ...] = ()
    one_sided: bool = False
    vigorous: bool = False
    # Only lowered, or lowered long: sore muscles follow the first sessions, so it starts small (methods.easing).
    lowering: bool = False
    # In the order offered; empty where the hands do not matter.
    grips: tuple[Grip, ...] = ()
    details: Details = field(default_factory=dict)
    # Intake answers that matter besides those which its cautions name.
    more_codes: tuple[str, ...] = ()

    @property
    def caution_codes(self) -> list[str]:
        """The intake answers ("question:answer") that matter for it."""
        return sorted({*self.more_codes, *codes_about(self.cautions)})


@dataclass(frozen=True)
class Edge:
    """From an easier movement to a harder one, with the dose at which the harder one starts and why it is harder."""

    easier: str
    harder: str
    entry_dose: dict[str, int] = field(default_factory=dict)
    reason: str = ""


@dataclass(frozen=True)
class Line:
    slug: str
    name: str
    edges: tuple[Edge, ...]

    @property
    def steps(self) -> set[str]:
        return {slug for edge in self.edges for slug in (edge.easier, edge.harder)}


# Said beside the movement, in plain words.
OVERHEAD = "Arms overhead: stay inside a range without shoulder pain."
SHOULDER_BACK = "The shoulder goes far back: only as deep as it stays free of pain."
ELBOW = "Elbow tendons adapt slowly: add repetitions in small steps."
WRIST = "Bent wrists under load: handles or fists take the bend away."
LOW_BACK = "Load on the lower back: stop the set when its shape changes."
KNEE = "Deep or loaded knee bend: keep to a depth that feels fine."
GRIP = "A tired grip lets go: stop before the hands open, and keep the landing clear."
PRESSURE = "Breathe through it. Not with uncontrolled blood pressure; head-down not with eye disease."
NECK = "Head and neck are under you: lower slowly, on something soft."
SORENESS = "Strong soreness follows the first sessions: begin with very few repetitions."
ANCHOR = "Check what you hang from, pull on or stand on before every session."
BALANCE = "Balance: keep a wall or a chair within reach."
ACHILLES = "The Achilles tendon adapts slowly: add repetitions in small steps."
STRAIGHT_ARM = "Straight arms under load stress the elbow and biceps: short holds first."

# Which answers of the intake make a caution matter. Common practice; the answers themselves go through screening.
ASKED_BY: Mapping[str, tuple[str, ...]] = {
    PRESSURE: ("disease:heart", "disease:stroke", "disease:vessels", "special:pregnant"),
    LOW_BACK: ("special:pregnant", "special:after_birth", "special:nerve_signs"),
    GRIP: ("special:nerve_signs", "symptoms:dizzy", "special:pregnant"),
    BALANCE: ("special:nerve_signs", "symptoms:dizzy", "special:pregnant"),
    NECK: ("special:nerve_signs", "symptoms:dizzy"),
    OVERHEAD: ("special:nerve_signs", "special:post_operative"),
    SHOULDER_BACK: ("special:post_operative",),
    KNEE: ("special:post_operative",),
    SORENESS: ("disease:kidney", "special:post_operative"),
}

# Every caution by a short code, for whoever chooses among them.
CAUTIONS: Mapping[str, str] = {
    "overhead": OVERHEAD,
    "shoulder_back": SHOULDER_BACK,
    "elbow": ELBOW,
    "wrist": WRIST,
    "low_back": LOW_BACK,
    "knee": KNEE,
    "grip": GRIP,
    "pressure": PRESSURE,
    "neck": NECK,
    "soreness": SORENESS,
    "anchor": ANCHOR,
    "balance": BALANCE,
    "achilles": ACHILLES,
    "straight_arm": STRAIGHT_ARM,
}


def codes_about(cautions: Iterable[str]) -> set[str]:
    """The intake answers that make these cautions matter."""
    return {code for caution in cautions for code in ASKED_BY.get(caution, ())}
