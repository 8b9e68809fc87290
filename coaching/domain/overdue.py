"""Whether a client's weekly check-in is overdue, as the desk and the page about one client say it."""

import datetime

from clients.choices import ConsentKind
from clients.domain.check_ins import Asked, asked_check_in
from clients.domain.consent import has_consent
from clients.models import Client
from programs.models import Excuse


def overdue_check_in(client: Client, *, on: datetime.date) -> Asked | None:
    """The check-in that this client owes since an earlier day.

    Nobody owes one who may not tell it, is not active, or was excused on any day since it was asked for. Letters that
    are turned off change nothing.
    """
    asked = asked_check_in(client, on=on)
    if asked is None or not asked.is_overdue(on) or not has_consent(client, ConsentKind.HEALTH):
        return None
    return None if Excuse.objects.counting().of(client).touching(asked.due_on, on).exists() else asked
