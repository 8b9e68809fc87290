"""Jobs that can never be done, among fifty that can, with one worker: they are set aside and delay nobody."""

import re
import time

import pytest

from jobs.setting_aside import DIED

pytestmark = pytest.mark.slow

COUNT = 50
POISON = {"kills_its_process": 3, "leaves_its_process": 3, "raises": 2}
DEATHS = 6
# There is only one. Some two seconds on a machine at rest.
SECONDS_TO_REPLACE_A_PROCESS = 5


def test_poison_is_set_aside_with_a_reason_and_others_are_done_in_their_usual_time(hurried, capsys):
    for kind in ("web", "worker", "scheduler"):
        hurried.add(kind, pool=1)
    hurried.start()
    hurried.wait_until_up("worker", "scheduler")
    usual = _done_in(hurried)

    for kind in POISON:
        hurried.ask(kind)
    beside_poison = _done_in(hurried)

    hurried.wait_until_done(seconds=120)
    with capsys.disabled():
        print(f"\n{COUNT} jobs in {usual:.1f} s, beside poison in {beside_poison:.1f} s")  # noqa: T201
    poisoned = {job["name"].removeprefix("faults."): job for job in hurried.state()["jobs"] if job["state"] == "failed"}
    assert {name: job["attempts"] for name, job in poisoned.items()} == POISON
    assert poisoned["kills_its_process"]["last_error"] == poisoned["leaves_its_process"]["last_error"] == DIED
    assert re.fullmatch(r"NotYet at tasks\.py:\d+", poisoned["raises"]["last_error"])
    assert beside_poison < usual + DEATHS * SECONDS_TO_REPLACE_A_PROCESS


def _done_in(house) -> float:
    """From the first request to the last of fifty being done."""
    began = time.monotonic()
    asked = {house.ask("short") for _ in range(COUNT)}
    while not asked <= _done(house):
        assert time.monotonic() - began < 180, house.logs()
        time.sleep(0.25)
    return time.monotonic() - began


def _done(house) -> set[str]:
    return {job["args"][0] for job in house.state()["jobs"] if job["state"] == "done" and job["args"]}
