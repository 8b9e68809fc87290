"""What every process that serves passes first, whoever started it: gunicorn, Celery or `serve`."""

import logging
import os

from celery.loaders.app import AppLoader
from django.conf import settings
from django.db import DatabaseError, connection, connections

from coaching import configuration
from coaching.serving import checks, loggers

logger = logging.getLogger(__name__)


def enter() -> None:
    """Log as the settings say; leave, with a sentence, where this process would expose something."""
    loggers.set_up()
    if settings.DEMO:
        return
    try:
        connection.ensure_connection()
    except (DatabaseError, OSError) as error:
        # Not for good: whoever started us may try again.
        configuration.refuse([checks.unreachable(error)], status=1)
    try:
        checks.check_private_folder()
        checks.check_no_demo_people()
    except checks.Refused as refused:
        configuration.refuse([str(refused)])
    for doubt in configuration.doubts(os.environ):
        logger.warning(doubt)
    # What comes next may fork.
    connections.close_all()


def check_address(host: str) -> None:
    try:
        checks.check_address(host)
    except checks.Refused as refused:
        configuration.refuse([str(refused)])


class CeleryLoader(AppLoader):
    """Celery asks its loader first, in the worker as in the scheduler."""

    def on_worker_init(self) -> None:
        enter()
