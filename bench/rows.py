"""Many rows quickly: one client's rows, written properly once, are copied by the database itself."""

from django.db import connection, models

from clients.models import Client
from jobs import guards

# Farther apart than the keys of what was written properly.
STEP = 1_000_000


def copy_client(client: Client, about: list[type[models.Model]], *, times: int) -> None:
    """Further clients, with copies of all their rows in these tables; links among them lead to the copies.

    The guards step aside meanwhile: bringing rows in is not what is measured.
    """
    copied = [Client, *about]
    with guards.suspended(), connection.cursor() as cursor:
        for model in copied:
            columns = [_column(field, copied) for field in model._meta.local_concrete_fields]
            names = ", ".join(f'"{field.column}"' for field in model._meta.local_concrete_fields)
            table = model._meta.db_table
            cursor.execute(
                "WITH RECURSIVE copies(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM copies WHERE n < %s)"  # noqa: S608
                f' INSERT INTO "{table}" ({names}) SELECT {", ".join(columns)} FROM "{table}" CROSS JOIN copies'
                f" WHERE {_whose(model)} = %s",
                [times, client.pk],
            )
        cursor.execute("ANALYZE")


def _column(field: models.Field, copied: list[type[models.Model]]) -> str:
    name = f'"{field.column}"'
    if field.name in {"uuid", "lineage"}:
        return "gen_random_uuid()" if connection.vendor == "postgresql" else "lower(hex(randomblob(16)))"
    if field.name == "user":
        # A person is a client of a practice once.
        return "NULL"
    if field.primary_key or field.related_model in copied:
        return f"{name} + n * {STEP}"
    return name


def _whose(model: type[models.Model]) -> str:
    if model is Client:
        return "id"
    names = {field.name for field in model._meta.local_concrete_fields}
    return "client_id" if "client" in names else _through_block()


def _through_block() -> str:
    return "(SELECT client_id FROM programs_block WHERE programs_block.id = block_id)"
