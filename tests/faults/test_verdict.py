"""The judge of the runs under fire sees each kind of fault: a judge that finds none proves nothing."""

import datetime

import pytest

from tests.faults.verdict import Verdict, judge

START = datetime.datetime(2026, 3, 4, 12, 0, tzinfo=datetime.UTC)


def at(seconds: float) -> str:
    return (START + datetime.timedelta(seconds=seconds)).isoformat()


def job(**changes):
    row = {"uuid": "job", "name": "faults.short", "args": ["asked"], "period": "", "state": "done", "attempts": 1}
    return row | {"run_at": at(0), "finished_at": at(2)} | changes


def run(pk: int, start: float, end: float | None, **changes):
    ended_at = None if end is None else at(end)
    return {"pk": pk, "job": "job", "started_at": at(start), "ended_at": ended_at, "error": ""} | changes


def effect(run_id: int, seconds: float, **changes):
    return {"job": "job", "run_id": run_id, "at": at(seconds), "topic": None, "seen": None} | changes


def judged(*, restarted: float = 0, acknowledged=("asked",), **changes) -> Verdict:
    state = {"jobs": [job()], "runs": [run(1, 1, 2)], "effects": [effect(1, 1.9)], "plain": [], "told": []} | changes
    kinds = dict.fromkeys(acknowledged, "short")
    return judge(state, acknowledged=kinds, restarted_at=START + datetime.timedelta(seconds=restarted))


def test_job_done_once_is_no_fault():
    assert judged().faults() == {}


@pytest.mark.parametrize(
    "changes",
    [
        {"jobs": [], "runs": [], "effects": []},
        {"effects": []},
        {"jobs": [job(state="queued", finished_at=None)]},
        {"jobs": [job(state="running", finished_at=None)]},
        {"acknowledged": ("asked", "forgotten")},
        {"acknowledged": (), "effects": []},
    ],
    ids=["no row", "done without effect", "left waiting", "left running", "another's", "not acknowledged but done"],
)
def test_job_that_was_not_done_is_lost(changes):
    assert judged(**changes).lost != []


def test_job_set_aside_is_told_apart():
    assert judged(jobs=[job(state="failed")]).faults().keys() == {"lost", "set_aside"}


def test_newest_period_may_still_wait():
    waiting = job(uuid="other", args=[], period="x", state="queued", finished_at=None)

    assert judged(jobs=[job(), waiting]).faults() == {}


def test_second_effect_is_doubled():
    assert judged(effects=[effect(1, 1.5), effect(1, 1.9)]).doubled == ["job"]


def test_effect_of_a_job_that_was_not_acknowledged_is_not_doubled_either():
    assert judged(acknowledged=(), effects=[effect(1, 1.5), effect(1, 1.9)]).doubled == ["job"]


@pytest.mark.parametrize(
    ("runs", "count"),
    [
        ([run(1, 0, 5), run(2, 3, 8)], 1),
        ([run(1, 0, 5), run(2, 5, 8)], 0),
        ([run(1, 0, None), run(2, 3, 8)], 0),
        ([run(1, 0, 9), run(2, 3, 8), run(3, 4, 5)], 3),
    ],
    ids=["at once", "after each other", "the first was killed", "three at once"],
)
def test_runs_of_a_job_at_the_same_time_are_counted(runs, count):
    assert judged(runs=runs, effects=[effect(2, 7)]).overlapping == count


def test_two_runs_at_once_that_both_published_are_named():
    found = judged(runs=[run(1, 0, 5), run(2, 3, 8)], effects=[effect(1, 4), effect(2, 7)])

    assert found.published_while_overlapping == ["job"]


def test_killed_run_that_had_published_after_the_next_began_is_named():
    found = judged(runs=[run(1, 0, None), run(2, 3, 8)], effects=[effect(1, 4), effect(2, 7)])

    assert found.published_while_overlapping == ["job"]


@pytest.mark.parametrize(("seen", "unseen"), [([3, 5], []), ([5, 3], []), ([3], [9]), ([], [9])])
def test_topic_whose_newest_was_never_read_is_named(seen, unseen):
    effects = [effect(1, 1), *(effect(n, n, job=f"again {n}", topic=9, seen=n) for n in seen)]

    assert judged(effects=effects, told=[{"topic": 9, "newest": 5}]).unseen_topics == unseen


def test_settling_counts_from_the_last_restart_or_from_when_a_job_was_due():
    late = [job(finished_at=at(25)), job(name="faults.fails_twice", run_at=at(40), finished_at=at(41))]

    assert (judged(restarted=20, jobs=late).settled_seconds, judged(restarted=20, jobs=late).slowest) == (
        5.0,
        "faults.short",
    )


def test_other_way_is_counted_by_its_own_effects():
    found = judged(acknowledged=("a", "b", "c"), plain=[{"asked": "a"}, {"asked": "a"}, {"asked": "b"}])

    assert (found.plain_asked, found.plain_lost, found.plain_doubled) == (3, 1, 1)
