"""Whether a thing is as a movement needs it: high, heavy or strong enough."""

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from django.utils.translation import gettext as _

from clients.choices import ItemKind
from clients.library.equipment import ATTRIBUTES

# {"bar": {"height_cm": 170}}: the least number, or the levels of which one will do.
Details = Mapping[str, Mapping[str, Any]]
# What a client told of each kind of thing: one mapping a thing.
Things = Mapping[str, Sequence[Mapping[str, Any]]]


def can_set_up(ways: Sequence[Collection[str]], kinds: frozenset[str], details: Details, things: Things) -> bool:
    """Whether all things of one of the ways are there, and as they have to be. Without ways nothing is needed."""
    return not ways or any(kinds.issuperset(way) and is_fit(way, details, things) for way in ways)


def is_fit(way: Collection[str], details: Details, things: Things) -> bool:
    return not details or all(_one_fits(details[kind], things.get(kind, ())) for kind in way if kind in details)


def _one_fits(wanted: Mapping[str, Any], there: Sequence[Mapping[str, Any]]) -> bool:
    """One thing has to meet all of it. What nobody told keeps nobody from it: the set-up check looks at it."""
    return not there or any(all(_meets(thing.get(code), least) for code, least in wanted.items()) for thing in there)


def _meets(told: Any, least: Any) -> bool:
    if told is None or told == []:
        return True
    if isinstance(least, list | tuple):
        return not set(least).isdisjoint(told if isinstance(told, list | tuple) else [told])
    most = max(told) if isinstance(told, list | tuple) else told
    return bool(most >= least)


def unfit_words(ways: Sequence[Collection[str]], kinds: frozenset[str], details: Details, things: Things) -> str:
    """What is not as it has to be, in words, of a way whose things are all there."""
    way = next(way for way in ways if kinds.issuperset(way))
    unfit = [kind for kind in sorted(way) if not is_fit((kind,), details, things)]
    return _("Not as it has to be: %(items)s.") % {
        "items": ", ".join(_wanted_words(kind, details[kind]) for kind in unfit)
    }


def _wanted_words(kind: str, wanted: Mapping[str, Any]) -> str:
    parts = []
    for attribute in ATTRIBUTES.get(kind, ()):
        least = wanted.get(attribute.code)
        if isinstance(least, list | tuple):
            labels = dict(attribute.choices)
            parts.append(f"{attribute.label}: {' / '.join(str(labels.get(one, one)) for one in least)}")
        elif least is not None:
            unit = "kg" if "mass" in attribute.kind else "cm"
            parts.append(
                _("%(what)s: at least %(number)s %(unit)s") % {"what": attribute.label, "number": least, "unit": unit}
            )
    return f"{ItemKind(kind).label} ({', '.join(parts)})"
