"""What is done together and what may be done instead, in the words that coach and client read."""

from collections.abc import Collection
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from programs.choices import GroupKind
from programs.domain.dosing import amount_words
from programs.domain.rows import Row, Together
from programs.models import Prescription


def together_words(group: Together[Any]) -> str:
    """How a group is done, in one line; empty for a movement alone."""
    sets = max((dose.sets for dose in group), default=0)
    rounds = ngettext("%(count)d round", "%(count)d rounds", sets) % {"count": sets}
    if group.kind == GroupKind.PAIR:
        return _("Pair: one set of each, then rest")
    if group.kind == GroupKind.CIRCUIT:
        return _("Circuit, %(rounds)s: one set of each in turn") % {"rounds": rounds}
    if group.kind == GroupKind.ROUNDS:
        words = _("Rounds for %(minutes)s: about %(rounds)s, none of them hurried; rest as you need")
        return words % {"minutes": _minutes(group.minutes or 0), "rounds": rounds}
    if group.kind == GroupKind.EVERY_MINUTE:
        told = {"seconds": group.interval_s, "minutes": _clock_minutes(group)}
        if len(group) == 1:
            return _("A set begins every %(seconds)d s, for %(minutes)s; what is left is rest") % told
        return _("Every %(seconds)d s the next movement begins, for %(minutes)s; what is left is rest") % told
    return ""


def _clock_minutes(group: Together[Any]) -> str:
    return _minutes(-(-sum(dose.sets for dose in group) * (group.interval_s or 0) // 60))


def _minutes(minutes: int) -> str:
    return ngettext("%(count)d minute", "%(count)d minutes", minutes) % {"count": minutes}


def option_words(dose: Prescription | Row, *, barred: Collection[str] = ()) -> list[str]:
    """What the client may take instead, each with its limit; nothing that loads an area barred by now."""
    options = [
        (dose.easier, dose.easier_below, _("Below %(amount)s: %(name)s instead.")),
        (dose.harder, dose.harder_from, _("From %(amount)s on in every set: %(name)s next time.")),
    ]
    return [
        words % {"name": option.name, "amount": amount_words(limit, limit, dose.movement.measure)}
        for option, limit, words in options
        if option is not None and limit is not None and not set(option.areas) & set(barred)
    ]


def notes_of(dose: Prescription | Row, *, barred: Collection[str] = ()) -> list[str]:
    """What else a client reads beside a dose."""
    return [words for words in (dose.and_or, *option_words(dose, barred=barred)) if words]
