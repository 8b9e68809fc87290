from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import queue
from methods.queue import Work
from methods.undefined import Undefined
from tests.methods.registry import Checks, Tag

CHECKS = Checks("queue")
A, HAND = Tag.ARITHMETIC, "worked by hand"
LECTURE = "scheduling lecture page with the interchange proof (p 1, 5; d 10, 5)"
TWO = [Work(1, 10), Work(5, 5)]
CHECKS.add(Tag.READ, LECTURE, "worst_lateness", "earliest due first", 0.0,
           lambda: queue.worst_lateness(TWO, queue.earliest_due_order(TWO)))  # fmt: skip
CHECKS.add(Tag.READ, LECTURE, "earliest_due_order", "order", [1, 0], lambda: queue.earliest_due_order(TWO))
CHECKS.add(Tag.READ, "queueing question page: about 0.10 off a chart", "erlang_c", "6 erlang, 10 servers", 0.10,
           lambda: queue.erlang_c(6, 1, 10).probability_of_waiting, 0.005)  # fmt: skip
SIX = [Work(p, d) for p, d in [(3, 6), (2, 8), (1, 9), (4, 9), (3, 14), (2, 15)]]
CHECKS.add(Tag.MEMORY, "Kleinberg & Tardos lecture", "worst_lateness", "six jobs", 1.0,
           lambda: queue.worst_lateness(SIX, queue.earliest_due_order(SIX)))  # fmt: skip
FOUR = [Work(3, 0, 1), Work(1, 0, 2), Work(2, 0, 4), Work(4, 0, 6)]
CHECKS.add(A, "brute force", "weighted_finish", "Smith's order", 66.0,
           lambda: queue.weighted_finish(FOUR, queue.smith_order(FOUR)))  # fmt: skip
for arrivals, servers, waiting, waiting_number in [(2, 3, 4 / 9, 8 / 9), (3, 4, 0.509434, 1.528302)]:
    CHECKS.add(Tag.MEMORY, "queueing textbooks", "erlang_c", f"{arrivals} erlang, {servers}", (waiting, waiting_number),
               lambda a=arrivals, c=servers: (round(queue.erlang_c(a, 1, c).probability_of_waiting, 6),
                                              round(queue.erlang_c(a, 1, c).mean_waiting, 6)), 1e-6)  # fmt: skip
for arrivals, servers, waiting in [(0.5, 1, 0.5), (1, 2, 1 / 3), (8, 10, 0.409180), (10, 12, 0.449388)]:
    CHECKS.add(A, HAND, "erlang_c", f"{arrivals} erlang, {servers}", waiting,
               lambda a=arrivals, c=servers: queue.erlang_c(a, 1, c).probability_of_waiting, 1e-6)  # fmt: skip
CHECKS.add(
    A,
    HAND,
    "erlang_c",
    "one coach, 7.5 and 10 an hour: 18 minutes",
    0.3,
    lambda: queue.erlang_c(7.5, 10, 1).mean_wait,
    1e-9,
)
CHECKS.add(A, HAND, "little_waiting", "12 a day, 1.5 days", 18.0, lambda: queue.little_waiting(12, 1.5))
CHECKS.add(A, HAND, "cobham_waits", "0.2, 0.5 of 1", (0.875, 2.916667),
           lambda: tuple(round(wait, 6) for wait in queue.cobham_waits([0.2, 0.5], 1)))  # fmt: skip
CHECKS.add(A, "brute force", "brute_force_best_lateness", "six jobs", 1.0, lambda: queue.brute_force_best_lateness(SIX))
CHECKS.add(A, HAND, "worst_lateness", "six jobs, shortest first", 6.0,
           lambda: queue.worst_lateness(SIX, sorted(range(6), key=lambda i: (SIX[i].minutes, i))))  # fmt: skip
CHECKS.add(A, HAND, "weighted_finish", "four jobs as given", 95.0, lambda: queue.weighted_finish(FOUR, range(4)))
CHECKS.add(
    A,
    HAND,
    "cobham_waits",
    "both classes: what is conserved",
    1.633333,
    lambda: sum(rho * w for rho, w in zip((0.2, 0.5), queue.cobham_waits([0.2, 0.5], 1), strict=True)),
    1e-6,
)
for arrivals, servers, waiting_number in [(1, 2, 1 / 3), (6, 10, 0.151949), (8, 10, 1.636721), (10, 12, 2.246941)]:
    CHECKS.add(A, HAND, "erlang_c", f"{arrivals} erlang, {servers}: waiting", waiting_number,
               lambda a=arrivals, c=servers: queue.erlang_c(a, 1, c).mean_waiting, 1e-6)  # fmt: skip


def test_queue_agrees_with_the_outside():
    assert CHECKS.wrong() == []


jobs = st.lists(st.builds(Work, st.integers(1, 9), st.integers(0, 30)), min_size=1, max_size=6)


@given(jobs)
def test_earliest_due_has_the_smallest_worst_lateness_of_all_orders(work):
    assert queue.worst_lateness(work, queue.earliest_due_order(work)) == queue.brute_force_best_lateness(work)


@given(st.floats(0.1, 0.45), st.floats(0.1, 0.45))
def test_priorities_conserve_the_weighted_wait(first, second):
    waits = queue.cobham_waits([first, second], 1)
    one_class = queue.erlang_c(first + second, 1, 1).mean_wait

    assert first * waits[0] + second * waits[1] == pytest.approx((first + second) * one_class)


NOON = datetime(2026, 3, 1, 12)


def test_a_warning_sign_comes_before_an_overdue_routine_item():
    assert queue.queue_key(0, NOON, NOON, "b") < queue.queue_key(4, NOON - timedelta(days=30), NOON, "a")


def test_open_lanes_are_ordered_by_promise_alone():
    assert queue.queue_key(4, NOON, NOON, "b") < queue.queue_key(1, NOON + timedelta(1), NOON, "a")


def test_same_promise_is_ordered_by_arrival():
    assert queue.queue_key(3, NOON, NOON - timedelta(1), "b") < queue.queue_key(3, NOON, NOON, "a")


def test_a_promise_is_kept_when_the_lane_changes():
    assert queue.due_after_change(NOON, NOON + timedelta(1)) == NOON


def test_promises_grow_with_the_lane():
    assert list(queue.PROMISES.values()) == sorted(queue.PROMISES.values())


def test_a_promise_in_the_past_is_refused():
    with pytest.raises(ValueError, match="future"):
        queue.due_at(NOON, timedelta(-1))


@pytest.mark.parametrize("undefined", [queue.erlang_c(3, 1, 3), queue.cobham_waits([0.5, 0.5], 1),
                                       queue.erlang_c_late_share(3, 1, 3, 1)])  # fmt: skip
def test_more_work_than_can_be_done_is_undefined(undefined):
    assert isinstance(undefined, Undefined)


def test_late_share_falls_with_time():
    assert queue.erlang_c_late_share(7.5, 10, 1, 0) == pytest.approx(0.75)
    assert queue.erlang_c_late_share(7.5, 10, 1, 1) < 0.75


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: queue.erlang_c(0, 1, 1), "positive"),
        (lambda: queue.erlang_c(1, 1, 0), "at least 1"),
        (lambda: queue.cobham_waits([-1], 1), "negative"),
        (lambda: queue.little_waiting(-1, 1), "negative"),
        (lambda: queue.smith_order([Work(0, 0)]), "positive"),
        (lambda: queue.brute_force_best_lateness([Work(1, 1)] * 9), "too many"),
    ],
)
def test_queue_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


@pytest.mark.parametrize(("utilisation", "busy"), [(0.85, False), (0.86, True)])
def test_a_desk_is_too_busy_above_85_per_cent(utilisation, busy):
    assert queue.is_too_busy(utilisation) == busy


def test_a_lane_that_does_not_exist_is_refused():
    with pytest.raises(ValueError, match="lane"):
        queue.queue_key(9, datetime(2026, 3, 1), datetime(2026, 3, 1), 1)
