"""A methods dose in words, in the reader's unit."""

from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from coaching.domain.deciding import dose_from
from methods.units import in_unit
from programs.domain.dosing import plain


def dose_in_words(stored: dict[str, Any], *, unit: str) -> str:
    dose = dose_from(stored)
    sets = ngettext("%(n)d set", "%(n)d sets", dose.sets) % {"n": dose.sets}
    amounts = [
        (dose.repetitions, _("up to %(n)s reps")),
        (dose.seconds, _("up to %(n)s s")),
        (dose.metres, _("up to %(n)s m")),
    ]
    parts = [text % {"n": plain(amount)} for amount, text in amounts if amount is not None]
    if dose.load_kg:
        mass = f"{plain(in_unit(Decimal(str(abs(dose.load_kg))), unit))} {unit}"
        parts.append(mass if dose.load_kg > 0 else _("%(mass)s of help") % {"mass": mass})
    if dose.rir is not None:
        parts.append(_("RIR %(n)s") % {"n": plain(dose.rir)})
    if dose.tempo:
        parts.append(_("tempo %(tempo)s") % {"tempo": dose.tempo})
    return ", ".join([sets, *parts])


def evidence_in_words(numbers: dict[str, Any]) -> list[tuple[str, str]]:
    """The numbers that a rule saw, as a coach says them; a number nobody has is "not known"."""
    labels = {
        "sessions": _("Last sessions"),
        "rir_last": _("Reps in reserve, last set"),
        "low": _("From"),
        "high": _("Up to"),
        "pain": _("Pain table"),
        "form": _("Form, as last reviewed"),
        "adherence": _("Due sessions done"),
        "days_since_last": _("Days since the last time"),
        "ceiling": _("Screening allows"),
        "system_load_kg": _("System load, kg"),
        "jump_kg": _("Step, kg"),
        "expected_repetitions": _("Reps to expect after it"),
    }
    return [(label, _value(name, numbers[name])) for name, label in labels.items() if name in numbers]


def _value(name: str, value: Any) -> str:
    if value is None:
        return _("not known")
    if name == "adherence":
        return f"{100 * value:.0f} %"
    if name == "sessions":
        return "; ".join(", ".join(_amount(amount) for amount in session) for session in value) or _("none")
    if isinstance(value, list):
        return ", ".join(_amount(each) for each in value) or _("none")
    if isinstance(value, str):
        return value.replace("_", " ")
    return _amount(value)


def _amount(value: float | None) -> str:
    return "?" if value is None else plain(value)
