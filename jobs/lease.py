"""Who may work on a job: one owner at a time, by compare-and-set, for as long as the lease is renewed."""

import datetime
import uuid
from dataclasses import dataclass

from django.db.models import F

from jobs.choices import JobState
from jobs.models import Job, JobQuerySet

LONGEST_PAUSE = datetime.timedelta(minutes=30)


@dataclass(frozen=True)
class Lease:
    job_id: int
    owner: uuid.UUID
    seconds: float

    def until(self, at: datetime.datetime) -> datetime.datetime:
        return at + datetime.timedelta(seconds=self.seconds)

    def held(self) -> JobQuerySet:
        """The job's row, if it is still ours."""
        return Job.objects.filter(pk=self.job_id, state=JobState.RUNNING, owner=self.owner)


def claim(job_id: int, *, seconds: float, at: datetime.datetime) -> Lease | None:
    """Take the job, or None when it is done, taken, not due or out of attempts."""
    lease = Lease(job_id, uuid.uuid4(), seconds)
    taken = Job.objects.claimable(at).filter(pk=job_id)
    count = taken.update(
        state=JobState.RUNNING,
        owner=lease.owner,
        lease_until=lease.until(at),
        attempts=F("attempts") + 1,
        started_at=at,
        hinted_at=None,
    )
    return lease if count == 1 else None


def renew(lease: Lease, *, at: datetime.datetime) -> bool:
    return lease.held().update(lease_until=lease.until(at)) == 1


def finish(lease: Lease, *, at: datetime.datetime) -> bool:
    return _let_go(lease, state=JobState.DONE, finished_at=at, last_error="")


def fail(lease: Lease, *, error: str, at: datetime.datetime) -> bool:
    """Give the job up for good."""
    return _let_go(lease, state=JobState.FAILED, finished_at=at, last_error=error[:300])


def try_later(lease: Lease, *, error: str, attempts: int, at: datetime.datetime) -> bool:
    return _let_go(lease, state=JobState.QUEUED, run_at=at + pause_after(attempts), last_error=error[:300])


def pause_after(attempts: int) -> datetime.timedelta:
    """10 s, 20 s, 40 s and so on, half an hour at most."""
    return min(datetime.timedelta(seconds=10 * 2 ** min(attempts - 1, 20)), LONGEST_PAUSE)


def _let_go(lease: Lease, **values: object) -> bool:
    return lease.held().update(owner=None, lease_until=None, hinted_at=None, **values) == 1
