"""What the arbiter looks at, and what it answers: the evidence about one prescription, and the decision."""

from dataclasses import dataclass, field
from enum import StrEnum

from methods.dose import Dose
from methods.pain import PainAction
from methods.ranges import require_not_negative, require_positive
from methods.screening import Intensity
from methods.steps import Area, Level


class Action(StrEnum):
    """What to do next, from the most to the least cautious."""

    STOP_REFER = "stop_refer"
    STOP = "stop"
    EASIER = "easier"
    HOLD_PROGRESSION = "hold_progression"
    SAME = "same"
    HARDER = "harder"


class FormVerdict(StrEnum):
    """The coach's latest word on the form of this movement; it stands until the next one."""

    SOUND = "sound"
    NEVER_REVIEWED = "never_reviewed"
    NOT_SEEN = "not_seen"  # a clip that did not show enough
    ADJUST = "adjust"
    EASIER = "easier"
    STOP = "stop"


class Measure(StrEnum):
    """What one set is counted in."""

    REPETITIONS = "reps"
    SECONDS = "seconds"
    METRES = "metres"


class Scheme(StrEnum):
    """How the sets relate."""

    RANGE = "range"
    SAME_EVERY_SET = "same"


@dataclass(frozen=True, slots=True)
class Target:
    """What the prescription aims at. For even sets `high` is the most repetitions before anything else changes."""

    low: int
    high: int
    measure: Measure = Measure.REPETITIONS
    scheme: Scheme = Scheme.RANGE
    max_sets: int = 10

    def __post_init__(self) -> None:
        if not 1 <= self.low <= self.high:
            raise ValueError(f"a target runs from 1 upwards, got {self.low} to {self.high}")


@dataclass(frozen=True, slots=True)
class Performance:
    """One comparable session of this prescription: what each work set came to (None: not recorded)."""

    amounts: tuple[float | None, ...]
    rir_last: float | None = None

    @property
    def numbers(self) -> tuple[float, ...] | None:
        """The amounts, or None when any of them is missing."""
        known = tuple(amount for amount in self.amounts if amount is not None)
        return known if known and len(known) == len(self.amounts) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """Everything the arbiter looks at. None is "nobody knows", never "fine".

    sessions : comparable sessions at the current dose, oldest first (same movement, tempo, range, equipment)
    pain : the worst answer of the pain table for this movement since the last step; no pain is CONTINUE
    adherence : sessions done of those due in the last weeks, excused and unknown ones left out [fraction]
    days_since_last : days since this movement was last trained
    increment_kg : the smallest rise of load the equipment allows, None where nothing can be loaded
    next_step_known, easier_step_known : a feasible harder (easier) step exists on the movement's line
    first_exposure : the movement has not been trained before
    eccentric : a negative; a long lowering is read from the tempo as well
    days_since_return : days since the first session after two weeks or more away, None when the record shows none
    deload_due : the plan or the coach asks for a lighter week
    """

    dose: Dose
    target: Target
    sessions: tuple[Performance, ...]
    pain: PainAction | None
    form: FormVerdict
    adherence: float | None
    days_since_last: float | None
    ceiling: Intensity
    locked: bool
    barred: bool
    increment_kg: float | None = None
    next_step_known: bool = False
    easier_step_known: bool = True
    body_mass_kg: float | None = None
    share: float | None = None
    area: Area = "upper"
    level: Level = "less"
    first_exposure: bool = False
    eccentric: bool = False
    days_since_return: float | None = None
    breath_holding: bool = False
    deload_due: bool = False

    def __post_init__(self) -> None:
        if self.dose.sets < 1:
            raise ValueError("a dose to go on from has at least one set")
        if self.adherence is not None and not 0 <= self.adherence <= 1:
            raise ValueError(f"adherence must lie between 0 and 1, got {self.adherence}")
        for name in ("days_since_last", "days_since_return", "share"):
            if getattr(self, name) is not None:
                require_not_negative(**{name: getattr(self, name)})
        for name in ("increment_kg", "body_mass_kg"):
            if getattr(self, name) is not None:
                require_positive(**{name: getattr(self, name)})


@dataclass(frozen=True, slots=True)
class Decision:
    """A suggestion that can be asked "why?": the rule that spoke, its reasons, sources and the numbers it saw."""

    action: Action
    from_dose: Dose
    to_dose: Dose
    rule: str
    reasons: tuple[str, ...]
    sources: tuple[str, ...]
    numbers: dict[str, object] = field(default_factory=dict)


# For the examples of guards and rules: two sessions that earned a step, and nothing against it.
EARNED = Evidence(
    dose=Dose(load_kg=40, repetitions=10, sets=3, rir=2),
    target=Target(8, 10),
    sessions=(Performance((10, 10, 12)), Performance((10, 10, 12))),
    pain=PainAction.CONTINUE,
    form=FormVerdict.SOUND,
    adherence=1.0,
    days_since_last=3,
    ceiling=Intensity.VIGOROUS,
    locked=False,
    barred=False,
    increment_kg=2.5,
    share=0.0,
)
