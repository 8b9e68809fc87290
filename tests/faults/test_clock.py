"""Scheduled work in real processes whose clock is faked: over a clock change, and after three days switched off."""

import datetime
import time
from collections import Counter

import pytest

from tests.faults.house import House, house, until
from tests.faults.served.clock import set_to

pytestmark = pytest.mark.slow

# Berlin's clocks go from 03:00 back to 02:00 at one o'clock UTC.
EVENING = datetime.datetime(2024, 10, 26, 20, 0, tzinfo=datetime.UTC)
NIGHT = datetime.timedelta(hours=8)
OFF = datetime.timedelta(days=3)
# A quarter of an hour a second.
SPEED = 900
BERLIN = "faults.nightly Europe/Berlin"
ZONES = 4
Known = dict[str, tuple[str, str]]


def test_nightly_work_runs_once_a_date_over_a_clock_change_and_once_after_a_long_sleep(prepared, tmp_path):
    clock, known = tmp_path / "clock.json", Known()
    # The faked clock drives leases too.
    hurry = {"FAULTS_LEASE_SECONDS": "1000000", "FAULTS_SWEEP_SECONDS": "1", "FAULTS_CLOCK": str(clock)}
    set_to(clock, EVENING, speed=0)
    with house(prepared, "small", tmp_path, **hurry) as ours:
        for kind in ("web", "worker", "scheduler"):
            ours.add(kind)
        ours.start()
        evening = until(lambda: nightly(ours, known), seconds=120)
        set_to(clock, EVENING, speed=SPEED)
        time.sleep(NIGHT.total_seconds() / SPEED)
        set_to(clock, EVENING + NIGHT, speed=0)
        morning = nightly(ours, known)
        for group in ours.groups.values():
            group.kill()

        set_to(clock, EVENING + NIGHT + OFF, speed=1)
        ours.start()
        ours.wait_until_up()
        until(lambda: all(len(nightly(ours, known)[name]) > len(morning[name]) for name in morning))
        # What comes a little later would be too much.
        time.sleep(3)
        afterwards = nightly(ours, known)

    assert [sorted(seen[BERLIN]) for seen in (evening, morning)] == [["2024-10-26"], ["2024-10-26", "2024-10-27"]]
    assert sorted(afterwards[BERLIN]) == ["2024-10-26", "2024-10-27", "2024-10-30"]
    for name, periods in afterwards.items():
        assert set(periods.values()) == {1}, name
        assert len(periods) == len(morning[name]) + 1, name


def nightly(ours: House, known: Known) -> dict[str, Counter[str]]:
    """How many effects each zone's periods have; nothing before all zones have one. Rows are forgotten in two days."""
    try:
        state = ours.state()
    except OSError:
        return {}
    known |= {job["uuid"]: (job["name"], job["period"]) for job in state["jobs"] if "nightly" in job["name"]}
    found: dict[str, Counter[str]] = {name: Counter() for name, _ in known.values()}
    for effect in state["effects"]:
        if effect["job"] in known:
            name, period = known[effect["job"]]
            found[name][period] += 1
    return found if len(found) == ZONES and all(found.values()) else {}
