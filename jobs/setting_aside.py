"""A job that cannot be done is set aside with a reason, told where people look, and tried again when they say so."""

import datetime

from django.db import transaction
from django.db.models import F

from jobs import lease as leases
from jobs import registry
from jobs.choices import JobState
from jobs.errors import UnknownTask
from jobs.lease import Lease
from jobs.models import Job
from jobs.requests import hint, request

# Stored, and put into words for people where it is shown.
DIED = "The worker died each time, or lost touch with the database."


def give_up(job: Job, lease: Lease, *, error: str, at: datetime.datetime) -> bool:
    """Set the job aside for good. False, and nothing happens, when the lease is not ours any more."""
    with transaction.atomic():
        is_ours = leases.fail(lease, error=error, at=at)
        if is_ours:
            _tell(job)
    return is_ours


def set_aside_exhausted(*, at: datetime.datetime) -> int:
    """Those whose worker died on the last attempt. Each in a transaction of its own: nobody waits for a sweep."""
    exhausted = Job.objects.exhausted(at)
    return sum(_set_aside(job, at=at) for job in exhausted)


def _set_aside(job: Job, *, at: datetime.datetime) -> bool:
    with transaction.atomic():
        count = (
            Job.objects.exhausted(at)
            .filter(pk=job.pk)
            .update(state=JobState.FAILED, owner=None, lease_until=None, finished_at=at, last_error=DIED)
        )
        if count:
            _tell(job)
    return bool(count)


def _tell(job: Job) -> None:
    """A job of its own in the same transaction: its errors do not undo the setting aside, and it is not forgotten."""
    try:
        name = registry.find(job.name).when_set_aside
    except UnknownTask:
        return
    if name is not None:
        request(name, *job.args, practice=job.practice_id)


def try_again(job: Job, *, at: datetime.datetime) -> bool:
    """Put a job that was set aside back into the queue with all its attempts. The second time nothing happens."""
    again = (
        Job.objects.set_aside()
        .filter(pk=job.pk)
        .update(
            state=JobState.QUEUED,
            run_at=at,
            earlier_attempts=F("earlier_attempts") + F("attempts"),
            attempts=0,
            finished_at=None,
            hinted_at=None,
            seen_at=None,
        )
    )
    if again:
        transaction.on_commit(lambda: hint(job.pk))
    return bool(again)


def mark_seen(job: Job, *, at: datetime.datetime) -> bool:
    """Keep that somebody knows; it needs nobody's attention any more."""
    return bool(Job.objects.set_aside().filter(pk=job.pk, seen_at=None).update(seen_at=at))
