"""Running a job: claim, keep the lease alive meanwhile, settle. Whoever lost the lease settles nothing."""

import contextlib
import contextvars
import logging
import threading
import time
import traceback
from collections.abc import Callable, Iterator
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from django.conf import settings
from django.db import OperationalError, connection, transaction

from jobs import lease as leases
from jobs import registry
from jobs.clock import database_now
from jobs.current import CurrentJob, current_job
from jobs.errors import GiveUp, LostLease, UnknownTask
from jobs.lease import Lease
from jobs.models import Job

logger = logging.getLogger(__name__)
T = TypeVar("T")


@dataclass
class _Run:
    """This thread's hold on a job. Done before its task returns when that published for the last time."""

    lease: Lease
    is_done: bool = False


_current: ContextVar[_Run | None] = ContextVar("current_run", default=None)


def run(job_id: int) -> bool:
    """Run one job if it can be claimed. False: done, taken by another, or not due, and nothing happened."""
    name = Job.objects.filter(pk=job_id).values_list("name", flat=True).first()
    if name is None:
        return False
    lease = patiently(lambda: leases.claim(job_id, seconds=_lease_seconds(name), at=database_now()))
    if lease is None:
        return False
    job = Job.objects.get(pk=job_id)
    with _running(job, lease) as this:
        with _Keeper(lease):
            error = _attempt(job)
        if not patiently(lambda: _settle(job, this, error)):
            logger.warning("Job %s ended without its lease; its result was not recorded.", job)
        elif error is None:
            logger.info("Job %s done.", job)
    return True


def run_waiting() -> int:
    count = 0
    while ran := sum(run(job_id) for job_id in _due()):
        count += ran
    return count


def _due() -> list[int]:
    return list(Job.objects.claimable(database_now()).values_list("pk", flat=True))


def _lease_seconds(name: str) -> float:
    try:
        return registry.find(name).lease_seconds or settings.JOBS_LEASE_SECONDS
    except UnknownTask:
        return settings.JOBS_LEASE_SECONDS  # the attempt will say so


def _attempt(job: Job) -> Exception | None:
    try:
        registry.find(job.name).function(*job.args)
    except Exception as error:
        return error
    return None


def _settle(job: Job, this: _Run, error: Exception | None) -> bool:
    at, lease = database_now(), this.lease
    if error is None:
        return this.is_done or leases.finish(lease, at=at)
    if isinstance(error, LostLease):
        return False
    words = describe(error)
    # The stack without the message: that may quote what people wrote.
    logger.error(
        "Job %s, attempt %s: %s\n%s", job, job.attempts, words, "".join(traceback.format_tb(error.__traceback__))
    )
    if this.is_done:
        return True
    if isinstance(error, GiveUp) or job.attempts >= job.max_attempts:
        return leases.fail(lease, error=words, at=at)
    return leases.try_later(lease, error=words, attempts=job.attempts, at=at)


def describe(error: Exception) -> str:
    """What kind of error, and where. Only GiveUp's own words are known to be harmless."""
    if isinstance(error, GiveUp):
        return str(error) or "GiveUp"
    frames = traceback.extract_tb(error.__traceback__)
    place = f" at {Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else ""
    return type(error).__name__ + place


def still_mine() -> bool:
    this = _current.get()
    return this is None or this.lease.held().filter(lease_until__gt=database_now()).exists()


@contextlib.contextmanager
def publishing(*, last: bool = False) -> Iterator[None]:
    this = _current.get()
    with transaction.atomic():
        # The row stays locked until the end: nobody can take the job over while its result is being written.
        if this is not None and this.lease.held().select_for_update().first() is None:
            raise LostLease
        yield
        if this is not None and last:
            leases.finish(this.lease, at=database_now())
    if this is not None and last:
        this.is_done = True


@contextlib.contextmanager
def _running(job: Job, lease: Lease) -> Iterator[_Run]:
    this = _Run(lease)
    token, told = _current.set(this), current_job.set(CurrentJob(str(job.uuid), job.name))
    try:
        yield this
    finally:
        current_job.reset(told)
        _current.reset(token)


class _Keeper:
    """Renews a lease from a thread of its own while the task works."""

    def __init__(self, lease: Lease) -> None:
        self.lease = lease
        self.over = threading.Event()
        # In our context, so that its log lines name the job too.
        renew = contextvars.copy_context().run
        self.thread = threading.Thread(target=renew, args=(self._renew,), name=f"lease-{lease.job_id}", daemon=True)

    def __enter__(self) -> None:
        self.thread.start()

    def __exit__(self, *_: object) -> None:
        self.over.set()
        self.thread.join()

    def _renew(self) -> None:
        while not self.over.wait(self.lease.seconds / 3):
            try:
                if not leases.renew(self.lease, at=database_now()):
                    break
            except OperationalError as error:
                logger.warning("Lease of job %s not renewed (%s).", self.lease.job_id, type(error).__name__)
            finally:
                connection.close()


def patiently(step: Callable[[], T], *, tries: int = 5) -> T:
    """Do a short database step again when another writer held the database too long."""
    for rest in reversed(range(tries)):
        try:
            return step()
        except OperationalError:
            if not rest or connection.in_atomic_block:
                raise
            connection.close()
            time.sleep(0.5)
    raise AssertionError("unreachable")
