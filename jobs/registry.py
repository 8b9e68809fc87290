"""Which tasks exist: every app's tasks.py says so with @jobs.task and @jobs.periodic."""

import datetime
import functools
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from django.utils.functional import Promise
from django.utils.module_loading import autodiscover_modules

from jobs.errors import UnknownTask
from jobs.periods import Daily, Every, Schedule

Function = TypeVar("Function", bound=Callable[..., None])
Words = str | Promise


@dataclass(frozen=True)
class Task:
    name: str
    function: Callable[..., None]
    lease_seconds: int | None
    max_attempts: int
    # What it does, in words for people who run a practice: nothing about anybody.
    label: Words = ""
    schedule: Schedule | None = None


_tasks: dict[str, Task] = {}


def task(
    name: str,
    *,
    label: Words = "",
    lease_seconds: int | None = None,
    max_attempts: int = 5,
) -> Callable[[Function], Function]:
    """Register a plain function as background work. The function itself stays as it was."""

    def register(function: Function) -> Function:
        _add(Task(name, function, lease_seconds, max_attempts, label))
        return function

    return register


def periodic(
    name: str,
    *,
    label: Words = "",
    every: datetime.timedelta | None = None,
    hour: int | None = None,
    zone: str | None = None,
    lease_seconds: int | None = None,
    max_attempts: int = 5,
) -> Callable[[Function], Function]:
    """Register work without arguments that is due once per period: `every` so long, or daily at a local `hour`.

    Periods missed while nothing ran collapse into the latest one.
    """
    if (every is None) == (hour is None):
        raise ValueError("Give either every= or hour=.")
    schedule: Schedule = Every(every) if every is not None else Daily(hour or 0, zone)

    def register(function: Function) -> Function:
        _add(Task(name, function, lease_seconds, max_attempts, label, schedule))
        return function

    return register


def _add(new: Task) -> None:
    known = _tasks.get(new.name)
    if known is not None and _origin(known) != _origin(new):
        raise ValueError(f"Two tasks are called {new.name!r}: {_origin(known)} and {_origin(new)}.")
    _tasks[new.name] = new


def _origin(one: Task) -> str:
    return f"{one.function.__module__}.{one.function.__qualname__}"


def find(name: str) -> Task:
    _load()
    try:
        return _tasks[name]
    except KeyError:
        raise UnknownTask(f"No tasks.py registers {name!r}.") from None


def every_task() -> list[Task]:
    _load()
    return list(_tasks.values())


@functools.cache
def _load() -> None:
    autodiscover_modules("tasks")
