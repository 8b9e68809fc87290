"""Background work as rows. Importable before Django's apps are ready: whatever needs models is imported late."""

import contextlib
import datetime
from collections.abc import Iterable
from typing import TYPE_CHECKING

from jobs.errors import BadArguments, GiveUp, JobsError, LostLease, NotInTransaction, UnknownTask
from jobs.registry import periodic, task

if TYPE_CHECKING:
    from jobs.models import Job

__all__ = [
    "BadArguments",
    "GiveUp",
    "JobsError",
    "LostLease",
    "NotInTransaction",
    "UnknownTask",
    "ensure",
    "known_keys",
    "periodic",
    "publishing",
    "request",
    "run_waiting",
    "still_mine",
    "task",
    "under_way",
]


def request(
    name: str,
    *args: int | str,
    practice: int | None = None,
    key: str | None = None,
    run_at: datetime.datetime | None = None,
) -> "Job":
    """Ask for work in the caller's transaction: with a key, once for ever; the second request gets the first's row.

    The practice's owner sees it when it is set aside. Without a practice it is the installation's own business.
    """
    from jobs import requests  # noqa: PLC0415 -- needs models

    return requests.request(name, *args, practice=practice, key=key, run_at=run_at)


def ensure(name: str, *args: int | str, practice: int | None = None, run_at: datetime.datetime | None = None) -> "Job":
    """Ask for a run that starts after this transaction; joins one that still waits. For "compute again"."""
    from jobs import requests  # noqa: PLC0415 -- needs models

    return requests.ensure(name, *args, practice=practice, run_at=run_at)


def under_way(name: str) -> set[tuple[int | str, ...]]:
    """The arguments of every run of a task that waits or is being done. What is not here, nobody works on."""
    from jobs import requests  # noqa: PLC0415 -- needs models

    return requests.under_way(name)


def known_keys(keys: Iterable[str]) -> set[str]:
    """Those of the keys that were asked for already: before asking for many things that mostly were."""
    from jobs import requests  # noqa: PLC0415 -- needs models

    return requests.known_keys(keys)


def still_mine() -> bool:
    """Whether the running task still holds its lease. True outside a job."""
    from jobs import running  # noqa: PLC0415 -- needs models

    return running.still_mine()


def publishing(*, last: bool = False) -> contextlib.AbstractContextManager[None]:
    """A transaction that only the lease's holder can enter; raises LostLease. Outside a job a plain transaction.

    With `last` the job is done in the same transaction: what is written in it is written once, however often the job
    has to be started.
    """
    from jobs import running  # noqa: PLC0415 -- needs models

    return running.publishing(last=last)


def run_waiting() -> int:
    """Run everything due here and now, without a broker, until nothing is due. For tests and the demo."""
    from jobs import running  # noqa: PLC0415 -- needs models

    return running.run_waiting()
