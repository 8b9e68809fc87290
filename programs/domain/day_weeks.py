"""A client's list of days, week by week: what is planned and what became of it, past and coming."""

import datetime
from dataclasses import dataclass

from django.db.models import Max, Min

from clients.models import Client
from programs.choices import SessionState
from programs.domain.building import monday_of
from programs.domain.days import DayRow, day_rows
from programs.models import ScheduledSession

WEEK = datetime.timedelta(days=7)
WEEKS_ON_A_PAGE = 4
SPAN = WEEKS_ON_A_PAGE * WEEK


@dataclass(frozen=True)
class Week:
    monday: datetime.date
    rows: list[DayRow]
    is_this_week: bool

    @property
    def sunday(self) -> datetime.date:
        return self.monday + datetime.timedelta(days=6)


@dataclass(frozen=True)
class WeekPage:
    """Some weeks in order; `earlier` and `later` are the Mondays of the pages beside it, where there is anything."""

    weeks: list[Week]
    earlier: datetime.date | None
    later: datetime.date | None


def week_page(client: Client, *, today: datetime.date, first: datetime.date | None = None) -> WeekPage:
    """Four weeks from the Monday of `first`; without one, from last week on."""
    monday = monday_of(first or today - WEEK)
    after = monday + SPAN
    sessions = ScheduledSession.objects.of(client).exclude(state=SessionState.WITHDRAWN)
    ends = sessions.order_by().aggregate(first=Min("on"), last=Max("on"))
    rows = day_rows(sessions.between(monday, after - datetime.timedelta(days=1)), today)
    return WeekPage(
        [_week(monday + number * WEEK, rows, today) for number in range(WEEKS_ON_A_PAGE)],
        earlier=monday - SPAN if ends["first"] is not None and ends["first"] < monday else None,
        later=after if ends["last"] is not None and ends["last"] >= after else None,
    )


def _week(monday: datetime.date, rows: list[DayRow], today: datetime.date) -> Week:
    return Week(monday, [row for row in rows if monday_of(row.on) == monday], monday == monday_of(today))
