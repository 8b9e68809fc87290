"""Running a job: attempts, errors, the lease."""

import datetime

import pytest
from django.db import OperationalError, transaction

import jobs
from jobs import lease as leases
from jobs import running
from jobs.choices import JobState
from jobs.current import CurrentJob, current_job
from jobs.models import Job

pytestmark = pytest.mark.django_db


def requested(name: str, *args: int | str) -> Job:
    with transaction.atomic():
        return jobs.request(name, *args)


def test_job_runs_with_its_ids_and_is_done(calls):
    job = requested("test.note", 5, "a-uuid")
    running.run(job.pk)

    job.refresh_from_db()
    assert (calls, job.state, job.attempts) == ([(5, "a-uuid")], JobState.DONE, 1)


def test_done_job_hinted_again_does_not_run(calls):
    job = requested("test.note", 5)

    assert [running.run(job.pk), running.run(job.pk)] == [True, False]
    assert calls == [(5,)]


def test_job_for_later_does_not_run_now(calls):
    with transaction.atomic():
        job = jobs.request("test.note", 5, run_at=datetime.datetime(2999, 1, 1, tzinfo=datetime.UTC))

    assert not running.run(job.pk)


def test_failing_job_waits_and_keeps_where_it_failed_but_not_what_was_said(own_tasks):
    @jobs.task("test.fails")
    def fails() -> None:
        raise ValueError("ada@example.test has a bad knee")

    job = requested("test.fails")
    running.run(job.pk)

    job.refresh_from_db()
    assert job.state == JobState.QUEUED
    assert job.run_at - job.started_at >= leases.pause_after(1)
    assert job.last_error.startswith("ValueError at test_running.py:")
    assert "ada" not in job.last_error


def test_log_of_a_failing_job_does_not_quote_the_error(own_tasks, caplog):
    @jobs.task("test.fails")
    def fails() -> None:
        raise ValueError("".join(["ada", "@example.test"]))

    running.run(requested("test.fails").pk)

    assert "ValueError" in caplog.text
    assert "ada@example.test" not in caplog.text


def test_job_fails_for_good_after_its_last_attempt(own_tasks):
    @jobs.task("test.fails", max_attempts=2)
    def fails() -> None:
        raise ValueError

    job = requested("test.fails")
    for _ in range(3):
        Job.objects.filter(state=JobState.QUEUED).update(run_at=job.run_at)
        running.run(job.pk)

    job.refresh_from_db()
    assert (job.state, job.attempts) == (JobState.FAILED, 2)
    assert job.last_error.startswith("ValueError")


def test_task_that_gives_up_is_not_tried_again(own_tasks):
    @jobs.task("test.hopeless")
    def hopeless() -> None:
        raise jobs.GiveUp("no_such_clip")

    job = requested("test.hopeless")
    running.run(job.pk)

    job.refresh_from_db()
    assert (job.state, job.last_error, job.attempts) == (JobState.FAILED, "no_such_clip", 1)


def test_pauses_double_up_to_half_an_hour():
    pauses = [leases.pause_after(attempts).total_seconds() for attempts in [1, 2, 3, 8, 9, 10_000]]

    assert pauses == [10, 20, 40, 1280, 1800, 1800]


def stolen(job: Job) -> None:
    """Another worker claims the job after its lease ran out."""
    taken = leases.claim(job.pk, seconds=60, at=job.started_at + datetime.timedelta(hours=1))
    assert taken is not None


@pytest.fixture
def robbed(own_tasks):
    """A task whose job is taken over while it works; what it found out about its lease."""
    found: dict[str, bool] = {}

    @jobs.task("test.robbed")
    def task() -> None:
        found["before"] = jobs.still_mine()
        stolen(Job.objects.get())
        found["after"] = jobs.still_mine()
        with jobs.publishing():
            found["published"] = True

    running.run(requested("test.robbed").pk)
    return found


def test_task_can_tell_that_its_lease_is_lost(robbed):
    assert (robbed["before"], robbed["after"]) == (True, False)


def test_task_without_its_lease_cannot_publish(robbed):
    assert "published" not in robbed


def test_worker_without_its_lease_settles_nothing(robbed):
    job = Job.objects.get()

    assert (job.state, job.attempts, job.last_error) == (JobState.RUNNING, 2, "")


def test_task_with_its_lease_can_publish(own_tasks):
    @jobs.task("test.publishes")
    def publishes() -> None:
        with jobs.publishing():
            pass

    job = requested("test.publishes")
    running.run(job.pk)

    job.refresh_from_db()
    assert job.state == JobState.DONE


def test_job_is_done_in_the_transaction_of_its_last_publishing(own_tasks):
    states: list[str] = []

    @jobs.task("test.publishes")
    def publishes() -> None:
        with jobs.publishing():
            pass
        states.append(Job.objects.get().state)
        with jobs.publishing(last=True):
            pass
        states.append(Job.objects.get().state)

    running.run(requested("test.publishes").pk)

    assert states == [JobState.RUNNING, JobState.DONE]


def test_last_publishing_that_fails_leaves_the_job_to_be_tried_again(own_tasks):
    @jobs.task("test.publishes")
    def publishes() -> None:
        with jobs.publishing(last=True):
            raise ValueError

    running.run(requested("test.publishes").pk)

    assert Job.objects.get().state == JobState.QUEUED


def test_error_after_the_last_publishing_is_logged_and_the_job_stays_done(own_tasks, caplog):
    @jobs.task("test.publishes")
    def publishes() -> None:
        with jobs.publishing(last=True):
            pass
        raise ZeroDivisionError

    running.run(requested("test.publishes").pk)

    assert Job.objects.get().state == JobState.DONE
    assert "ZeroDivisionError at test_running.py" in caplog.text


def test_nothing_is_published_after_the_last_time(own_tasks):
    refused: list[type[Exception]] = []

    @jobs.task("test.publishes")
    def publishes() -> None:
        with jobs.publishing(last=True):
            pass
        try:
            with jobs.publishing():
                pass
        except jobs.LostLease as error:
            refused.append(type(error))

    running.run(requested("test.publishes").pk)

    assert refused == [jobs.LostLease]


def test_outside_a_job_everything_is_mine():
    with jobs.publishing(last=True):
        assert jobs.still_mine()


def test_expired_lease_that_nobody_took_may_not_publish_by_still_mine(calls, at):
    job = requested("test.note")
    lease = leases.claim(job.pk, seconds=60, at=job.run_at - datetime.timedelta(0))
    Job.objects.update(lease_until=at - datetime.timedelta(days=1))

    with running._running(job, lease):
        assert not jobs.still_mine()


def test_database_step_is_tried_again_when_the_database_was_locked(monkeypatch):
    monkeypatch.setattr(running.time, "sleep", lambda _: None)
    monkeypatch.setattr(running, "connection", type("C", (), {"in_atomic_block": False, "close": lambda self: None})())
    answers = iter([OperationalError("database is locked"), OperationalError("database is locked"), "done"])

    def step():
        answer = next(answers)
        if isinstance(answer, Exception):
            raise answer
        return answer

    assert running.patiently(step) == "done"


def test_whoever_writes_a_log_line_knows_the_job(calls, monkeypatch):
    seen = []
    monkeypatch.setattr(running, "_attempt", lambda job: seen.append(current_job.get()))
    job = requested("test.note")

    assert running.run(job.pk)
    assert seen == [CurrentJob(str(job.uuid), "test.note")]
    assert current_job.get() is None
