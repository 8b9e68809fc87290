"""When scheduled work is due. Pure: an instant in, the latest period that has begun out."""

import datetime
from dataclasses import dataclass
from typing import NamedTuple
from zoneinfo import ZoneInfo

from django.conf import settings

EPOCH = datetime.datetime(1970, 1, 1, tzinfo=datetime.UTC)


class Period(NamedTuple):
    """A period's name, unique for its task, and the instant from which its work is due."""

    key: str
    starts: datetime.datetime


@dataclass(frozen=True)
class Every:
    """Equal periods since the epoch, whatever local clocks do."""

    length: datetime.timedelta

    def latest(self, at: datetime.datetime) -> Period:
        starts = EPOCH + (at - EPOCH) // self.length * self.length
        return Period(starts.strftime("%Y-%m-%dT%H:%M:%SZ"), starts)


@dataclass(frozen=True)
class Daily:
    """Once per local date. The date is the key: an hour that clocks skip or repeat gives neither none nor two."""

    hour: int
    zone: str | None = None

    def latest(self, at: datetime.datetime) -> Period:
        zone = ZoneInfo(self.zone or settings.TIME_ZONE)
        # From tomorrow on: clocks put back over midnight return to a date that is over. And more than one step: of a
        # date that a zone skipped, and the one before it, neither may have begun.
        day = at.astimezone(zone).date() + datetime.timedelta(days=1)
        while (starts := self._starts(day, zone)) > at:
            day -= datetime.timedelta(days=1)
        return Period(day.isoformat(), starts)

    def _starts(self, day: datetime.date, zone: ZoneInfo) -> datetime.datetime:
        # In UTC at once: comparing two times of one zone would ignore the clock change between them.
        return datetime.datetime.combine(day, datetime.time(self.hour), zone).astimezone(datetime.UTC)


Schedule = Every | Daily
