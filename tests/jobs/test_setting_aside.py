"""Jobs that cannot be done: set aside, told, tried again."""

import datetime

import pytest
from django.db import transaction

import jobs
from jobs import lease as leases
from jobs import running, setting_aside
from jobs.choices import JobState
from jobs.models import Job

pytestmark = pytest.mark.django_db

HOUR = datetime.timedelta(hours=1)


@pytest.fixture(autouse=True)
def hopeless(own_tasks):
    """A task "test.hopeless" that always gives up."""

    @jobs.task("test.hopeless")
    def hopeless(*args: int | str) -> None:
        raise jobs.GiveUp("no_such_clip")


def requested(*args: int | str) -> Job:
    with transaction.atomic():
        return jobs.request("test.hopeless", *args)


def given_up(*args: int | str) -> Job:
    job = requested(*args)
    running.run(job.pk)
    job.refresh_from_db()
    return job


def test_job_of_a_task_that_no_longer_exists_is_set_aside(at):
    job = Job.objects.create(name="test.gone", run_at=at, max_attempts=1)
    leases.claim(job.pk, seconds=60, at=at)

    assert setting_aside.set_aside_exhausted(at=at + HOUR) == 1


def test_job_set_aside_is_not_under_way(at):
    given_up(7)
    requested(8)
    running_now = requested(9)
    Job.objects.filter(pk=running_now.pk).update(run_at=at)
    leases.claim(running_now.pk, seconds=60, at=at)

    assert jobs.under_way("test.hopeless") == {(8,), (9,)}


def test_job_tried_again_has_all_its_attempts_and_keeps_count(at):
    job = given_up()
    setting_aside.mark_seen(job, at=at)

    assert setting_aside.try_again(job, at=at)
    job.refresh_from_db()
    assert (job.state, job.attempts, job.all_attempts, job.run_at) == (JobState.QUEUED, 0, 1, at)
    assert (job.finished_at, job.seen_at) == (None, None)


def test_job_is_put_back_into_the_queue_once(at):
    job = given_up()

    assert [setting_aside.try_again(job, at=at) for _ in range(2)] == [True, False]


@pytest.mark.parametrize("state", [JobState.QUEUED, JobState.DONE])
def test_job_that_is_not_set_aside_is_not_tried_again(at, state):
    job = requested()
    Job.objects.update(state=state, finished_at=at if state == JobState.DONE else None, attempts=1)

    assert not setting_aside.try_again(job, at=at)
    job.refresh_from_db()
    assert (job.state, job.attempts) == (state, 1)


def test_running_job_keeps_its_lease_when_somebody_says_try_again(at):
    job = requested()
    Job.objects.update(run_at=at)
    lease = leases.claim(job.pk, seconds=60, at=at)

    assert not setting_aside.try_again(job, at=at)
    assert lease
    assert leases.finish(lease, at=at)


def test_job_tried_again_and_done_needs_no_attention(own_tasks, at):
    answers = iter([jobs.GiveUp("no_such_clip"), None])

    @jobs.task("test.mended")
    def mended() -> None:
        if (error := next(answers)) is not None:
            raise error

    with transaction.atomic():
        job = jobs.request("test.mended")
    running.run(job.pk)
    setting_aside.try_again(job, at=job.run_at)
    running.run(job.pk)

    job.refresh_from_db()
    assert (job.state, job.last_error, job.all_attempts) == (JobState.DONE, "", 2)


def test_first_sight_of_it_is_kept(at):
    job = given_up()

    assert [setting_aside.mark_seen(job, at=at + hours * HOUR) for hours in [0, 1]] == [True, False]
    job.refresh_from_db()
    assert job.seen_at == at


def test_job_that_waits_cannot_be_seen_as_set_aside(at):
    assert not setting_aside.mark_seen(requested(), at=at)
