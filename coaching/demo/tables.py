"""The tables of the demo's own database."""

from django.apps import apps
from django.core.management import call_command
from django.db import connection


def make_tables() -> None:
    """Bring the demo's database up to date.

    An empty file gets its tables from the models, in a second where the migrations take a quarter of a minute: there is
    nothing in it to migrate, and a test holds that both ways end in the same tables.
    """
    if connection.vendor == "sqlite" and not connection.introspection.table_names():
        with connection.schema_editor() as editor:
            for model in apps.get_models():
                if model._meta.can_migrate(connection):
                    editor.create_model(model)
        call_command("createcachetable", verbosity=0)
        call_command("migrate", fake=True, verbosity=0)
    call_command("migrate", verbosity=0)
