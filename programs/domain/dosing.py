"""The dose of one prescription: its columns, its words, its time."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from methods.dose import Dose
from methods.units import kg_from
from programs.choices import Grip, Measure, RepScheme, SetKind
from programs.models import MovementRevision

# Below 5 the rating names no number of repetitions left.
RPE_AS_RESERVE = 5
# What the amount says already, or nothing.
_UNNAMED = frozenset({SetKind.WORK, SetKind.MAX_REPS})

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
    "cluster_reps",
    "rest_within_s",
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
    @property
    def cluster_reps(self) -> int | None: ...
    @property
    def rest_within_s(self) -> int | None: ...


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


def measured_words(shown: str, count: int, measure: str) -> str:
    """Numbers as they are shown, with what they count: "1 rep", "8–12 reps", "30 seconds"."""
    told = {"shown": shown}
    if measure == Measure.REPETITIONS:
        return ngettext("%(shown)s rep", "%(shown)s reps", count) % told
    if measure == Measure.SECONDS:
        return ngettext("%(shown)s second", "%(shown)s seconds", count) % told
    return ngettext("%(shown)s metre", "%(shown)s metres", count) % told


def _span(low: int, high: int) -> str:
    return f"{low}" if low == high else f"{low}–{high}"


def amount_words(low: int, high: int, measure: str) -> str:
    return measured_words(_span(low, high), high, measure)


def most_words(low: int, high: int, measure: str) -> str:
    """Of a set to the maximum: until the last clean one, with the amount as what to expect."""
    if measure == Measure.REPETITIONS:
        return _("as many clean reps as you can (about %(span)s)") % {"span": _span(low, high)}
    told = {"amount": amount_words(low, high, measure)}
    if measure == Measure.SECONDS:
        return _("as long as you can hold cleanly (about %(amount)s)") % told
    return _("as far as you can go cleanly (about %(amount)s)") % told


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
    in_words = most_words if dose.kind == SetKind.MAX_REPS else amount_words
    return {
        "sets": sets if dose.kind in _UNNAMED else f"{sets} ({SetKind(dose.kind).label})",
        "amount": in_words(dose.amount_low, dose.amount_high, dose.movement.measure),
        "scheme": str(RepScheme.SAME_EVERY_SET.label) if dose.scheme == RepScheme.SAME_EVERY_SET else "",
        "side": _("each side") if dose.per_side else "",
        "load": load_words(dose),
        "effort": effort_words(dose),
        "tempo": _("tempo %(tempo)s") % {"tempo": dose.tempo} if dose.tempo else "",
        "rest": _("rest %(seconds)d s") % {"seconds": dose.rest_s} if dose.rest_s else "",
        "grip": grip_words(dose.grip),
        "cluster": cluster_words(dose),
    }


def grip_of_set(grips: str, number: int) -> str:
    """The grip of a set, counted from 1, where several take turns."""
    several = grips.split(",")
    return several[(number - 1) % len(several)]


def grip_words(grips: str) -> str:
    if not grips:
        return ""
    labels = [str(Grip(grip).label) for grip in grips.split(",")]
    if len(labels) == 1:
        return _("%(grip)s grip") % {"grip": labels[0]}
    return _("grip by set: %(grips)s") % {"grips": ", ".join(labels)}


def cluster_words(dose: Dosed) -> str:
    if dose.cluster_reps is None:
        return ""
    reps = amount_words(dose.cluster_reps, dose.cluster_reps, Measure.REPETITIONS)
    return _("in parts of %(reps)s with %(seconds)d s between") % {"reps": reps, "seconds": dose.rest_within_s}


class Stepped(Protocol):
    """A prescription or row, as far as its weekly step goes."""

    @property
    def step_sets(self) -> int: ...
    @property
    def step_amount(self) -> int: ...
    @property
    def step_rir(self) -> Decimal: ...
    @property
    def step_load(self) -> Decimal: ...
    @property
    def load_unit(self) -> str: ...
    @property
    def percent_of_max(self) -> Decimal | None: ...
    @property
    def movement(self) -> MovementRevision: ...


STEP_UNITS = {Measure.REPETITIONS: "rep", Measure.SECONDS: "s", Measure.METRES: "m"}


def step_as_typed(row: Stepped) -> str:
    """What changes each week, as it is typed: "+1 rep, +2.5 kg"."""
    load_unit = "%" if row.percent_of_max is not None else row.load_unit
    parts: list[tuple[Decimal | int, str]] = [
        (row.step_sets, "set"),
        (row.step_amount, STEP_UNITS[Measure(row.movement.measure)]),
        (row.step_load, load_unit),
        (row.step_rir, "RIR"),
    ]
    return ", ".join(f"{'+' if number > 0 else ''}{plain(number)} {unit}" for number, unit in parts if number)


def dose_words(dose: Dosed, *, rests: bool = True) -> str:
    """A dose in one line: "3 sets of 8–12 reps, RIR 2, rest 90 s". Where a clock calls the sets, it says no rest."""
    parts = dose_parts(dose)
    if not rests:
        parts["rest"] = ""
    if dose.kind == SetKind.MAX_REPS and dose.sets == 1:
        parts["sets"] = ""
    return in_one_line(parts)


def in_one_line(parts: dict[str, str]) -> str:
    """The parts of a dose in their order; an amount without sets stands alone."""
    parts = dict(parts)
    sets, amount = parts.pop("sets"), parts.pop("amount")
    head = _("%(sets)s of %(amount)s") % {"sets": sets, "amount": amount} if sets else amount
    return ", ".join([head, *(words for words in parts.values() if words)])


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
        rir=reserve_of(prescription),
        rest_s=float(prescription.rest_s),
    )


def reserve_of(dose: Dosed) -> float | None:
    """The reserve asked for; an RPE of 5 and above is the same scale from the other end (Zourdos et al. 2016).

    Below 5 a rating names no number of repetitions, but as many as at 5 are left at least.
    """
    if dose.target_rir is not None:
        return float(dose.target_rir)
    if dose.target_rpe is not None:
        return 10 - max(float(dose.target_rpe), RPE_AS_RESERVE)
    return None
