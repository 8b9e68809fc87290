"""Asking for work: a row in the caller's transaction, and a hint to the broker once that is committed."""

import datetime
import logging
from collections.abc import Iterable
from itertools import islice

from django.db import connection, transaction
from django.utils import timezone

from jobs import registry
from jobs.choices import JobState
from jobs.errors import BadArguments, NotInTransaction
from jobs.models import Job

logger = logging.getLogger(__name__)

LONGEST_ARGUMENT = 100
LONGEST_KEY = 200
# In one question to the database.
MOST_KEYS = 500


def request(
    name: str,
    *args: int | str,
    practice: int | None = None,
    key: str | None = None,
    run_at: datetime.datetime | None = None,
) -> Job:
    _require_transaction()
    values = _values(name, args, practice, run_at)
    if key is None:
        job = Job.objects.create(**values)
    else:
        job, _ = Job.objects.get_or_create(key=_checked_key(key), defaults=values)
        if (job.name, job.args) != (name, list(args)):
            raise BadArguments(f"The key {key!r} belongs to another job.")
    _hint_on_commit(job)
    return job


def ensure(name: str, *args: int | str, practice: int | None = None, run_at: datetime.datetime | None = None) -> Job:
    """See jobs.ensure.

    A waiting row is locked until we commit, so that whoever runs it sees what this transaction wrote. It never waits
    for another transaction, so that several keys asked for in any order cannot deadlock: beside a row that somebody
    holds, or made and has not committed, a second one is made, and the work runs twice.
    """
    _require_transaction()
    values = _values(name, args, practice, run_at)
    waiting = Job.objects.not_started().filter(name=name, args=list(args), key=None, period="")
    job = waiting.select_for_update(skip_locked=True).first()
    if job is None:
        job = Job.objects.create(**values)
    elif values["run_at"] < job.run_at:
        job.run_at = values["run_at"]
        job.save(update_fields=["run_at"])
    _hint_on_commit(job)
    return job


def under_way(name: str) -> set[tuple[int | str, ...]]:
    unfinished = Job.objects.filter(name=name, state__in=[JobState.QUEUED, JobState.RUNNING])
    return {tuple(args) for args in unfinished.values_list("args", flat=True)}


def known_keys(keys: Iterable[str]) -> set[str]:
    found: set[str] = set()
    waiting = iter(keys)
    while some := list(islice(waiting, MOST_KEYS)):
        found.update(key for key in Job.objects.filter(key__in=some).values_list("key", flat=True) if key)
    return found


def _require_transaction() -> None:
    # The transaction a test case wraps around everything is not the caller's; a test must see the mistake too.
    if all(getattr(block, "_from_testcase", False) for block in connection.atomic_blocks):
        raise NotInTransaction("Request a job in the transaction that causes it.")


def _values(name: str, args: tuple[int | str, ...], practice: int | None, run_at: datetime.datetime | None) -> dict:
    task = registry.find(name)
    for arg in args:
        if isinstance(arg, bool) or not isinstance(arg, int | str) or len(str(arg)) > LONGEST_ARGUMENT:
            raise BadArguments(f"{name} takes ids, not {type(arg).__name__}.")
    return {
        "name": name,
        "args": list(args),
        "practice_id": practice,
        "max_attempts": task.max_attempts,
        "run_at": run_at or timezone.now(),
    }


def _checked_key(key: str) -> str:
    if not 0 < len(key) <= LONGEST_KEY:
        raise BadArguments(f"A key has 1 to {LONGEST_KEY} characters.")
    return key


def _hint_on_commit(job: Job) -> None:
    if job.state == JobState.QUEUED and job.run_at <= timezone.now():
        transaction.on_commit(lambda: hint(job.pk))


def hint(job_id: int) -> bool:
    """Tell the broker that a job waits. A broken broker costs time, never the request: the sweep hints again."""
    from jobs.delivery import run_job  # noqa: PLC0415 -- delivery builds on this module

    try:
        run_job.apply_async((job_id,), retry=False)
    except Exception as error:
        logger.warning("No hint sent for job %s (%s); the sweep will find it.", job_id, type(error).__name__)
        return False
    return True
