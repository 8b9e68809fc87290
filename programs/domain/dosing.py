"""The dose of one prescription: its columns, its words, its time."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from methods.dose import Dose
from methods.units import kg_from
from methods.volume import PlannedWork, group_duration_s
from programs.choices import Measure, RepScheme, SetKind
from programs.models import MovementRevision

# A walk with a weight, for the clock only: common practice.
METRES_PER_SECOND = 1.0
# Below 5 the rating says nothing about repetitions left.
RPE_AS_RESERVE = 5

DOSE_FIELDS = (
    "kind",
    "sets",
    "amount_low",
    "amount_high",
    "scheme",
    "per_side",
    "rest_s",
    "tempo",
    "target_rir",
    "target_rpe",
    "load_entered",
    "load_unit",
    "load_kg",
    "percent_of_max",
    "assistance_kg",
    "grip",
)


class Dosed(Protocol):
    """A prescription in the database, or a row that someone is typing."""

    @property
    def movement(self) -> MovementRevision: ...
    @property
    def kind(self) -> str: ...
    @property
    def sets(self) -> int: ...
    @property
    def amount_low(self) -> int: ...
    @property
    def amount_high(self) -> int: ...
    @property
    def scheme(self) -> str: ...
    @property
    def per_side(self) -> bool: ...
    @property
    def rest_s(self) -> int: ...
    @property
    def tempo(self) -> str: ...
    @property
    def target_rir(self) -> Decimal | None: ...
    @property
    def target_rpe(self) -> Decimal | None: ...
    @property
    def load_entered(self) -> Decimal | None: ...
    @property
    def load_unit(self) -> str: ...
    @property
    def load_kg(self) -> Decimal | None: ...
    @property
    def percent_of_max(self) -> Decimal | None: ...
    @property
    def assistance_kg(self) -> Decimal | None: ...
    @property
    def grip(self) -> str: ...


@dataclass(frozen=True)
class Load:
    """A load as someone typed it, and in kg."""

    entered: Decimal
    unit: str

    @property
    def kg(self) -> Decimal:
        return kg_from(self.entered, self.unit)


def plain(number: Decimal | float | None) -> str:
    """A number without trailing zeros: 22.50 is 22.5, 20.00 is 20."""
    if number is None:
        return ""
    text = f"{Decimal(str(number)):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def amount_words(low: int, high: int, measure: str) -> str:
    span = f"{low}" if low == high else f"{low}–{high}"
    return f"{span} {Measure(measure).label}"


def effort_words(dose: Dosed) -> str:
    if dose.target_rir is not None:
        return _("RIR %(number)s") % {"number": plain(dose.target_rir)}
    if dose.target_rpe is not None:
        return _("RPE %(number)s") % {"number": plain(dose.target_rpe)}
    return ""


def load_words(dose: Dosed) -> str:
    if dose.load_entered is not None:
        return f"{plain(dose.load_entered)} {dose.load_unit}"
    if dose.percent_of_max is not None:
        # Of a draft: publishing works out the load.
        return _("%(number)s %% of the reference max") % {"number": plain(dose.percent_of_max)}
    if dose.assistance_kg is not None:
        return _("%(number)s kg of help") % {"number": plain(dose.assistance_kg)}
    return ""


def dose_parts(dose: Dosed) -> dict[str, str]:
    """Every part of a dose in words, by name; parts that are not set are empty."""
    sets = ngettext("%(count)d set", "%(count)d sets", dose.sets) % {"count": dose.sets}
    return {
        "sets": sets if dose.kind == SetKind.WORK else f"{sets} ({SetKind(dose.kind).label})",
        "amount": amount_words(dose.amount_low, dose.amount_high, dose.movement.measure),
        "scheme": str(RepScheme.SAME_EVERY_SET.label) if dose.scheme == RepScheme.SAME_EVERY_SET else "",
        "side": _("each side") if dose.per_side else "",
        "load": load_words(dose),
        "effort": effort_words(dose),
        "tempo": _("tempo %(tempo)s") % {"tempo": dose.tempo} if dose.tempo else "",
        "rest": _("rest %(seconds)d s") % {"seconds": dose.rest_s},
        "grip": _("%(grip)s grip") % {"grip": dose.grip} if dose.grip else "",
    }


def dose_words(dose: Dosed) -> str:
    """A dose in one line: "3 sets of 8–12 reps, RIR 2, rest 90 s"."""
    parts = dose_parts(dose)
    head = _("%(sets)s of %(amount)s") % {"sets": parts.pop("sets"), "amount": parts.pop("amount")}
    return ", ".join([head, *(words for words in parts.values() if words)])


def planned_work(dose: Dosed) -> PlannedWork:
    sides = 2 if dose.per_side else 1
    if dose.movement.measure == Measure.REPETITIONS:
        return PlannedWork(
            dose.sets, repetitions=dose.amount_high, tempo=dose.tempo or None, rest_s=dose.rest_s, sides=sides
        )
    is_hold = dose.movement.measure == Measure.SECONDS
    seconds = dose.amount_high if is_hold else dose.amount_high / METRES_PER_SECOND
    return PlannedWork(dose.sets, seconds=seconds, rest_s=dose.rest_s, sides=sides)


def minutes_of(groups: Iterable[Sequence[Dosed]]) -> int:
    """How long a session takes, in whole minutes rounded up: what is planned at most, with rests and setting up."""
    seconds = sum(group_duration_s([planned_work(dose) for dose in group]) for group in groups)
    return -int(-seconds // 60)


def dose_of(prescription: Dosed) -> Dose:
    """The dose as methods.dose compares it: the top of the range, help as negative load."""
    measure, high = prescription.movement.measure, prescription.amount_high
    load_kg = prescription.load_kg if prescription.assistance_kg is None else -prescription.assistance_kg
    return Dose(
        load_kg=None if load_kg is None else float(load_kg),
        repetitions=high if measure == Measure.REPETITIONS else None,
        seconds=float(high) if measure == Measure.SECONDS else None,
        metres=float(high) if measure == Measure.METRES else None,
        sets=prescription.sets,
        tempo=prescription.tempo or None,
        rir=_reserve(prescription),
        rest_s=float(prescription.rest_s),
    )


def _reserve(dose: Dosed) -> float | None:
    """The reserve asked for; an RPE of 5 and above is the same scale from the other end (Zourdos et al. 2016)."""
    if dose.target_rir is not None:
        return float(dose.target_rir)
    if dose.target_rpe is not None and dose.target_rpe >= RPE_AS_RESERVE:
        return 10 - float(dose.target_rpe)
    return None
