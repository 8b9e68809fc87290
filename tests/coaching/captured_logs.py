"""Whatever production would print, kept for a test to read."""

import contextlib
import io
import json
import logging
from collections.abc import Iterator
from logging.config import dictConfig
from typing import Any

from django.conf import settings

from coaching import logs


class Printed(io.StringIO):
    def lines(self) -> list[dict[str, Any]]:
        return [json.loads(line) for line in self.getvalue().splitlines()]


@contextlib.contextmanager
def production_logs(level: str) -> Iterator[Printed]:
    """Logging as production configures it, with every handler there is writing into one place."""
    root = logging.getLogger()
    before = list(root.handlers), root.level
    printed = Printed()
    dictConfig(logs.to_console("json", level=level))
    for handler in every_handler():
        if isinstance(handler, logging.StreamHandler):
            handler.setStream(printed)
    try:
        yield printed
    finally:
        dictConfig(settings.LOGGING)
        root.handlers[:], _ = before
        root.setLevel(before[1])


def every_handler() -> set[logging.Handler]:
    loggers = [logging.getLogger(), *(logging.getLogger(name) for name in logging.Logger.manager.loggerDict)]
    return {handler for logger in loggers for handler in logger.handlers}
