"""When a practice works, and by when a promise of so many hours is kept. Pure: no rows, no clock."""

import datetime
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from clients.models import Practice

MIDNIGHT = datetime.time(0)
DAY = datetime.timedelta(days=1)


@dataclass(frozen=True)
class WorkingTime:
    """Days as weekday numbers (Monday 0), hours on the practice's clock; closing at midnight is the day's end."""

    zone: ZoneInfo
    days: frozenset[int]
    opens: datetime.time = MIDNIGHT
    closes: datetime.time = MIDNIGHT

    def promised_by(self, start: datetime.datetime, hours: float) -> datetime.datetime:
        """Hours run on working days only, by day and by night; an end outside opening hours moves to the next opening.

        Never earlier than `start` plus the hours. A practice without a working day promises by the plain clock.
        """
        if not self.days:
            return start + datetime.timedelta(hours=hours)
        left = datetime.timedelta(hours=hours)
        at = start
        while True:
            tomorrow = self._midnight(self._day(at) + DAY)
            if self._day(at).weekday() in self.days:
                if at + left <= tomorrow:
                    return self._when_open(at + left)
                left -= tomorrow - at
            at = tomorrow

    def _when_open(self, at: datetime.datetime) -> datetime.datetime:
        day = self._day(at)
        while True:
            if day.weekday() in self.days:
                opens, closes = self._at(day, self.opens), self._closing(day)
                if at <= closes:
                    return max(at, opens)
            day += DAY

    def _closing(self, day: datetime.date) -> datetime.datetime:
        return self._midnight(day + DAY) if self.closes == MIDNIGHT else self._at(day, self.closes)

    def _day(self, at: datetime.datetime) -> datetime.date:
        return at.astimezone(self.zone).date()

    def _midnight(self, day: datetime.date) -> datetime.datetime:
        return self._at(day, MIDNIGHT)

    def _at(self, day: datetime.date, time: datetime.time) -> datetime.datetime:
        # In UTC at once: differences between two times of one zone would ignore a clock change between them.
        return datetime.datetime.combine(day, time, self.zone).astimezone(datetime.UTC)


def working_time(practice: Practice) -> WorkingTime:
    return WorkingTime(practice.zone, frozenset(practice.working_days), practice.working_from, practice.working_until)
