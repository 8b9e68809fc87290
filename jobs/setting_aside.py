"""A job that cannot be done is set aside with a reason, and tried again when somebody says so."""

import datetime

from django.db import transaction
from django.db.models import F

from jobs.choices import JobState
from jobs.models import Job
from jobs.requests import hint

# Stored, and put into words for people where it is shown.
DIED = "The worker died each time, or lost touch with the database."


def set_aside_exhausted(*, at: datetime.datetime) -> int:
    """Those whose worker died on the last attempt. One by one: two sweeps at once never wait for each other's rows."""
    ids = list(Job.objects.exhausted(at).values_list("pk", flat=True))
    return sum(
        Job.objects.exhausted(at)
        .filter(pk=pk)
        .update(state=JobState.FAILED, owner=None, lease_until=None, finished_at=at, last_error=DIED)
        for pk in ids
    )


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
