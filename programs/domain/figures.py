"""What methods makes of a logged set: stored beside it, computed again when a fact it rests on is corrected."""

import bisect
import datetime
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Q, QuerySet

import jobs
from clients.models import BodyMass, Client
from methods.bodyweight import system_load_kg
from methods.load import session_load_foster
from methods.undefined import Undefined
from methods.volume import hard_set_fraction, hold_volume_kg_s, volume_load_kg
from programs.choices import LoadKind, LoggedSide, Measure, Outcome, ShareBasis
from programs.models import SetLog, TrainingLog

FIGURES = (
    "body_mass_kg",
    "body_mass_on",
    "share",
    "share_basis",
    "system_load_kg",
    "system_load_unknown",
    "volume_load_kg",
    "hold_kg_s",
    "hard_set",
)
WITHDRAWN = "taken back"
NO_LOAD = "no load was entered"
NO_HELP = "the help was not entered"
HALF_OF_A_SET = 0.5


def fill_figures(entry: SetLog, mass: BodyMass | None) -> None:
    """Set the computed columns of a set, on the body mass that holds for its day. Nothing is saved."""
    share = None if entry.movement.load_kind == LoadKind.EXTERNAL else entry.movement.share
    on_body = share is not None and mass is not None and not entry.is_withdrawn
    entry.body_mass_kg = mass.mass_kg if on_body and mass else None
    entry.body_mass_on = mass.on if on_body and mass else None
    entry.share = share
    entry.share_basis = ShareBasis.NOT_SCORED if share is None else entry.movement.share_basis
    system = _system_load(entry)
    entry.system_load_kg = _column(system, "0.001")
    entry.system_load_unknown = system.reason if isinstance(system, Undefined) else ""
    entry.volume_load_kg = _column(_volume(entry, system), "0.001")
    entry.hold_kg_s = _column(_hold(entry, system), "0.001")
    entry.hard_set = Decimal(str(_hard_set(entry)))


def _system_load(entry: SetLog) -> float | Undefined:
    """Unknown help or an unknown weight is not zero: it leaves the load undefined."""
    kind = entry.movement.load_kind
    if entry.is_withdrawn:
        return Undefined(WITHDRAWN)
    if kind == LoadKind.EXTERNAL and entry.load_kg is None:
        return Undefined(NO_LOAD)
    if kind == LoadKind.ASSISTED and entry.assistance_kg is None:
        return Undefined(NO_HELP)
    return system_load_kg(
        None if entry.body_mass_kg is None else float(entry.body_mass_kg),
        _share(entry),
        external_kg=float(entry.load_kg or 0),
        assistance_kg=float(entry.assistance_kg or 0),
    )


def _share(entry: SetLog) -> float | None:
    if entry.movement.load_kind == LoadKind.EXTERNAL:
        return 0.0
    return None if entry.share is None else float(entry.share)


def _sides(entry: SetLog) -> int:
    """A one-sided set that is logged for both sides was done on each. What stands in has sides of its own."""
    is_one_sided = entry.movement.one_sided or (_is_as_planned(entry) and entry.prescription.per_side)  # type: ignore[union-attr]
    return 2 if is_one_sided and entry.side == LoggedSide.BOTH else 1


def _is_as_planned(entry: SetLog) -> bool:
    """Whether the movement that was prescribed was done, in whatever revision."""
    planned = entry.prescription
    if planned is None:
        return False
    return planned.movement_id == entry.movement_id or planned.movement.movement_id == entry.movement.movement_id


def _volume(entry: SetLog, system: float | Undefined) -> float | Undefined:
    if entry.movement.measure != Measure.REPETITIONS or entry.repetitions is None:
        return Undefined("not counted in repetitions")
    return volume_load_kg(entry.repetitions * _sides(entry), system)


def _hold(entry: SetLog, system: float | Undefined) -> float | Undefined:
    if entry.movement.measure != Measure.SECONDS or entry.seconds is None:
        return Undefined("not held")
    return hold_volume_kg_s(entry.seconds * _sides(entry), system)


def _hard_set(entry: SetLog) -> float:
    """Left plus right is one set with two sides, so one side alone is half of it."""
    if entry.is_withdrawn:
        return 0.0
    whole = hard_set_fraction(None if entry.rir is None else float(entry.rir), entry.kind)
    return whole if entry.side == LoggedSide.BOTH else whole * HALF_OF_A_SET


def _column(result: float | Undefined, step: str) -> Decimal | None:
    return None if isinstance(result, Undefined) else Decimal(str(result)).quantize(Decimal(step))


def session_load(log: TrainingLog) -> Decimal | None:
    """The load of a session by its rating and minutes; none where one is missing, or nothing was done."""
    if log.is_withdrawn or log.outcome == Outcome.SKIPPED or log.session_rpe is None or log.minutes is None:
        return None
    return _column(session_load_foster(log.session_rpe, log.minutes), "0.01")


def recompute_sets(client: Client, from_day: datetime.date | None = None) -> int:
    """Compute the stored figures again, after a body mass was corrected or taken back. Gives how many sets changed.

    With a day, only sets from that day on, and those before it that rest on a later mass or on none. Running it twice
    changes nothing the second time.
    """
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        mass_on = mass_history(client)
        changed = []
        for entry in _resting_on(client, from_day):
            before = _figures(entry)
            fill_figures(entry, mass_on(entry.training_day))
            if _figures(entry) != before:
                changed.append(entry)
        SetLog.objects.bulk_update(changed, FIGURES, batch_size=100)
    return len(changed)


def figures_are_stale(client: Client) -> bool:
    """Whether sets were computed on other body masses than those that hold for their days now.

    Nothing else that a set's figures rest on can change: what was done is a fact, and so is a movement's revision.
    """
    mass_on = mass_history(client)
    on_body = SetLog.objects.counting().filter(client=client, movement__share__isnull=False)
    scored = on_body.exclude(movement__load_kind=LoadKind.EXTERNAL).order_by()
    for day, *rests_on in scored.values_list("training_day", "body_mass_on", "body_mass_kg").distinct():
        mass = mass_on(day)
        if rests_on != ([mass.on, mass.mass_kg] if mass else [None, None]):
            return True
    return False


def mass_history(client: Client) -> Callable[[datetime.date], BodyMass | None]:
    """The body mass that holds for a day, as BodyMass.objects.for_day says it, read once for all days."""
    masses = list(BodyMass.objects.counting().filter(client=client).order_by("on", "pk"))
    days = [mass.on for mass in masses]

    def mass_on(day: datetime.date) -> BodyMass | None:
        known = bisect.bisect_right(days, day)
        return masses[max(known - 1, 0)] if masses else None

    return mass_on


# Longer than any worker should be away; a mass that was seen once is not asked for again.
SEEN_FOR = datetime.timedelta(days=3)


def request_recomputing(*, at: datetime.datetime) -> None:
    """Ask once for every body mass that was told or taken back lately. The people's room does not know of sets."""
    masses = BodyMass.objects.filter(created_at__gte=at - SEEN_FOR, created_at__lte=at)
    for mass_id, client_id, practice_id in masses.values_list("pk", "client_id", "practice_id"):
        key = f"programs.recompute_sets after mass {mass_id}"
        with transaction.atomic():
            jobs.request("programs.recompute_sets", client_id, practice=practice_id, key=key)


def _resting_on(client: Client, from_day: datetime.date | None) -> QuerySet[SetLog]:
    sets = SetLog.objects.current().filter(client=client).select_related("movement", "prescription__movement")
    if from_day is None:
        return sets
    return sets.filter(Q(training_day__gte=from_day) | Q(body_mass_on__gte=from_day) | Q(body_mass_on=None))


def _figures(entry: SetLog) -> dict[str, Any]:
    return {name: getattr(entry, name) for name in FIGURES}
