"""Whether a client can do a movement at all: set up, not barred, under the ceiling."""

from django.utils.translation import gettext as _

from clients.choices import Area, Ceiling
from clients.domain.safety import is_within
from programs.domain.checking import Limits
from programs.domain.library import why_not
from programs.models import MovementRevision


def why_not_for(revision: MovementRevision, limits: Limits) -> str:
    """What keeps a client from a movement, in words; empty when nothing does. What protects comes first.

    How hard it gets in a session is the prescription's matter; here it counts whether it strains by nature.
    """
    if limits.no_start:
        return limits.no_start
    if barred := sorted(set(revision.areas) & limits.barred):
        words = ", ".join(str(Area(area).label) for area in barred)
        return _("Loads an area that must not be loaded: %(areas)s.") % {"areas": words}
    if revision.vigorous and not is_within(Ceiling.VIGOROUS, limits.ceiling):
        return _("Harder than the screening allows (%(ceiling)s).") % {"ceiling": limits.ceiling.label}
    return why_not(revision, limits.there)
