"""Everything the arbiter looks at, gathered from the facts about one client."""

import datetime
import uuid
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from decimal import Decimal

from clients.choices import Ceiling, ItemKind
from clients.domain.safety import refer_first_groups
from clients.errors import Locked
from clients.models import BodyMass, Client, EquipmentItem, PainReport
from coaching.domain.weekly import work_sets
from methods.pain import PainAction
from methods.progression import Evidence, FormVerdict, Measure, Performance, Scheme, Target
from methods.screening import Intensity
from programs.choices import LoadKind, Outcome, Pattern, SessionState, SetKind
from programs.domain.dosing import dose_of
from programs.domain.feasible import why_not_for
from programs.domain.instead import around as day_around
from programs.domain.library import easier_and_harder
from programs.domain.resolving import Day
from programs.models import Movement, MovementRevision, Prescription, ScheduledSession, SetLog, TrainingLog
from submissions.models import Review

PAIN_DAYS = 14
ADHERENCE_DAYS = 28
LOWER_BODY = {Pattern.SQUAT, Pattern.HINGE, Pattern.CALF}
WEIGHTS = {ItemKind.DUMBBELL, ItemKind.KETTLEBELL}
# A bag or a vest is filled by the kilogram: house rule.
FILLED = {ItemKind.BACKPACK, ItemKind.VEST}
FILLED_STEP_KG = 1.0


@dataclass
class Surroundings:
    """What holds for the whole client on one day, read once."""

    client: Client
    today: datetime.date
    # Leave, areas, ceiling and things, as the resolver sees them.
    day: Day
    ceiling: Intensity
    locked: bool
    refer_first: bool
    adherence: float | None
    body_mass_kg: float | None
    masses_kg: list[float]
    pain: list[PainReport]
    verdicts: dict[int, str]
    sessions: dict[uuid.UUID, dict[int, list[SetLog]]] = field(default_factory=dict)


def surroundings(client: Client, *, today: datetime.date, sets: list[SetLog] | None = None) -> Surroundings:
    found = day_around(client, on=today)
    mass = BodyMass.objects.filter(client=client).for_day(today)
    since = today - datetime.timedelta(days=PAIN_DAYS)
    return Surroundings(
        client=client,
        today=today,
        day=found.day,
        ceiling=Intensity[Ceiling(found.day.ceiling).name],
        locked=isinstance(found.refusal, Locked),
        refer_first=bool(refer_first_groups(client, on=today)),
        adherence=adherence(client, today=today),
        body_mass_kg=float(mass.mass_kg) if mass else None,
        masses_kg=_masses_kg(client),
        pain=list(PainReport.objects.pains().filter(client=client, on__gt=since)),
        verdicts=_verdicts(client),
        sessions=_sets_by_lineage(work_sets(client) if sets is None else sets),
    )


def adherence(client: Client, *, today: datetime.date) -> float | None:
    """Sessions done of those due in the last four weeks, without excused and unknown ones. None when none was due."""
    since = today - datetime.timedelta(days=ADHERENCE_DAYS)
    rows = ScheduledSession.objects.of(client).on_the_plan().between(since, today - datetime.timedelta(days=1))
    states = [row.state_on(today) for row in rows]
    done = sum(state in {SessionState.AS_PLANNED, SessionState.WITH_NUMBERS} for state in states)
    missed = sum(state in {SessionState.SKIPPED, SessionState.PARTLY} for state in states)
    return done / (done + missed) if done + missed else None


def _masses_kg(client: Client) -> list[float]:
    items = EquipmentItem.objects.of(client).present().filter(kind__in=WEIGHTS, place__is_default=True)
    return sorted({float(mass) for item in items for mass in item.attributes.get("masses_kg", [])})


def _verdicts(client: Client) -> dict[int, str]:
    """The coach's latest word on each movement."""
    reviews = (
        Review.objects.current()
        .filter(client=client, submission__clip__isnull=False)
        .exclude(verdict="")
        .order_by("sent_at", "pk")
        .values_list("submission__clip__movement__movement", "verdict")
    )
    return dict(reviews)


def _sets_by_lineage(sets: Iterable[SetLog]) -> dict[uuid.UUID, dict[int, list[SetLog]]]:
    grouped: dict[uuid.UUID, dict[int, list[SetLog]]] = defaultdict(lambda: defaultdict(list))
    for log in sets:
        grouped[log.lineage][log.scheduled_id].append(log)
    return grouped


def gather(around: Surroundings, prescription: Prescription, scheduled: list[ScheduledSession]) -> Evidence:
    """Evidence for one prescription. `scheduled` are the block's past sessions that hold its lineage, oldest first."""
    movement = prescription.movement
    line = easier_and_harder(movement.movement, around.client.practice)
    harder = feasible(around, (step.movement for step in line.harder))
    easier = feasible(around, (step.movement for step in line.easier))
    dose = replace(dose_of(prescription), step=0 if line.easier or line.harder else None)
    days = [
        log.training_day
        for logs in around.sessions.get(prescription.lineage, {}).values()
        for log in logs
        # Something else done in its place says nothing about this movement.
        if log.movement.movement_id == movement.movement_id
    ]
    return Evidence(
        dose=dose,
        target=Target(
            low=prescription.amount_low,
            high=prescription.amount_high,
            measure=Measure(movement.measure),
            scheme=Scheme(prescription.scheme),
            **only_one_top_set(prescription),
        ),
        sessions=tuple(performances(around, prescription, scheduled)),
        pain=worst_pain(around, movement),
        form=FormVerdict(around.verdicts.get(movement.movement_id, FormVerdict.NEVER_REVIEWED)),
        adherence=around.adherence,
        days_since_last=float((around.today - max(days)).days) if days else None,
        ceiling=around.ceiling,
        locked=around.locked,
        barred=not around.day.barred.isdisjoint(movement.areas),
        increment_kg=increment_kg(around, prescription),
        next_step_known=harder is not None,
        easier_step_known=easier is not None,
        body_mass_kg=around.body_mass_kg,
        share=float(movement.share) if movement.share is not None else _share_of(movement),
        area="lower" if movement.pattern in LOWER_BODY else "upper",
        first_exposure=not days,
        eccentric=movement.lowering,
        breath_holding=movement.vigorous,
    )


def only_one_top_set(prescription: Prescription) -> dict[str, int]:
    """A top set stays as many as it is: further sets below it are its back-off."""
    return {"max_sets": prescription.sets} if prescription.kind == SetKind.TOP else {}


def _share_of(movement: MovementRevision) -> float | None:
    """External work takes no share of the body; where nothing is scored in kg there is none to know."""
    return 0.0 if movement.load_kind == LoadKind.EXTERNAL else None


def performances(
    around: Surroundings, prescription: Prescription, scheduled: list[ScheduledSession]
) -> list[Performance]:
    """Sessions at the current dose. One that was only marked as done has no numbers, and says so."""
    by_session = around.sessions.get(prescription.lineage, {})
    unnumbered = set(
        TrainingLog.objects.counting()
        .filter(client=around.client, outcome=Outcome.AS_PLANNED)
        .values_list("scheduled_id", flat=True)
    )
    found = []
    for session in scheduled:
        logs = [log for log in by_session.get(session.pk, []) if same_dose(log, prescription)]
        if logs:
            found.append(performance(logs))
        elif session.pk in unnumbered and session.pk not in by_session:
            found.append(Performance((None,) * prescription.sets))
    return found


def same_dose(log: SetLog, prescription: Prescription) -> bool:
    """Whether a set was done as this kind of set, at this prescription's movement and load."""
    load_kg = prescription.load_kg
    same_load = load_kg is None or log.load_kg is None or abs(log.load_kg - load_kg) < Decimal("0.1")
    return log.movement.movement_id == prescription.movement.movement_id and same_load and log.kind == prescription.kind


def performance(logs: list[SetLog]) -> Performance:
    """What each set came to; of two sides the weaker one counts."""
    amounts: dict[int, float | None] = {}
    for log in sorted(logs, key=lambda log: log.number):
        amount = _amount(log)
        known = amounts.get(log.number)
        amounts[log.number] = amount if known is None or amount is None else min(known, amount)
    last = max(logs, key=lambda log: log.number)
    return Performance(tuple(amounts.values()), rir_last=float(last.rir) if last.rir is not None else None)


def _amount(log: SetLog) -> float | None:
    told = [amount for amount in (log.repetitions, log.seconds, log.metres) if amount is not None]
    return float(told[0]) if told else None


def worst_pain(around: Surroundings, movement: MovementRevision) -> PainAction:
    """The most cautious answer of the table for areas that this movement stresses. No report is no pain told."""
    if around.refer_first:
        return PainAction.STOP_REFER
    stressed = set(movement.areas)
    told = [
        PainAction(r.action) for r in around.pain if r.area in stressed or r.movement_slug == movement.movement.slug
    ]
    return min(told, key=PAIN_CAUTION.index, default=PainAction.CONTINUE)


# Most cautious first; an unfinished answer is worse than a settled amber one.
PAIN_CAUTION = [
    PainAction.STOP_REFER,
    PainAction.STOP_EXERCISE,
    PainAction.REDUCE,
    PainAction.PENDING,
    PainAction.CONTINUE_NO_PROGRESSION,
    PainAction.CONTINUE,
]


def increment_kg(around: Surroundings, prescription: Prescription) -> float | None:
    """The smallest rise of load that the client's things allow, None where nothing can be loaded."""
    movement = prescription.movement
    if movement.load_kind not in {LoadKind.EXTERNAL, LoadKind.BODY_PLUS}:
        return None
    needed = {kind for together in movement.equipment for kind in together}
    if needed & FILLED & around.day.usable:
        return FILLED_STEP_KG
    now = float(prescription.load_kg or 0)
    heavier = [mass for mass in around.masses_kg if mass > now + 0.05]
    return round(heavier[0] - now, 3) if heavier and now else None


def feasible(around: Surroundings, movements: Iterable[Movement]) -> MovementRevision | None:
    """The first of these that the client can do, by the rule that also offers something else on the day."""
    revisions = (movement.current for movement in movements)
    return next((r for r in revisions if r is not None and not why_not_for(r, around.day)), None)
