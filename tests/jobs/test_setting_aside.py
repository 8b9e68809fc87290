"""Jobs that cannot be done: set aside, told, tried again."""

import datetime

import pytest
from django.db import transaction

import jobs
from jobs import lease as leases
from jobs import running, setting_aside, sweeping
from jobs.choices import JobState
from jobs.models import Job

pytestmark = pytest.mark.django_db

HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def told(own_tasks):
    """A task "test.hopeless" that always gives up, and what its other task was told."""
    noted: list[tuple] = []

    @jobs.task("test.hopeless", max_attempts=2, when_set_aside="test.tell")
    def hopeless(*args: int | str) -> None:
        raise jobs.GiveUp("no_such_clip")

    jobs.task("test.tell")(lambda *args: noted.append(args))
    return noted


def requested(*args: int | str, practice: int | None = None) -> Job:
    with transaction.atomic():
        return jobs.request("test.hopeless", *args, practice=practice)


def given_up(*args: int | str) -> Job:
    job = requested(*args)
    running.run(job.pk)
    job.refresh_from_db()
    return job


def test_job_that_is_set_aside_is_told_with_its_ids(told):
    given_up(7, "x")
    jobs.run_waiting()

    assert told == [(7, "x")]


def test_telling_keeps_whose_business_it_is(told):
    running.run(requested(7, practice=3).pk)

    assert Job.objects.get(name="test.tell").practice_id == 3


def test_job_whose_worker_died_each_time_is_told_by_the_sweep(told, at):
    job = requested(7)
    Job.objects.update(run_at=at, attempts=1)
    leases.claim(job.pk, seconds=60, at=at)
    for minutes in [0, 2, 4]:
        sweeping.sweep(at=at + datetime.timedelta(minutes=minutes))
    jobs.run_waiting()

    job.refresh_from_db()
    assert (job.state, job.last_error, told) == (JobState.FAILED, setting_aside.DIED, [(7,)])


def test_worker_that_lost_its_lease_sets_nothing_aside_and_tells_nobody(told, at):
    job = requested(7)
    Job.objects.update(run_at=at)
    lost = leases.claim(job.pk, seconds=60, at=at)
    leases.claim(job.pk, seconds=60, at=at + HOUR)

    assert lost
    assert not setting_aside.give_up(job, lost, error="no_such_clip", at=at + HOUR)
    assert not Job.objects.filter(name="test.tell").exists()


def test_job_of_a_task_that_no_longer_exists_is_set_aside(told, at):
    job = Job.objects.create(name="test.gone", run_at=at, max_attempts=1)
    leases.claim(job.pk, seconds=60, at=at)

    assert setting_aside.set_aside_exhausted(at=at + HOUR) == 1


def test_job_tried_again_has_all_its_attempts_and_keeps_count(told, at):
    job = given_up()
    setting_aside.mark_seen(job, at=at)

    assert setting_aside.try_again(job, at=at)
    job.refresh_from_db()
    assert (job.state, job.attempts, job.all_attempts, job.run_at) == (JobState.QUEUED, 0, 1, at)
    assert (job.finished_at, job.seen_at) == (None, None)


def test_job_is_put_back_into_the_queue_once(told, at):
    job = given_up()

    assert [setting_aside.try_again(job, at=at) for _ in range(2)] == [True, False]


@pytest.mark.parametrize("state", [JobState.QUEUED, JobState.DONE])
def test_job_that_is_not_set_aside_is_not_tried_again(told, at, state):
    job = requested()
    Job.objects.update(state=state, finished_at=at if state == JobState.DONE else None, attempts=1)

    assert not setting_aside.try_again(job, at=at)
    job.refresh_from_db()
    assert (job.state, job.attempts) == (state, 1)


def test_running_job_keeps_its_lease_when_somebody_says_try_again(told, at):
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


def test_first_sight_of_it_is_kept(told, at):
    job = given_up()

    assert [setting_aside.mark_seen(job, at=at + hours * HOUR) for hours in [0, 1]] == [True, False]
    job.refresh_from_db()
    assert job.seen_at == at


def test_job_that_waits_cannot_be_seen_as_set_aside(told, at):
    assert not setting_aside.mark_seen(requested(), at=at)
