from typing import Any

from django.core.management.commands import flush

from jobs import guards


class Command(flush.Command):
    """Django's own, which empties all tables, for a database that refuses to delete facts: whole or not at all."""

    def handle(self, **options: Any) -> None:
        with guards.emptying(options["database"]):
            super().handle(**options)
