from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError

from coaching import health

CHECKS = {"worker": health.worker, "scheduler": health.sweep}


class Command(BaseCommand):
    help = (
        "Say, by its last sign of life, whether a worker or the scheduler is alive; fails when it was silent too long."
    )
    # Asked again and again by what watches the processes.
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("process", choices=sorted(CHECKS))

    def handle(self, *, process: str, **_: Any) -> None:
        try:
            why = CHECKS[process]()
        except (DatabaseError, OSError) as error:
            why = type(error).__name__
        if why:
            raise CommandError(f"{process}: {why}")
