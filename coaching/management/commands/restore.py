"""Restore a backup into an empty installation: `manage.py restore FOLDER`. See docs/backup.md."""

import time
from argparse import ArgumentParser
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError

from coaching.backup.errors import BackupRefused
from coaching.backup.restoring import check_backup, restore_backup
from submissions.errors import StorageUnavailable


class Command(BaseCommand):
    help = "Fill an empty database and storage from a backup, and prove that they are equal."
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, help="a folder written by `manage.py backup`")
        parser.add_argument("--check", action="store_true", help="only verify the backup; restore nothing")

    def handle(self, *, folder: Path, check: bool, **options: object) -> None:
        began = time.monotonic()
        try:
            said = (check_backup if check else restore_backup)(folder, say=self.stdout.write)
        except (BackupRefused, StorageUnavailable, DatabaseError, OSError) as error:
            raise CommandError(str(error)) from error
        done = "Checked" if check else "Restored"
        self.stdout.write(f"{done} in {time.monotonic() - began:.1f} s: the moment of {said.started_at}.")
        if said.lost:
            words = "Files of these were not there when the backup was taken: " + ", ".join(said.lost)
            if check:
                raise CommandError(words)
            self.stderr.write(words)
