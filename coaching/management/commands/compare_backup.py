"""Whether two backups hold the same: `manage.py compare_backup FOLDER OTHER`. For a drill, or after a move."""

from argparse import ArgumentParser
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from coaching.backup import manifest
from coaching.backup.errors import BackupRefused


class Command(BaseCommand):
    help = "Compare two backups by the checksums in their manifests: rows, clips, migrations."
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path)
        parser.add_argument("other", type=Path)

    def handle(self, *, folder: Path, other: Path, **options: object) -> None:
        try:
            one, two = manifest.read(folder), manifest.read(other)
        except BackupRefused as error:
            raise CommandError(str(error)) from error
        if one.migrations != two.migrations:
            raise CommandError("They were taken at different migrations.")
        different = sorted(path for path in {*one.files, *two.files} if one.files.get(path) != two.files.get(path))
        if different:
            raise CommandError(f"They differ in {len(different)} files:\n" + "\n".join(different))
        self.stdout.write(f"Equal: {len(one.files)} files.")
