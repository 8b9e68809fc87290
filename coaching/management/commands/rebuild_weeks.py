from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from clients.models import Client
from coaching.domain.weekly import rebuild_weeks


class Command(BaseCommand):
    help = "Compute all weekly rows again, for when the way of counting has changed."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--practice", help="uuid of the only practice to do it for")

    def handle(self, *, practice: str | None, **options: Any) -> None:
        clients = Client.objects.filter(practice__uuid=practice) if practice else Client.objects.all()
        count = rebuild_weeks(clients, at=timezone.now())
        self.stdout.write(f"{count} weekly rows.")
