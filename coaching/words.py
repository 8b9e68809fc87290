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
