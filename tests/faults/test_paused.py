"""A process that stood still for longer than its lease wakes up in the middle of a job that is not its own any more."""

import os
import signal

import pytest

from tests.faults.house import job_of, runs_of, until

pytestmark = pytest.mark.slow


def test_worker_that_slept_through_its_lease_publishes_nothing(hurried):
    for kind in ("web", "worker", "scheduler"):
        hurried.add(kind)
    hurried.start()
    hurried.wait_until_up("worker", "scheduler")
    asked = hurried.ask("long")
    sleeper = until(lambda: hurried.at_work(hurried.groups["worker"]))[0]

    os.kill(sleeper, signal.SIGSTOP)
    until(lambda: hurried.unfinished()["jobs"] == 0)
    os.kill(sleeper, signal.SIGCONT)

    until(lambda: all(run["ended_at"] for run in runs_of(hurried, asked)))
    assert [run["error"] for run in runs_of(hurried, asked)] == ["LostLease", ""]
    assert len([effect for effect in hurried.state()["effects"] if effect["job"] == job_of(hurried, asked)]) == 1
