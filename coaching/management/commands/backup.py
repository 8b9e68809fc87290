"""Take a backup while Purlin runs: `manage.py backup FOLDER`. See docs/backup.md."""

import time
from argparse import ArgumentParser
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from coaching.backup.errors import BackupRefused
from coaching.backup.taking import take_backup
from submissions.errors import StorageUnavailable


class Command(BaseCommand):
    help = "Write database and clips as one set to a new folder, while Purlin goes on running."
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, help="a folder that is not there yet")

    def handle(self, *, folder: Path, **options: object) -> None:
        began = time.monotonic()
        try:
            taken = take_backup(folder, now=timezone.now)
        except (BackupRefused, StorageUnavailable, OSError) as error:
            raise CommandError(str(error)) from error
        rows = sum(kept.rows or 0 for kept in taken.files.values())
        files = [kept for kept in taken.files.values() if kept.rows is None]
        size = sum(kept.bytes for kept in taken.files.values())
        self.stdout.write(
            f"{folder}: {rows} rows and {len(files)} files, {size / 1e6:.1f} MB, in {time.monotonic() - began:.1f} s."
        )
        self.stdout.write("It holds health data and film of people: encrypt it before it leaves this machine.")
        if taken.erased:
            self.stdout.write(f"Erased meanwhile, and so not in it: the files of {len(taken.erased)} rows.")
        if taken.lost:
            raise CommandError(
                "The backup is written, but files of these are not there, though nobody erased them: "
                + ", ".join(taken.lost)
            )
