"""With the shipped lease and sweep: how long work lies still after a death or an emptied broker, at most."""

import datetime
import time

import pytest

from jobs.sweeping import HINT_AGAIN_AFTER
from tests.faults.house import SHAPES, house, runs_of, until

HALF_A_MINUTE = 30.0
# The long task takes a third of a lease.
SHIPPED = {"FAULTS_LONG_SECONDS": "8"}


def test_shipped_settings_leave_seconds_for_starting_the_work(settings):
    by_death = settings.JOBS_LEASE_SECONDS + settings.JOBS_SWEEP_SECONDS
    by_lost_hint = HINT_AGAIN_AFTER.total_seconds() + settings.JOBS_SWEEP_SECONDS

    assert (by_death, by_lost_hint) == (25, 25)


@pytest.fixture
def shipped(request, prepared, tmp_path):
    with house(prepared, request.param, tmp_path, **SHIPPED) as ours:
        for kind in ("web", "worker", "scheduler"):
            ours.add(kind)
        ours.start()
        ours.wait_until_up("worker", "scheduler")
        yield ours


@pytest.mark.slow
@pytest.mark.parametrize("shipped", SHAPES, indirect=True)
def test_job_of_a_killed_worker_is_started_again_within_half_a_minute(shipped):
    worker = shipped.groups["worker"]
    asked = shipped.ask("long")
    until(lambda: shipped.at_work(worker))

    worker.kill()
    killed_at = datetime.datetime.now(datetime.UTC)
    shipped.wipe_broker()
    worker.start()

    again = until(lambda: [run for run in runs_of(shipped, asked) if after(run, killed_at)], seconds=60)
    waited = datetime.datetime.fromisoformat(again[0]["started_at"]) - killed_at
    assert waited.total_seconds() < HALF_A_MINUTE
    shipped.wait_until_done(seconds=HALF_A_MINUTE)


@pytest.mark.slow
@pytest.mark.parametrize("shipped", ["small"], indirect=True)
def test_work_whose_hints_were_lost_is_begun_within_half_a_minute_while_others_are_busy(shipped):
    for _ in range(2):
        shipped.ask("long")
    until(lambda: len(shipped.at_work(shipped.groups["worker"])) == 2)
    asked = {shipped.ask("short") for _ in range(3)}
    # The sweep has hinted them, and would not do so again at once.
    time.sleep(5.5)

    shipped.wipe_broker()

    waited = shipped.wait_until_done(seconds=60)
    assert {job["state"] for job in shipped.state()["jobs"] if job["args"] and job["args"][0] in asked} == {"done"}
    assert waited < HALF_A_MINUTE


def after(run: dict[str, str], moment: datetime.datetime) -> bool:
    return datetime.datetime.fromisoformat(run["started_at"]) > moment
