"""Whether a client can do a movement at all, by the resolver's own guards."""

from programs.choices import SetKind
from programs.domain.graph import known_of_revision
from programs.domain.resolving import Asked, Day, reason_words, refusal
from programs.models import MovementRevision


def why_not_for(revision: MovementRevision, day: Day) -> str:
    """What keeps a client from a movement on a day, in words; empty when nothing does.

    How hard it gets in a session is the prescription's matter. Here a light set of it is asked about, so that of its
    effort only what strains by nature counts.
    """
    light = Asked(known_of_revision("", revision), kind=SetKind.WARM_UP.value)
    return reason_words(light.movement, refusal(light, day), day)
