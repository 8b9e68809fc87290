"""The servers' own ways of logging, led to ours: gunicorn's, Celery's, and what Python prints by itself."""

import logging
import sys
import threading
import warnings
from collections.abc import Callable
from logging.config import dictConfig
from types import TracebackType
from typing import Any

from celery.app.log import Logging
from django.conf import settings
from gunicorn.config import Config
from gunicorn.glogging import Logger

from coaching import logs

logger = logging.getLogger(__name__)


def _said_by_the_caller(level: str) -> Callable[..., None]:
    """As gunicorn's own method does it, which hides where the words stand in gunicorn's source."""

    def say(self: Logger, message: object, *args: object, **options: Any) -> None:
        getattr(self.error_log, level)(message, *args, **{"stacklevel": 2} | options)

    return say


class GunicornLogger(Logger):
    """No access line, which would print paths with tokens in them: coaching.middleware.access_line writes ours."""

    critical, error, warning = map(_said_by_the_caller, ["critical", "error", "warning"])
    info, debug, exception = map(_said_by_the_caller, ["info", "debug", "exception"])

    def setup(self, cfg: Config) -> None:
        super().setup(cfg)
        set_up()

    def access(self, *_: Any) -> None:
        pass


class CeleryLogging(Logging):
    """Celery would add a handler with a format of its own."""

    def setup(self, *_: Any, **__: Any) -> Any:
        set_up()
        return True


def set_up() -> None:
    """Log as the settings say, in this process and those it forks, whatever happens."""
    dictConfig(settings.LOGGING)
    # A line that cannot be formatted would be printed with all its values.
    logging.raiseExceptions = False
    logging.lastResort = logging.getLogger().handlers[0]
    warnings.showwarning = _warned
    sys.excepthook = _uncaught
    sys.unraisablehook = lambda what: _uncaught(what.exc_type, what.exc_value, what.exc_traceback)
    threading.excepthook = lambda what: _uncaught(what.exc_type, what.exc_value, what.exc_traceback)


def _warned(message: Warning | str, category: type[Warning], filename: str, lineno: int, *_: Any, **__: Any) -> None:
    # Python would print the words, and some of Django's warnings quote a value.
    logger.warning("%s from %s:%s", category.__name__, logs.short(filename), lineno)


def _uncaught(kind: type[BaseException], error: BaseException | None, tb: TracebackType | None) -> None:
    if issubclass(kind, SystemExit | KeyboardInterrupt):
        return
    # Python would print the exception's message.
    logger.critical("Nobody caught this.", exc_info=(kind, error or kind(), tb))
