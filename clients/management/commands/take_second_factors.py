"""For somebody who lost phone, passkeys and recovery codes: `manage.py take_second_factors EMAIL`."""

from argparse import ArgumentParser

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from clients.domain.sessions import take_second_factors_away
from clients.models import User


class Command(BaseCommand):
    help = "Remove a person's passkeys, app codes and recovery codes, and sign them out everywhere. Make sure who asks."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email")

    def handle(self, *, email: str, **options: object) -> None:
        user = User.objects.filter(email=email.lower()).first()
        if user is None:
            raise CommandError(f"Nobody signs in with {email}.")
        removed = take_second_factors_away(user, at=timezone.now())
        self.stdout.write(f"{removed} removed. {user.email} signs in with the password alone, until they add new ones.")
