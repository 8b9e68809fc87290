"""Signs of life: the worker's heartbeat, and a scheduler that sweeps by itself."""

import logging
import threading
from collections.abc import Callable

from celery import bootsteps
from celery.beat import Scheduler
from django.db import DatabaseError, connection
from django.db.utils import InterfaceError

logger = logging.getLogger(__name__)

HEARTBEAT_SECONDS = 10


class WorkerPulse(bootsteps.StartStopStep):
    """From the worker's main process: sweep everything once, then leave a sign of life until it stops."""

    # After the pool has forked: a child must not inherit our database connection.
    requires = ("celery.worker.components:Pool",)

    def __init__(self, parent: object, **options: object) -> None:
        super().__init__(parent, **options)
        self.over = threading.Event()

    def start(self, parent: object) -> None:
        threading.Thread(target=self._live, name="worker-pulse", daemon=True).start()

    def stop(self, parent: object) -> None:
        self.over.set()

    def _live(self) -> None:
        # Celery names this module before the apps are ready.
        from jobs import sweeping  # noqa: PLC0415
        from jobs.choices import ProcessKind  # noqa: PLC0415
        from jobs.clock import database_now  # noqa: PLC0415

        self._try(lambda: sweeping.sweep(at=database_now(), everything=True))
        while True:
            self._try(lambda: sweeping.beat(ProcessKind.WORKER, at=database_now()))
            if self.over.wait(HEARTBEAT_SECONDS):
                return

    def _try(self, step: Callable[[], object]) -> None:
        try:
            step()
        except (DatabaseError, InterfaceError) as error:
            logger.warning("The worker's sign of life failed (%s).", type(error).__name__)
        finally:
            connection.close()


class SweepingScheduler(Scheduler):
    """Celery's scheduler, in memory, that sweeps in its own process: long jobs in every worker delay no sweep."""

    def apply_async(self, entry, producer=None, advance=True, **kwargs):  # type: ignore[no-untyped-def]
        result = self.app.tasks[entry.task].apply(throw=False)
        if result.failed():
            logger.error("The sweep failed: %s", type(result.result).__name__)
        return result
