"""What Celery knows: run a job by its id, and sweep."""

from celery import shared_task
from django.db import close_old_connections

from jobs import running, sweeping
from jobs.choices import ProcessKind
from jobs.clock import database_now


@shared_task(name="jobs.run")
def run_job(job_id: int) -> None:
    running.run(job_id)


@shared_task(name="jobs.sweep")
def sweep() -> None:
    close_old_connections()
    try:
        at = database_now()
        sweeping.sweep(at=at)
        # Last, so that a sweep that fails shows as one that is missing.
        sweeping.beat(ProcessKind.SCHEDULER, at=at)
    finally:
        close_old_connections()
