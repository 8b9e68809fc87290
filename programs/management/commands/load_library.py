from django.core.management.base import BaseCommand

from programs.domain.library import load_library


class Command(BaseCommand):
    help = "Bring the shared movement library up to date. Safe to run again."

    def handle(self, *args, **options):
        loaded = load_library()
        self.stdout.write(
            f"Movement library: {loaded.added} added, {loaded.revised} revised, {loaded.unchanged} unchanged."
        )
