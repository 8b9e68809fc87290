"""The worker's processes, where it asks its broker in a thread (the filesystem's): they share a queue and its lock."""

import fcntl
import tempfile
from types import TracebackType
from typing import Any

from billiard.pool import Pool
from celery.concurrency import prefork


class LockOfTheLiving:
    """Between processes, and taken back by the system from one that dies.

    A semaphore is not: a child that is killed while it waits for work, which it does holding the lock, leaves the whole
    pool waiting for ever, and nothing says so.
    """

    def __init__(self) -> None:
        # Never closed: a process that closes any handle of a file gives up its lock on it.
        self._file = tempfile.TemporaryFile()  # noqa: SIM115

    def acquire(self) -> None:
        fcntl.lockf(self._file, fcntl.LOCK_EX)

    def release(self) -> None:
        fcntl.lockf(self._file, fcntl.LOCK_UN)

    def __enter__(self) -> None:
        self.acquire()

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.release()


class BlockingPool(Pool):
    # The stubs for billiard do not know what is private.
    _inqueue: Any
    _outqueue: Any

    def _setup_queues(self) -> None:
        super()._setup_queues()  # type: ignore[misc]
        self._inqueue._rlock = LockOfTheLiving()
        self._outqueue._wlock = LockOfTheLiving()


class TaskPool(prefork.TaskPool):
    BlockingPool: Any = BlockingPool
