"""Days on which a client does not have to train, and what a coach does on a client's list of days."""

import datetime

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.domain.mail import absolute
from clients.domain.notices import tell_client
from clients.domain.versions import supersede
from clients.models import Client, User
from programs.domain.days import move_session, today_of
from programs.domain.states import refresh_state
from programs.errors import ExcusedAlready, ExcuseOutOfReach, ExcuseTakenBack
from programs.models import Excuse, ScheduledSession

BACK = datetime.timedelta(days=28)
AHEAD = datetime.timedelta(days=182)
MOST_DAYS = 60


def excuse_days(
    client: Client, *, first_on: datetime.date, last_on: datetime.date, reason: str, by: User, at: datetime.datetime
) -> Excuse:
    """Excuse every session of these days of which nothing was logged, and those that come to stand there later.

    Client and coach may both do it at once: the client's row is locked, and the second is told by ExcusedAlready.
    Raises ExcuseOutOfReach. When a coach does it, the client gets a letter.
    """
    with transaction.atomic():
        locked = Client.objects.select_for_update().get(pk=client.pk)
        _require_reach(locked, first_on, last_on, at=at)
        if Excuse.objects.counting().of(locked).touching(first_on, last_on).exists():
            raise ExcusedAlready
        excuse = supersede(None, _version(locked, first_on, last_on, reason, by=by, at=at))
        _refresh(excuse)
        tell_of_change(locked, by=by)
    return excuse


def take_back(excuse: Excuse, *, by: User, at: datetime.datetime) -> Excuse:
    """Undo an excuse: its sessions are what their logs say. Raises ExcuseTakenBack and ReplacedMeanwhile."""
    with transaction.atomic():
        client = Client.objects.select_for_update().get(pk=excuse.client_id)
        current = Excuse.objects.get(pk=excuse.pk)
        if current.is_withdrawn or not current.is_current:
            raise ExcuseTakenBack
        version = _version(client, current.first_on, current.last_on, current.reason, by=by, at=at)
        version.is_withdrawn = True
        taken = supersede(current, version)
        _refresh(taken)
        tell_of_change(client, by=by)
    return taken


def move_for_client(
    scheduled: ScheduledSession, *, to: datetime.date, by: User, at: datetime.datetime
) -> ScheduledSession:
    """A coach moves a session, and the client gets a letter. Raises what move_session raises."""
    with transaction.atomic():
        moved = move_session(scheduled, to=to, at=at)
        tell_of_change(moved.client, by=by)
    return moved


def excuses_since(client: Client, day: datetime.date) -> list[Excuse]:
    """What excuses days from that one on."""
    found = Excuse.objects.counting().of(client).filter(last_on__gte=day)
    return list(found.select_related("by").order_by("first_on"))


def tell_of_change(client: Client, *, by: User) -> None:
    """A letter to the client about what a coach changed. Why is not in it: a letter can be read over a shoulder."""
    if by.pk == client.user_id:
        return
    link = absolute(reverse("my-days"))
    tell_client(
        client,
        subject=_("Your days have changed"),
        body=_("Your coach has changed something on your list of days:\n%(link)s") % {"link": link},
    )


def _require_reach(client: Client, first_on: datetime.date, last_on: datetime.date, *, at: datetime.datetime) -> None:
    today = today_of(client, at)
    is_within = today - BACK <= first_on <= last_on <= today + AHEAD
    if not is_within or (last_on - first_on).days >= MOST_DAYS:
        raise ExcuseOutOfReach


def _version(
    client: Client, first_on: datetime.date, last_on: datetime.date, reason: str, *, by: User, at: datetime.datetime
) -> Excuse:
    return Excuse(
        practice_id=client.practice_id,
        client=client,
        first_on=first_on,
        last_on=last_on,
        reason=reason,
        by=by,
        at=at,
    )


def _refresh(excuse: Excuse) -> None:
    sessions = ScheduledSession.objects.of(excuse.client).on_the_plan().between(excuse.first_on, excuse.last_on)
    for scheduled in sessions:
        refresh_state(scheduled)
