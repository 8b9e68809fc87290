"""Begin a practice on a new installation: `manage.py start_practice NAME OWNER_EMAIL`. Asks for the password."""

import sys
import zoneinfo
from argparse import ArgumentParser
from getpass import getpass

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from clients.domain.founding import found_practice
from clients.errors import ClientsError


class Command(BaseCommand):
    help = "Create a practice and its owner. The password is asked for, or read from standard input when piped."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name")
        parser.add_argument("owner_email")
        parser.add_argument("--owner-name", default="")
        parser.add_argument("--time-zone", default="UTC", help="an IANA name, such as Europe/Berlin")

    def handle(self, *, name: str, owner_email: str, owner_name: str, time_zone: str, **options: object) -> None:
        if time_zone not in zoneinfo.available_timezones():
            raise CommandError(f"{time_zone} is not the name of a time zone.")
        password = getpass("Password of the owner: ") if sys.stdin.isatty() else sys.stdin.readline().rstrip("\n")
        try:
            found_practice(
                name=name, time_zone=time_zone, owner_email=owner_email, owner_name=owner_name, password=password
            )
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        except ClientsError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{name} begins. {owner_email} signs in with this password.")
