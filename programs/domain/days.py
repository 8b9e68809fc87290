"""Days of training: which day a log belongs to, what stands on a client's list, moving a session."""

import datetime
import zoneinfo
from dataclasses import dataclass

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clients.models import Client
from programs.choices import SessionState
from programs.errors import DayExcused, DayOutOfReach, NotMovable
from programs.models import Excuse, ScheduledSession
from programs.models.calendar import ScheduledSessionQuerySet

ONE_DAY = datetime.timedelta(days=1)
LIST_BACK = datetime.timedelta(days=14)
LIST_AHEAD = datetime.timedelta(days=28)
MOVE_AHEAD = datetime.timedelta(days=14)


def training_day(scheduled_on: datetime.date, device_at: datetime.datetime, time_zone: str) -> datetime.date:
    """The day a log counts to, for good.

    It is the local date of the device. What is logged on the day after the scheduled day still counts to the scheduled
    day: the session ran past midnight, or was written down the next morning. A correction keeps the day of what it
    corrects.
    """
    local = local_date(device_at, time_zone)
    return scheduled_on if local - scheduled_on == ONE_DAY else local


def local_date(instant: datetime.datetime, time_zone: str) -> datetime.date:
    return instant.astimezone(zoneinfo.ZoneInfo(time_zone)).date()


def today_of(client: Client, at: datetime.datetime) -> datetime.date:
    return at.astimezone(client.zone).date()


@dataclass(frozen=True)
class DayRow:
    """One line of the client's list: a session, its day, and in words what became of it."""

    scheduled: ScheduledSession
    words: str
    is_open: bool

    @property
    def on(self) -> datetime.date:
        return self.scheduled.on

    @property
    def came_from(self) -> datetime.date | None:
        """The day it stood on before it was moved."""
        return self.scheduled.moved_from.on if self.scheduled.moved_from else None


def day_list(client: Client, *, today: datetime.date) -> list[DayRow]:
    sessions = ScheduledSession.objects.of(client).exclude(state=SessionState.WITHDRAWN)
    return day_rows(sessions.between(today - LIST_BACK, today + LIST_AHEAD), today)


def day_rows(sessions: ScheduledSessionQuerySet, today: datetime.date) -> list[DayRow]:
    return [_row(session, today) for session in sessions.select_related("session", "moved_to", "moved_from")]


def _row(scheduled: ScheduledSession, today: datetime.date) -> DayRow:
    is_open = scheduled.state != SessionState.MOVED
    return DayRow(scheduled, state_words(scheduled, today), is_open)


def state_words(scheduled: ScheduledSession, today: datetime.date) -> str:
    """What became of a session, in words: done, partly, moved, skipped, not recorded."""
    state = scheduled.state_on(today)
    if state == SessionState.MOVED:
        return _("Moved to %(day)s") % {"day": date_format(scheduled.moved_to.on, "l j F")}
    if state in {SessionState.SKIPPED, SessionState.EXCUSED} and scheduled.reason:
        return f"{state.label}: {scheduled.get_reason_display()}"
    return str(state.label)


def sessions_on(client: Client, day: datetime.date) -> list[ScheduledSession]:
    return list(ScheduledSession.objects.of(client).on_the_plan().filter(on=day).select_related("session__block"))


def next_session(client: Client, *, after: datetime.date) -> ScheduledSession | None:
    ahead = ScheduledSession.objects.of(client).filter(on__gt=after, state=SessionState.PLANNED)
    return ahead.select_related("session").first()


def where_it_went(scheduled: ScheduledSession) -> ScheduledSession:
    """The same appointment where it stands now, or stood last: moves and revisions add rows to its lineage."""
    if scheduled.state not in {SessionState.MOVED, SessionState.WITHDRAWN}:
        return scheduled
    rows = ScheduledSession.objects.filter(client=scheduled.client_id, lineage=scheduled.lineage)
    return rows.select_related("client__practice", "session__block").order_by("pk").last() or scheduled


def reach(today: datetime.date) -> tuple[datetime.date, datetime.date]:
    """First and last day a session can be moved to."""
    return today, today + MOVE_AHEAD


def move_session(scheduled: ScheduledSession, *, to: datetime.date, at: datetime.datetime) -> ScheduledSession:
    """Put a session that was not done yet on another day. The old day keeps a line that says where it went.

    Raises NotMovable, DayOutOfReach or DayExcused. Asked twice for the same day, it moves once.
    """
    with transaction.atomic():
        # The client first, as the log does: nothing is logged on a session while it moves.
        Client.objects.select_for_update().get(pk=scheduled.client_id)
        locked = ScheduledSession.objects.select_for_update().get(pk=scheduled.pk)
        if locked.state == SessionState.MOVED and locked.moved_to.on == to:
            return locked.moved_to
        if locked.state != SessionState.PLANNED:
            raise NotMovable
        first, last = reach(today_of(locked.client, at))
        if not first <= to <= last or to == locked.on:
            raise DayOutOfReach
        if Excuse.objects.counting().of(locked.client).touching(to, to).exists():
            raise DayExcused
        # The old one steps aside first: a session stands on one day.
        locked.state = SessionState.MOVED
        locked.save(update_fields=["state", "changed_at"])
        return ScheduledSession.objects.create(
            practice_id=locked.practice_id,
            client=locked.client,
            session_id=locked.session_id,
            lineage=locked.lineage,
            on=to,
            time_zone=locked.client.time_zone,
            moved_from=locked,
            changes=locked.changes + 1,
        )
