"""Which job this thread works on, for whoever writes about it. Without models: log lines are made before those are."""

from contextvars import ContextVar
from dataclasses import dataclass


@dataclass(frozen=True)
class CurrentJob:
    uuid: str
    name: str


current_job: ContextVar[CurrentJob | None] = ContextVar("current_job", default=None)
