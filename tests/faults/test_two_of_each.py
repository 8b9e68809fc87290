"""Two web processes, two workers and two schedulers at once do everything once."""

import datetime

import pytest

from tests.faults.verdict import judge

pytestmark = pytest.mark.slow

KINDS = ["short"] * 8 + ["again"] * 4 + ["fails_twice"]


def test_two_of_each_process_do_everything_once(hurried):
    for kind in ("web", "worker", "scheduler"):
        hurried.add(kind)
        hurried.add(kind, f"{kind} 2")
    hurried.start()
    ports = [hurried.port, hurried.port + 1]
    hurried.wait_until_up("worker", "scheduler")
    hurried.wait_until_up(port=ports[1])

    acknowledged = {}
    for number in range(52):
        kind = KINDS[number % len(KINDS)]
        acknowledged[hurried.ask(kind, port=ports[number % 2], topic=str(number % 3))] = kind
    hurried.wait_until_done(seconds=120)

    verdict = judge(hurried.state(), acknowledged=acknowledged, restarted_at=datetime.datetime.now(datetime.UTC))
    assert verdict.faults() == {}
    assert (verdict.overlapping, verdict.cut_off) == (0, 0)
    assert verdict.periods > 2
    assert [group.name for group in hurried.groups.values() if group.process and group.process.poll() is not None] == []
