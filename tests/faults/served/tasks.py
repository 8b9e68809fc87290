"""Work that leaves a trace: its start and end in a ledger, and one effect."""

import contextlib
import datetime
import os
import signal
import time
from collections.abc import Iterator
from typing import Any

from django.conf import settings
from django.utils import timezone

import jobs
from jobs.current import current_job
from tests.faults.served.models import Effect, Run, Told

# Killed on purpose more often than any real job would be.
PATIENT = 60


class NotYet(Exception):
    """What the task that fails twice raises."""


@contextlib.contextmanager
def _in_the_ledger() -> Iterator[Run]:
    current = current_job.get()
    assert current is not None
    run = Run.objects.create(job=current.uuid, pid=os.getpid(), started_at=timezone.now())
    error = ""
    try:
        yield run
    except Exception as raised:
        error = type(raised).__name__
        raise
    finally:
        Run.objects.filter(pk=run.pk).update(ended_at=timezone.now(), error=error)


def _publish(run: Run, **seen: Any) -> None:
    with jobs.publishing(last=True):
        Effect.objects.create(job=run.job, run=run, at=timezone.now(), **seen)


def work_for(seconds: float) -> None:
    end = time.monotonic() + seconds
    while (rest := end - time.monotonic()) > 0:
        time.sleep(min(rest, 0.2))


@jobs.task("faults.short", max_attempts=PATIENT)
def short(asked: str) -> None:
    with _in_the_ledger() as run:
        work_for(settings.SHORT_SECONDS)
        _publish(run)


@jobs.task("faults.long", max_attempts=PATIENT)
def long(asked: str) -> None:
    """Longer than several leases: it lives by their renewal."""
    with _in_the_ledger() as run:
        work_for(settings.LONG_SECONDS)
        _publish(run)


@jobs.task("faults.fails_twice", max_attempts=PATIENT)
def fails_twice(asked: str) -> None:
    with _in_the_ledger() as run:
        work_for(settings.SHORT_SECONDS)
        if Run.objects.filter(job=run.job, error=NotYet.__name__).count() < 2:
            raise NotYet
        _publish(run)


@jobs.task("faults.again", max_attempts=PATIENT)
def again(topic: int) -> None:
    """Compute again from everything that was told: what comes later needs a later run."""
    with _in_the_ledger() as run:
        newest = Told.objects.filter(topic=topic).order_by("-pk").first()
        work_for(settings.SHORT_SECONDS)
        _publish(run, topic=topic, seen=newest.pk if newest else 0)


@jobs.periodic("faults.every_five_seconds", every=datetime.timedelta(seconds=5), max_attempts=PATIENT)
def every_five_seconds() -> None:
    with _in_the_ledger() as run:
        _publish(run)


@jobs.task("faults.kills_its_process", max_attempts=3)
def kills_its_process(asked: str) -> None:
    with _in_the_ledger():
        os.kill(os.getpid(), signal.SIGKILL)


@jobs.task("faults.leaves_its_process", max_attempts=3)
def leaves_its_process(asked: str) -> None:
    with _in_the_ledger():
        os._exit(1)


@jobs.task("faults.raises", max_attempts=2)
def raises(asked: str) -> None:
    with _in_the_ledger():
        raise NotYet


def _nightly(zone: str) -> None:
    def run() -> None:
        with _in_the_ledger() as run:
            _publish(run)

    run.__qualname__ = f"nightly_{zone}"
    jobs.periodic(f"faults.nightly {zone}", hour=2, zone=zone, max_attempts=PATIENT)(run)


NIGHTLY = ["Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Pacific/Apia"]
for place in NIGHTLY:
    _nightly(place)
