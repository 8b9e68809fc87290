"""What the words for the weeks of a written truth mean, asked of the rows that the real rules made."""

import datetime
from collections.abc import Callable
from itertools import pairwise
from statistics import fmean

from clients.domain.equipment import counts_on, items_at, open_places
from clients.models import Client
from coaching.models import WeeklyRow
from programs.models import ScheduledSession, SetLog

WEEKS: dict[str, Callable[[Client, list[WeeklyRow], datetime.date], bool]] = {}


def weeks(name: str) -> Callable[[Callable[..., bool]], Callable[..., bool]]:
    def keep(check: Callable[..., bool]) -> Callable[..., bool]:
        WEEKS[name] = check
        return check

    return keep


def _before(rows: list[WeeklyRow], today: datetime.date, days: int) -> list[WeeklyRow]:
    """Weeks that were over so many days ago."""
    return [row for row in rows if row.monday + datetime.timedelta(days=7) <= today - datetime.timedelta(days=days)]


@weeks("none")
def nothing(client, rows, today):
    return rows == []


@weeks("recorded")
def recorded(client, rows, today):
    return sum(row.done > 0 for row in rows) >= 12 and all(row.not_recorded == 0 for row in rows)


@weeks("over")
def over(client, rows, today):
    return sum(row.done > 0 for row in rows) >= 12 and rows[-1].monday < today - datetime.timedelta(days=14)


@weeks("rising")
def rising(client, rows, today):
    loads = [float(row.session_load_au) for row in _before(rows, today, 0)]
    return fmean(loads[-2:]) > 1.5 * fmean(loads[-8:-5])


@weeks("quiet")
def quiet(client, rows, today):
    older, newer = _before(rows, today, 21), _before(rows, today, 0)[-2:]
    return all(row.done for row in older) and all(row.done == 0 and row.not_recorded for row in newer)


@weeks("never recorded")
def never_recorded(client, rows, today):
    return all(row.done == 0 for row in rows) and sum(row.not_recorded for row in rows) >= 24


@weeks("one tap")
def one_tap(client, rows, today):
    return recorded(client, rows, today) and all(row.work_sets == 0 for row in rows)


@weeks("ill")
def ill(client, rows, today):
    reasons = ScheduledSession.objects.of(client).filter(state="excused").values_list("reason", flat=True)
    return len(reasons) >= 4 and set(reasons) == {"ill"} and all(row.not_recorded == 0 for row in rows)


@weeks("pain")
def pain(client, rows, today):
    return recorded(client, rows, today) and max(row.pain_max or 0 for row in rows[-2:]) == 6


@weeks("no kg")
def no_kg(client, rows, today):
    return all(row.volume_load_kg == 0 and row.sets_without_load > 0 for row in rows if row.work_sets)


@weeks("holds")
def holds(client, rows, today):
    """More than three minutes of holding in every full week; fewer once the step is a harder one."""
    full = [row.hold_s for row in _before(rows, today, 0)]
    return min(full) > 180 and max(full) > 300


@weeks("sides")
def sides(client, rows, today):
    by_side = {
        side: list(SetLog.objects.counting().filter(client=client, side=side).values_list("repetitions", "seconds"))
        for side in ("left", "right")
    }
    left, right = (fmean(reps or seconds for reps, seconds in by_side[side]) for side in ("left", "right"))
    return recorded(client, rows, today) and left < right


@weeks("unchecked")
def unchecked(client, rows, today):
    places = list(open_places(client))
    items = [item for place in places for item in items_at(client, place)]
    usable = {item.kind for item in items if counts_on(item, today)}
    present = {item.kind for item in items}
    return len(places) == 2 and {"rings", "bar"} <= present and not {"rings", "bar", "low_bar"} & usable


@weeks("skips")
def skips(client, rows, today):
    done, skipped = sum(row.done for row in rows), sum(row.skipped for row in rows)
    return all(row.not_recorded == 0 for row in rows) and 0.5 < done / (done + skipped) < 0.7


@weeks("nights")
def nights(client, rows, today):
    sets = SetLog.objects.counting().filter(client=client).select_related("scheduled")
    told = [(log.device_at.astimezone(client.zone), log.training_day, log.scheduled.on) for log in sets]
    return recorded(client, rows, today) and all(
        clock.hour < 6 and clock.date() - day == datetime.timedelta(days=1) and day == planned
        for clock, day, planned in told
    )


def mondays_follow(rows: list[WeeklyRow]) -> bool:
    return all(later.monday - earlier.monday == datetime.timedelta(days=7) for earlier, later in pairwise(rows))
