"""What a week of a draft asks for, while it is written: minutes, hard sets, pushing and pulling, volume load."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from clients.models import BodyMass
from methods.undefined import Undefined
from methods.units import kg_from
from methods.volume import PULL_PATTERNS, PUSH_PATTERNS, hard_set_fraction, push_pull_ratio
from methods.weekly import WEEKLY_SETS, Place, weekly_sets_place
from programs.choices import (
    WORK_SECTIONS,
    BlockState,
    LoadKind,
    LoggedSide,
    Measure,
    Muscle,
    Pattern,
    SectionKind,
    SetKind,
)
from programs.domain.baseline_maxima import KnownMaxima, maxima_with
from programs.domain.dosing import plain, reserve_of
from programs.domain.figures import fill_figures
from programs.domain.rows import Row, Together, groups_of, rows_of, together, with_contents
from programs.domain.timing import minutes_of
from programs.models import Block, BlockSession, Prescription, SetLog

Dose = Row | Prescription
# Of the ranges in methods.weekly, the one for little time and the one beyond which little more was found.
LEAST, MOST = "little_time", "size_trained"


@dataclass(frozen=True)
class Count:
    """Hard sets of a muscle or a pattern in a week."""

    label: str
    sets: float

    @property
    def words(self) -> str:
        return plain(round(self.sets, 1))

    @property
    def verdict(self) -> str:
        """Where it stands outside what was published: methods.weekly names the reviews."""
        if weekly_sets_place(self.sets, LEAST).place is Place.BELOW:
            return _("fewer than %(sets)d") % {"sets": WEEKLY_SETS[LEAST].least}
        if weekly_sets_place(self.sets, MOST).place is Place.ABOVE:
            return _("more than %(sets)d") % {"sets": WEEKLY_SETS[MOST].most}
        return ""


@dataclass(frozen=True)
class Volume:
    """Reps times system load, held seconds, and how many sets have no figure, with the reasons."""

    kg: Decimal = Decimal(0)
    held_s: int = 0
    without: int = 0
    reasons: tuple[str, ...] = ()
    # Of those without a figure, the ones that would have one: a mass, a load, help or a maximum is not known.
    unknown: int = 0


@dataclass(frozen=True)
class SectionMinutes:
    label: str
    minutes: int


@dataclass(frozen=True)
class WeekOverview:
    sets: float
    muscles: tuple[Count, ...]
    patterns: tuple[Count, ...]
    push: float
    pull: float
    volume: Volume
    last_volume: Volume | None
    # Which week of the last block that is.
    last_week: int = 0

    @property
    def balance(self) -> str:
        told = {"push": plain(round(self.push, 1)), "pull": plain(round(self.pull, 1))}
        words = _("%(push)s push, %(pull)s pull") % told
        ratio = push_pull_ratio(self.push, self.pull)
        return words if isinstance(ratio, Undefined) else f"{words} ({ratio:.1f}:1)"

    @property
    def change(self) -> str:
        """Against that week of the last block; empty where something in one of the two is not known.

        Movements that are not scored in kg are in neither.
        """
        last = self.last_volume
        if last is None or not last.kg or not self.volume.kg or last.unknown or self.volume.unknown:
            return ""
        return f"{100 * (self.volume.kg - last.kg) / last.kg:+.0f} %"


def section_minutes(rows: Sequence[Row]) -> list[SectionMinutes]:
    """Minutes of each section, in the order in which it is trained; two parts of a section are one here."""
    by_section: dict[str, list[Together[Row]]] = defaultdict(list)
    for group in together(rows):
        by_section[group.doses[0].section].append(group)
    return [SectionMinutes(str(SectionKind(kind).label), minutes_of(groups)) for kind, groups in by_section.items()]


def hard_sets(dose: Any) -> float:
    """What the sets of a prescription count, by the reserve asked for (methods.volume.hard_set_fraction)."""
    return float(dose.sets * hard_set_fraction(reserve_of(dose), dose.kind))


@dataclass(frozen=True)
class LastWeek:
    """The week of the last block that a week is compared with."""

    number: int
    doses: Sequence[Dose]


def week_overview(
    doses: Iterable[Dose],
    *,
    mass: BodyMass | None,
    maxima: KnownMaxima | None = None,
    last: LastWeek | None = None,
) -> WeekOverview:
    """The week's counted prescriptions in figures, and their volume load beside that of the last block's week."""
    muscles: dict[str, float] = defaultdict(float)
    patterns: dict[str, float] = defaultdict(float)
    doses = list(doses)
    for dose in doses:
        sets = hard_sets(dose)
        patterns[dose.movement.pattern] += sets
        for muscle, share in dose.movement.muscles.items():
            muscles[muscle] += sets * float(share)
    return WeekOverview(
        sets=sum(patterns.values()),
        muscles=_counts(muscles, Muscle),
        patterns=_counts(patterns, Pattern),
        push=sum(patterns[name] for name in PUSH_PATTERNS if name in patterns),
        pull=sum(patterns[name] for name in PULL_PATTERNS if name in patterns),
        volume=volume_of(doses, mass, maxima),
        last_volume=None if last is None else volume_of(last.doses, mass, maxima),
        last_week=0 if last is None else last.number,
    )


def _counts(found: dict[str, float], names: Any) -> tuple[Count, ...]:
    ordered = sorted(found.items(), key=lambda item: (-item[1], item[0]))
    return tuple(Count(str(names(name).label), sets) for name, sets in ordered if sets)


def volume_of(doses: Iterable[Dose], mass: BodyMass | None, maxima: KnownMaxima | None = None) -> Volume:
    """Volume load at the top of each range, computed as for logged sets (programs.domain.figures), without warm-ups.

    A percentage counts as the load that it comes to by `maxima`, which publishing would freeze.
    """
    kg, held_s, without, unknown = Decimal(0), 0, 0, 0
    reasons: dict[str, None] = {}
    for dose in (one for one in doses if one.kind != SetKind.WARM_UP):
        load_kg = _load_kg(dose, maxima)
        entry = _as_logged(dose, mass, load_kg)
        is_open = dose.percent_of_max is not None and load_kg is None
        sets = dose.sets * (2 if dose.per_side and not dose.movement.one_sided else 1)
        if dose.movement.measure == Measure.SECONDS:
            held_s += sets * dose.amount_high * (2 if dose.movement.one_sided else 1)
        elif entry.volume_load_kg is not None and not is_open:
            kg += sets * entry.volume_load_kg
        elif dose.movement.measure == Measure.REPETITIONS:
            without += dose.sets
            unknown += dose.sets if _is_scored(dose) else 0
            reasons[_("a percentage of no known maximum") if is_open else entry.system_load_unknown] = None
    return Volume(kg, held_s, without, tuple(reasons), unknown)


def _is_scored(dose: Dose) -> bool:
    return dose.movement.load_kind == LoadKind.EXTERNAL or dose.movement.share is not None


def _load_kg(dose: Dose, maxima: KnownMaxima | None) -> Decimal | None:
    if dose.load_kg is not None or dose.percent_of_max is None or maxima is None:
        return dose.load_kg
    load = maxima.load(dose.movement, dose.percent_of_max)
    return kg_from(load, maxima.unit) if load is not None and load > 0 else None


def _as_logged(dose: Dose, mass: BodyMass | None, load_kg: Decimal | None) -> SetLog:
    """One set as it would be logged if it were done as planned."""
    is_reps = dose.movement.measure == Measure.REPETITIONS
    entry = SetLog(
        movement=dose.movement,
        kind=dose.kind,
        side=LoggedSide.BOTH,
        repetitions=dose.amount_high if is_reps else None,
        load_kg=load_kg,
        assistance_kg=dose.assistance_kg,
        rir=reserve_of(dose),
    )
    fill_figures(entry, mass)
    return entry


def overview_beside(session: BlockSession, rows: Sequence[Row]) -> WeekOverview:
    """The week of a session, this one as it is being typed and the others as they are saved."""
    block = session.block
    others = with_contents(block.sessions.filter(week=session.week).exclude(pk=session.pk))
    doses: list[Dose] = [row for row in rows if row.section in WORK_SECTIONS]
    doses += [row for other in others for row in counted_rows(other)]
    mass = BodyMass.objects.filter(client=block.client_id).for_day(block.starts_on)
    maxima = maxima_with(block.client, mass)
    return week_overview(doses, mass=mass, maxima=maxima, last=_last_week(block, session.week))


def counted_rows(session: BlockSession) -> list[Row]:
    return [row for row in rows_of(session) if row.section in WORK_SECTIONS]


def _last_week(block: Block, week: int) -> LastWeek | None:
    """The same week of the block before; where it had none, or a deload, its last one that was no deload."""
    base = block.previous or _published_before(block)
    if base is None:
        return None
    weeks = [number for number in range(1, base.weeks + 1) if number != base.deload_week] or [base.weeks]
    number = week if week in weeks else weeks[-1]
    sessions = with_contents(base.sessions.filter(week=number))
    return LastWeek(number, [row for session in sessions for row in counted_rows(session)])


def _published_before(block: Block) -> Block | None:
    earlier = Block.objects.filter(client=block.client_id, state=BlockState.PUBLISHED, starts_on__lt=block.starts_on)
    return earlier.exclude(lineage=block.lineage).order_by("-starts_on", "-pk").first()


@dataclass(frozen=True)
class WeekShape:
    """One week of a block in a row of a table."""

    number: int
    sessions: int
    minutes: int
    overview: WeekOverview


def shape_of(block: Block) -> list[WeekShape]:
    """Every week of a block in figures, in a fixed number of queries."""
    by_week: dict[int, list[BlockSession]] = defaultdict(list)
    for session in with_contents(block.sessions.all()):
        by_week[session.week].append(session)
    mass = BodyMass.objects.filter(client=block.client_id).for_day(block.starts_on)
    maxima = maxima_with(block.client, mass)
    return [_week_shape(week, by_week[week], mass, maxima) for week in range(1, block.weeks + 1)]


def _week_shape(week: int, sessions: list[BlockSession], mass: BodyMass | None, maxima: KnownMaxima) -> WeekShape:
    minutes = sum(minutes_of(groups_of(session)) for session in sessions)
    doses = [row for session in sessions for row in counted_rows(session)]
    return WeekShape(week, len(sessions), minutes, week_overview(doses, mass=mass, maxima=maxima))
