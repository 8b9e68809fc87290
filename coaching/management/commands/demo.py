"""Load the invented practice, or throw it away and load it again."""

import shutil
import time
from argparse import ArgumentParser
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.utils import timezone

from coaching.demo.load import demo_is_loaded, load_demo
from coaching.demo.tables import make_tables
from coaching.serving import checks, presence


class Command(BaseCommand):
    help = "Load the invented demo practice into the demo's own database."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--if-empty", action="store_true", help="do nothing when it is loaded already")
        parser.add_argument("--reset", action="store_true", help="throw the demo's database and files away first")

    def handle(self, *args: object, **options: object) -> None:
        if not settings.DEMO:
            raise CommandError("The demo loads only with the demo's settings, never into a real installation.")
        started = time.monotonic()
        Path(settings.VAR).mkdir(parents=True, exist_ok=True)
        try:
            checks.check_no_real_people()
        except checks.Refused as refused:
            raise CommandError(str(refused)) from refused
        if options["reset"]:
            self._throw_away()
        make_tables()
        if demo_is_loaded():
            if options["if_empty"]:
                return
            raise CommandError("The demo is loaded already. Use --reset to load it again.")
        load_demo(at=timezone.now())
        self.stdout.write(f"Demo loaded in {time.monotonic() - started:.1f} s.")

    def _throw_away(self) -> None:
        if connection.vendor != "sqlite":
            raise CommandError("Only the demo's own SQLite file is thrown away.")
        if presence.is_served(Path(settings.VAR)):
            # Pulled away from under the web and the worker, it would leave them with files that are gone.
            raise CommandError("The demo is being served. Stop it first (Ctrl-C where it runs), then reset it.")
        connection.close()
        name = str(settings.DATABASES["default"]["NAME"])
        for path in (name, f"{name}-wal", f"{name}-shm"):
            Path(path).unlink(missing_ok=True)
        for folder in (settings.MEDIA_ROOT, settings.UPLOAD_ROOT, settings.BROKER_FOLDER):
            shutil.rmtree(folder, ignore_errors=True)
