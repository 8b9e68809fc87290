"""Work to be done, and the processes that do it."""

import datetime
import uuid

from django.db import models
from django.db.models import F, Q

from jobs.choices import JobState, ProcessKind


class JobQuerySet(models.QuerySet["Job"]):
    def claimable(self, at: datetime.datetime) -> "JobQuerySet":
        """Due, or abandoned by a worker whose lease ran out; with an attempt left."""
        due = Q(state=JobState.QUEUED, run_at__lte=at)
        return self.filter(due | Q(state=JobState.RUNNING, lease_until__lte=at), attempts__lt=F("max_attempts"))

    def not_started(self) -> "JobQuerySet":
        return self.filter(state=JobState.QUEUED, attempts=0)

    def set_aside(self) -> "JobQuerySet":
        """Given up, until somebody says to try again."""
        return self.filter(state=JobState.FAILED)

    def exhausted(self, at: datetime.datetime) -> "JobQuerySet":
        """Abandoned on the last attempt."""
        return self.filter(state=JobState.RUNNING, lease_until__lte=at, attempts__gte=F("max_attempts"))


class Job(models.Model):
    """A piece of background work. The row is the truth; what the broker carries is only a hint that it exists."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=100)
    # Ids only; see jobs.requests.
    args = models.JSONField(default=list)
    key = models.CharField(max_length=200, null=True, blank=True, unique=True)
    # Whose business it is. A number and not a link: practices live in a room above.
    practice_id = models.PositiveBigIntegerField(null=True, blank=True)
    # Not used any more; to be dropped in the release after the one that stopped using it.
    key_until_start = models.BooleanField(default=False)
    # For scheduled work: the name of its period.
    period = models.CharField(max_length=40, blank=True)
    state = models.CharField(max_length=10, choices=JobState, default=JobState.QUEUED)
    attempts = models.PositiveSmallIntegerField(default=0)
    max_attempts = models.PositiveSmallIntegerField(default=5)
    # Those before somebody said to try again.
    earlier_attempts = models.PositiveIntegerField(default=0, db_default=0)
    run_at = models.DateTimeField()
    hinted_at = models.DateTimeField(null=True, blank=True)
    # A random token per attempt: whoever does not hold it may neither renew, publish nor finish.
    owner = models.UUIDField(null=True, blank=True)
    lease_until = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    started_at = models.DateTimeField(null=True, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    # Kind and place of the error, never its text: that may quote what people wrote.
    last_error = models.CharField(max_length=300, blank=True)
    # When somebody who could act on it had seen that it was set aside.
    seen_at = models.DateTimeField(null=True, blank=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        ordering = ["run_at", "pk"]
        indexes = [
            models.Index(fields=["state", "run_at"]),
            models.Index(fields=["state", "lease_until"]),
        ]
        constraints = [
            models.CheckConstraint(condition=Q(state__in=JobState.values), name="job_state_is_known"),
            models.CheckConstraint(
                condition=Q(max_attempts__gte=1, attempts__lte=F("max_attempts")), name="job_attempts_within_limit"
            ),
            models.CheckConstraint(
                condition=Q(state="running", owner__isnull=False, lease_until__isnull=False)
                | (~Q(state="running") & Q(owner=None, lease_until=None)),
                name="job_runs_under_a_lease",
            ),
            models.CheckConstraint(
                condition=Q(state__in=["done", "failed"], finished_at__isnull=False)
                | (Q(state__in=["queued", "running"]) & Q(finished_at=None)),
                name="job_finished_at_a_time",
            ),
            models.CheckConstraint(condition=~Q(state="failed") | ~Q(last_error=""), name="a_failed_job_says_why"),
            models.CheckConstraint(
                condition=Q(seen_at=None) | Q(state="failed"), name="only_what_was_set_aside_is_seen"
            ),
            models.UniqueConstraint(fields=["name", "period"], condition=~Q(period=""), name="one_job_per_period"),
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.uuid}"

    @property
    def all_attempts(self) -> int:
        return self.earlier_attempts + self.attempts


class Heartbeat(models.Model):
    """When a kind of process was last seen alive."""

    kind = models.CharField(max_length=10, choices=ProcessKind, unique=True)
    seen_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.kind} {self.seen_at:%H:%M:%S}"
