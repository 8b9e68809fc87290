"""A dose for somebody who knows nothing of the trade, and of whom nobody knows how strong they are."""

from dataclasses import replace
from typing import cast

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from methods.volume import parse_tempo
from programs.choices import Grip, LoadKind, Measure, SetKind
from programs.domain.dosing import Dosed, dose_parts, in_one_line, plain
from programs.domain.graph import Known
from programs.domain.intensity import EASY_PATTERNS
from programs.domain.resolving import WITH_A_LOAD, Asked

PALMS: dict[str, Promise] = {
    Grip.PRONATED.value: gettext_lazy("palms facing away"),
    Grip.SUPINATED.value: gettext_lazy("palms facing you"),
    Grip.NEUTRAL.value: gettext_lazy("palms facing each other"),
}


def public_dose_words(dose: Asked, asked: Asked, *, rest_s: int) -> str:
    """A dose in one line. It names no load, and the grip of one movement says nothing of another."""
    # Top and back-off sets differ by their load, of which nothing is said.
    kind = SetKind.WARM_UP.value if dose.kind == SetKind.WARM_UP else SetKind.WORK.value
    parts = dose_parts(cast("Dosed", replace(dose, kind=kind)))
    load = load_words(dose)
    parts |= {
        "load": load,
        "effort": "" if load else effort_words(dose),
        "tempo": tempo_words(dose.tempo),
        "grip": palms_words(dose.grip) if dose.movement.slug == asked.movement.slug else "",
    }
    if rest_s == 0:
        parts["rest"] = ""
    return in_one_line(parts)


def is_easy(movement: Known) -> bool:
    return movement.pattern in EASY_PATTERNS or movement.load_kind == LoadKind.NONE


def effort_words(dose: Asked) -> str:
    if is_easy(dose.movement):
        return ""
    if dose.movement.measure == Measure.REPETITIONS:
        return _("stop with %(number)s reps left") % {"number": plain(dose.target_rir)}
    return _("stop while you could still go on well")


def load_words(dose: Asked) -> str:
    """How heavy, by what is left at the end of a set."""
    kind = LoadKind(dose.movement.load_kind)
    if dose.movement.measure != Measure.REPETITIONS:
        return _("a load you could keep longer") if kind in WITH_A_LOAD else ""
    words = {
        LoadKind.EXTERNAL: _("a load with %(number)s reps left"),
        LoadKind.BODY_PLUS: _("a load with %(number)s reps left"),
        LoadKind.BAND: _("a band with %(number)s reps left"),
        LoadKind.ASSISTED: _("as much help as leaves %(number)s reps"),
    }.get(kind, "")
    return words % {"number": plain(dose.target_rir)} if words else ""


def tempo_words(tempo: str) -> str:
    if not tempo:
        return ""
    told = parse_tempo(tempo)
    parts = [
        (_("%(seconds)s s lowering"), told.eccentric_s),
        (_("%(seconds)s s at the bottom"), told.bottom_s),
        (_("%(seconds)s s lifting"), told.concentric_s),
        (_("%(seconds)s s at the top"), told.top_s),
    ]
    slow = [words % {"seconds": plain(seconds)} for words, seconds in parts if seconds]
    return ", ".join(slow if told.concentric_s is not None else [*slow, _("lift fast")])


def palms_words(grips: str) -> str:
    if not grips:
        return ""
    told = ", ".join(str(PALMS[grip]) for grip in grips.split(","))
    return _("set by set: %(palms)s") % {"palms": told} if "," in grips else told
