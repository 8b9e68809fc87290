"""Compare-and-set: one owner at a time."""

import datetime

import pytest
from django.db import IntegrityError, transaction

from jobs import lease as leases
from jobs.choices import JobState
from jobs.models import Job

pytestmark = pytest.mark.django_db

MINUTE = datetime.timedelta(minutes=1)


@pytest.fixture
def job(at) -> Job:
    return Job.objects.create(name="test.note", run_at=at)


def test_claimed_job_cannot_be_claimed(job, at):
    assert leases.claim(job.pk, seconds=60, at=at) is not None
    assert leases.claim(job.pk, seconds=60, at=at) is None


def test_job_is_claimed_again_when_its_lease_ran_out(job, at):
    first = leases.claim(job.pk, seconds=60, at=at)

    assert leases.claim(job.pk, seconds=60, at=at + MINUTE - datetime.timedelta(microseconds=1)) is None
    second = leases.claim(job.pk, seconds=60, at=at + MINUTE)
    assert first
    assert second
    assert first.owner != second.owner


def test_renewed_lease_lasts(job, at):
    lease = leases.claim(job.pk, seconds=60, at=at)

    assert leases.renew(lease, at=at + MINUTE / 2)
    assert leases.claim(job.pk, seconds=60, at=at + MINUTE) is None


@pytest.mark.parametrize(
    "act",
    [
        leases.renew,
        leases.finish,
        lambda lease, at: leases.fail(lease, error="x", at=at),
        lambda lease, at: leases.try_later(lease, error="x", attempts=1, at=at),
    ],
)
def test_former_owner_changes_nothing(job, at, act):
    former = leases.claim(job.pk, seconds=60, at=at)
    leases.claim(job.pk, seconds=60, at=at + MINUTE)
    before = Job.objects.values().get()

    assert not act(former, at=at + MINUTE)
    assert Job.objects.values().get() == before


def test_job_without_attempts_left_cannot_be_claimed(job, at):
    Job.objects.update(attempts=5)

    assert leases.claim(job.pk, seconds=60, at=at) is None


@pytest.mark.parametrize(
    "nonsense",
    [
        {"state": "resting"},
        {"state": JobState.RUNNING},
        {"state": JobState.DONE},
        {"state": JobState.FAILED},
        {"attempts": 6},
        {"max_attempts": 0},
    ],
)
def test_database_refuses_a_job_that_makes_no_sense(job, nonsense):
    with pytest.raises(IntegrityError), transaction.atomic():
        Job.objects.update(**nonsense)


def test_database_refuses_a_failed_job_that_does_not_say_why(job, at):
    with pytest.raises(IntegrityError), transaction.atomic():
        Job.objects.update(state=JobState.FAILED, finished_at=at)
