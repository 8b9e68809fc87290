"""The clock of leases and schedules, faked: a file says where it stands, and how many times as fast it goes."""

import datetime
import json
import time
from pathlib import Path

from django.conf import settings

import jobs.clock


def install() -> None:
    if settings.FAKED_CLOCK:
        jobs.clock.database_now = now


def set_to(file: Path, start: datetime.datetime, *, speed: int) -> None:
    new = file.with_suffix(".new")
    new.write_text(json.dumps({"start": start.isoformat(), "since": time.time(), "speed": speed}))
    new.replace(file)


def now() -> datetime.datetime:
    faked = json.loads(Path(settings.FAKED_CLOCK).read_text())
    passed = (time.time() - faked["since"]) * faked["speed"]
    return datetime.datetime.fromisoformat(faked["start"]) + datetime.timedelta(seconds=passed)
