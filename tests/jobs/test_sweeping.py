"""What a lost message, a dead worker or a long sleep left behind."""

import datetime
from zoneinfo import ZoneInfo

import pytest
from django.db import transaction

import jobs
from jobs import lease as leases
from jobs import setting_aside, sweeping
from jobs.choices import JobState, ProcessKind
from jobs.models import Heartbeat, Job

pytestmark = pytest.mark.django_db

HOUR = datetime.timedelta(hours=1)


@pytest.fixture(autouse=True)
def broker_folder(settings, tmp_path):
    settings.BROKER_FOLDER = tmp_path
    return tmp_path


@pytest.fixture
def hinted(monkeypatch):
    sent: list[int] = []
    monkeypatch.setattr(sweeping, "hint", lambda job_id: sent.append(job_id) or True)
    return sent


def queued(at, **values) -> Job:
    return Job.objects.create(**{"name": "test.note", "run_at": at} | values)


def test_sweep_hints_what_waits(hinted, at):
    due = queued(at)
    queued(at + HOUR)

    sweeping.sweep(at=at)
    assert hinted == [due.pk]


def test_sweep_does_not_repeat_a_fresh_hint(hinted, at):
    job = queued(at)
    for seconds in [0, 5, 19, 20]:
        sweeping.sweep(at=at + datetime.timedelta(seconds=seconds))

    assert hinted == [job.pk, job.pk]


def test_first_sweep_of_a_worker_repeats_all_hints(hinted, at):
    job = queued(at, hinted_at=at)
    sweeping.sweep(at=at, everything=True)

    assert hinted == [job.pk]


def test_hint_is_repeated_for_the_first_in_line_only(hinted, at):
    line = [queued(at, hinted_at=at).pk for _ in range(sweeping.REPEATED_FOR + 5)]
    sweeping.sweep(at=at + datetime.timedelta(minutes=1))

    assert hinted == line[: sweeping.REPEATED_FOR]


def test_hint_for_a_job_whose_worker_died_is_not_repeated_with_every_sweep(hinted, at):
    job = queued(at)
    leases.claim(job.pk, seconds=60, at=at)
    for seconds in [60, 65, 79, 80]:
        sweeping.sweep(at=at + datetime.timedelta(seconds=seconds))

    assert hinted == [job.pk, job.pk]


def test_hint_that_could_not_be_sent_is_sent_by_the_next_sweep(monkeypatch, at):
    queued(at)
    monkeypatch.setattr(sweeping, "hint", lambda job_id: False)
    sweeping.sweep(at=at)

    assert Job.objects.get().hinted_at is None


def test_sweep_hints_a_job_whose_worker_died(hinted, at):
    job = queued(at)
    leases.claim(job.pk, seconds=60, at=at)

    sweeping.sweep(at=at + datetime.timedelta(seconds=59))
    assert hinted == []
    sweeping.sweep(at=at + datetime.timedelta(seconds=60))
    assert hinted == [job.pk]


def test_sweep_fails_a_job_whose_worker_died_each_time(hinted, at):
    job = queued(at, max_attempts=1)
    leases.claim(job.pk, seconds=60, at=at)
    sweeping.sweep(at=at + HOUR)

    job.refresh_from_db()
    assert (job.state, hinted) == (JobState.FAILED, [])
    assert job.last_error == setting_aside.DIED


@pytest.fixture
def nightly(own_tasks):
    jobs.periodic("test.nightly", hour=2, zone="Europe/Berlin")(lambda: None)


def test_scheduled_work_gets_one_row_per_period(nightly, hinted, at):
    for hours in range(48):
        sweeping.sweep(at=at + hours * HOUR)
        jobs.run_waiting()

    assert list(Job.objects.values_list("period", flat=True)) == ["2026-03-04", "2026-03-05", "2026-03-06"]


def test_periods_missed_in_a_long_sleep_collapse_into_the_latest(nightly, hinted, at):
    sweeping.sweep(at=at)
    sweeping.sweep(at=at + datetime.timedelta(days=30))

    assert list(Job.objects.values_list("period", flat=True)) == ["2026-04-03"]


def test_scheduled_work_that_runs_is_not_dropped_for_a_new_period(nightly, hinted, at):
    sweeping.sweep(at=at)
    leases.claim(Job.objects.get().pk, seconds=60, at=at)
    sweeping.sweep(at=at + datetime.timedelta(days=1))

    assert Job.objects.count() == 2


SLEPT_OVER = {
    "Berlin in spring": ("Europe/Berlin", 2, datetime.datetime(2024, 3, 31, 1, 0)),
    "Berlin in autumn": ("Europe/Berlin", 2, datetime.datetime(2024, 10, 27, 1, 0)),
    "Lord Howe, by half an hour, in spring": ("Australia/Lord_Howe", 2, datetime.datetime(2024, 10, 5, 15, 30)),
    "Lord Howe in autumn": ("Australia/Lord_Howe", 1, datetime.datetime(2024, 4, 6, 15, 0)),
    "Apia, over a date that never was": ("Pacific/Apia", 2, datetime.datetime(2011, 12, 30, 10, 0)),
    "Sao Paulo, at midnight": ("America/Sao_Paulo", 0, datetime.datetime(2018, 11, 4, 3, 0)),
}


@pytest.mark.parametrize("slept", [0, 3], ids=["awake", "asleep for three days"])
@pytest.mark.parametrize(("zone", "hour", "change"), SLEPT_OVER.values(), ids=SLEPT_OVER)
def test_nightly_work_around_a_clock_change_runs_once_per_date(own_tasks, hinted, at, zone, hour, change, slept):
    task = jobs.periodic("test.nightly", hour=hour, zone=zone)
    runs: list[str] = []
    task(lambda: runs.append(Job.objects.get(state=JobState.RUNNING).period))
    change = change.replace(tzinfo=datetime.UTC)
    asleep, awake = change - slept * 20 * HOUR, change + slept * 4 * HOUR

    for look in (change + n * HOUR for n in range(-4 * 24, 4 * 24)):
        if not asleep < look < awake:
            sweeping.sweep(at=look)
            jobs.run_waiting()

    local = ZoneInfo(zone)
    days = sorted({(change + n * HOUR).astimezone(local).date() for n in range(-3 * 24, 3 * 24)})
    missed = [day for day in days if asleep < datetime.datetime.combine(day, datetime.time(hour), local) < awake]
    assert runs == sorted(set(runs))
    assert set(map(str, days)) - set(runs) == set(map(str, missed[:-1]))


def test_late_sweeper_with_a_slow_clock_does_not_repeat_a_period(nightly, hinted, at):
    with transaction.atomic():
        sweeping.sweep(at=at)
    jobs.run_waiting()
    sweeping.sweep(at=at - datetime.timedelta(seconds=3))

    assert Job.objects.count() == 1


def test_old_rows_are_forgotten_but_not_the_newest_period(at):
    done = {"state": JobState.DONE, "finished_at": at - datetime.timedelta(days=31)}
    queued(at, **done)
    queued(at, **done, period="2026-01-01")
    newest = queued(at, **done, period="2026-01-02")
    waiting = queued(at - datetime.timedelta(days=400))
    sweeping.remove_old(at=at)

    assert set(Job.objects.all()) == {newest, waiting}


def test_what_was_set_aside_is_forgotten_once_its_practice_has_seen_it(at):
    failed = {"state": JobState.FAILED, "last_error": "x", "finished_at": at - datetime.timedelta(days=91)}
    queued(at, **failed)
    queued(at, **failed, practice_id=3, seen_at=at)
    unseen = queued(at, **failed, practice_id=3)
    sweeping.remove_old(at=at)

    assert set(Job.objects.all()) == {unseen}


def test_delivered_hints_are_cleared_a_minute_later(broker_folder, monkeypatch):
    delivered = broker_folder / "delivered"
    delivered.mkdir()
    message = delivered / "1.celery.msg"
    message.touch()

    sweeping.clear_delivered_hints()
    assert message.exists()
    changed = message.stat().st_ctime
    monkeypatch.setattr(sweeping.time, "time", lambda: changed + 61)
    sweeping.clear_delivered_hints()
    assert not message.exists()


def test_beat_keeps_one_row_per_kind(at):
    for minutes in range(3):
        sweeping.beat(ProcessKind.WORKER, at=at + datetime.timedelta(minutes=minutes))

    assert Heartbeat.objects.get().seen_at == at + datetime.timedelta(minutes=2)
