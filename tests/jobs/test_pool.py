import os
import signal
import time
from pathlib import Path

import pytest

from jobs.pool import BlockingPool


@pytest.fixture
def pool():
    made = BlockingPool(processes=2)
    yield made
    made.terminate()


def test_pool_goes_on_after_children_were_killed_while_they_waited_for_work(pool):
    """One of two that wait holds the lock of their queue."""
    first = {pool.apply(os.getpid) for _ in range(20)}
    children = {worker.pid for worker in pool._pool}

    for child in children:
        os.kill(child, signal.SIGKILL)
    # A dying process may still take what is put in the queue, as ever; a lease brings that back.
    wait_until_gone(children)

    later = pool.apply_async(os.getpid).get(timeout=20)
    assert first <= children
    assert later not in children


def wait_until_gone(children):
    deadline = time.monotonic() + 20
    while any(Path(f"/proc/{child}").exists() for child in children):
        assert time.monotonic() < deadline
        time.sleep(0.01)
