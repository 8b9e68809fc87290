"""Log lines tell what happened, and never what people wrote (docs/decisions/logging.md).

Messages of our own rooms are printed as they are: they carry ids. Of everybody else's only those words are printed that
stand in their source, without the values put into them. Of an exception only its type and the places it passed.
"""

import ast
import datetime
import functools
import logging
import traceback
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any

from pythonjsonlogger.json import JsonFormatter

from jobs.current import current_job

ROOT = Path(__file__).resolve().parent.parent
OURS = ["coaching", "submissions", "programs", "clients", "jobs", "methods"]
# What our own lines may carry besides their words; nothing else that was hung on a record is printed.
FIELDS = ["method", "route", "status", "ms", "bytes"]
LONGEST_STACK = 30
LONGEST_CHAIN = 5


@dataclass
class Visit:
    """The request that this thread answers. The practice is filled in once it is known."""

    request: str
    practice: str | None = None


current_visit: ContextVar[Visit | None] = ContextVar("current_visit", default=None)


def to_console(form: str, *, level: str) -> dict[str, Any]:
    """LOGGING: all to the console, as "json" or "lines". What others say at INFO is left out: it is chatter."""
    others = "WARNING" if level == "INFO" else level
    through_root = {"handlers": [], "propagate": True, "level": "NOTSET"}
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"json": {"()": "coaching.logs.Json"}, "lines": {"()": "coaching.logs.Lines"}},
        "handlers": {
            "console": {"class": "logging.StreamHandler", "formatter": form},
            "nowhere": {"class": "logging.NullHandler"},
        },
        "loggers": {
            **{name: {"level": level} for name in OURS},
            # Django's own handlers would mail tracebacks to ADMINS and print paths.
            "django": through_root,
            "django.server": through_root,
            # The access line says it already.
            "django.request": {"level": "ERROR"},
            "gunicorn.error": through_root,
            # It prints whole paths, and with them the tokens of letters.
            "gunicorn.access": {"handlers": ["nowhere"], "propagate": False},
            # Celery's pool cuts this one off from the root, whenever it first uses it.
            "multiprocessing": {"handlers": ["console"], "propagate": False, "level": others},
        },
        "root": {"handlers": ["console"], "level": others},
    }


class Json(JsonFormatter):
    def format(self, record: logging.LogRecord) -> str:
        return self.serialize_log_record(told(record))


class Lines(logging.Formatter):
    """For a terminal: the same, readable."""

    def format(self, record: logging.LogRecord) -> str:
        line = told(record)
        error = line.get("error")
        about = " ".join(f"{name}={line[name]}" for name in ("request", "job_name", "job") if name in line)
        text = f"{line['at'][11:19]} {line['level']} {line['logger']} {line['message']}" + (about and f" [{about}]")
        if error:
            text += "".join(f"\n  {step}" for step in [*error["stack"], error["type"]])
        return text


def told(record: logging.LogRecord) -> dict[str, Any]:
    """All that is printed of a record."""
    at = datetime.datetime.fromtimestamp(record.created, tz=datetime.UTC)
    line: dict[str, Any] = {
        "at": at.isoformat(timespec="milliseconds"),
        "level": record.levelname,
        "logger": record.name,
        "message": words(record),
        "pid": record.process,
        **about(),
    }
    if is_ours(record):
        line |= {name: record.__dict__[name] for name in FIELDS if name in record.__dict__}
    if record.exc_info and record.exc_info[1] is not None:
        line["error"] = error(record.exc_info[1])
    return line


def about() -> dict[str, str]:
    """The request or job in hand."""
    visit, job = current_visit.get(), current_job.get()
    found = {"job": job.uuid, "job_name": job.name} if job else {}
    if visit is not None:
        found |= {"request": visit.request} | ({"practice": visit.practice} if visit.practice else {})
    return found


def is_ours(record: logging.LogRecord) -> bool:
    return record.name.partition(".")[0] in OURS


def words(record: logging.LogRecord) -> str:
    if is_ours(record):
        return record.getMessage()
    status = getattr(record, "status_code", None)
    if isinstance(status, int):
        return f"Answered {status}."
    if not isinstance(record.msg, str) or record.msg not in _texts_of(record.pathname):
        return f"(words withheld) {short(record.pathname)}:{record.lineno} {record.funcName}"
    return _without_values(record.msg, record.args)


class _Hidden:
    def __str__(self) -> str:
        return "…"

    __repr__ = __str__


def _without_values(text: str, args: object) -> str:
    """The text with its numbers (a process, a status, seconds) and with dots for every other value."""
    if isinstance(args, dict):
        args = {name: _number_or_dots(value) for name, value in args.items()}
    elif isinstance(args, tuple):
        args = tuple(map(_number_or_dots, args))
    try:
        return text % args if args else text
    except (TypeError, ValueError, KeyError):
        return text


def _number_or_dots(value: object) -> object:
    return value if isinstance(value, int | float) else _Hidden()


@functools.lru_cache(maxsize=500)
def _texts_of(source: str) -> frozenset[str]:
    """All texts that stand in a source file. Any other was put together at run time, from who knows what."""
    try:
        tree = ast.parse(Path(source).read_bytes())
    except (OSError, SyntaxError, ValueError):
        return frozenset()
    return frozenset(n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str))


def error(exception: BaseException) -> dict[str, Any]:
    """Type and places. The message is left out: it may quote a row, a form or a letter."""
    told: dict[str, Any] = {"type": _type_of(exception), "stack": _stack(exception.__traceback__)}
    chain: list[str] = []
    while (cause := _cause_of(exception)) is not None and len(chain) < LONGEST_CHAIN:
        chain.append(_type_of(cause))
        exception = cause
    return told | ({"because_of": chain} if chain else {})


def _type_of(exception: BaseException) -> str:
    kind = type(exception)
    return kind.__qualname__ if kind.__module__ == "builtins" else f"{kind.__module__}.{kind.__qualname__}"


def _cause_of(exception: BaseException) -> BaseException | None:
    return exception.__cause__ or (None if exception.__suppress_context__ else exception.__context__)


def _stack(tb: TracebackType | None) -> list[str]:
    frames = traceback.extract_tb(tb)[-LONGEST_STACK:]
    return [f"{short(frame.filename)}:{frame.lineno} {frame.name}" for frame in frames]


def short(path: str) -> str:
    """A source file without the machine's own folders."""
    _, found, package = path.rpartition("site-packages/")
    if found:
        return package
    place = Path(path)
    return str(place.relative_to(ROOT)) if place.is_relative_to(ROOT) else "/".join(place.parts[-2:])
