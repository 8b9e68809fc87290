"""Rows as lines of JSON, exactly: what is written is read back as the same value, on either database.

The first line of a file names its columns; each further line is one row, in the order of the primary keys. Numbers and
texts are themselves, NULL is null; decimals, instants, days and UUIDs are texts. A JSON column is a text of JSON with
sorted keys, so that its own null is not NULL, and so that both databases write the same line for the same value.
"""

import base64
import datetime
import decimal
import hashlib
import itertools
import json
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, BinaryIO

from django.db import DatabaseError, connection, models
from django.db.models.functions import Cast

from coaching.backup.contents import Model, at_rest, rows_of
from coaching.backup.errors import BackupRefused

AT_ONCE = 1000
Column = models.Field


def _same(value: Any) -> Any:
    return value


def _json_text(text: str) -> str:
    return json.dumps(json.loads(text), sort_keys=True, separators=(",", ":"))


def _base64(value: Any) -> str:
    return base64.b64encode(bytes(value)).decode()


WHOLE_OR_TEXT = [
    *("AutoField", "BigAutoField", "SmallAutoField", "IntegerField", "BigIntegerField", "SmallIntegerField"),
    *("PositiveIntegerField", "PositiveBigIntegerField", "PositiveSmallIntegerField", "BooleanField", "FloatField"),
    *("CharField", "TextField", "SlugField", "EmailField", "URLField", "FileField", "FilePathField"),
    "GenericIPAddressField",
]
# By the kind of a column: how a value is written, and how it is read.
KINDS: dict[str, tuple[Callable, Callable]] = dict.fromkeys(WHOLE_OR_TEXT, (_same, _same)) | {
    "DecimalField": (str, decimal.Decimal),
    "DateField": (datetime.date.isoformat, datetime.date.fromisoformat),
    "DateTimeField": (datetime.datetime.isoformat, datetime.datetime.fromisoformat),
    "TimeField": (datetime.time.isoformat, datetime.time.fromisoformat),
    "UUIDField": (str, uuid.UUID),
    "BinaryField": (_base64, base64.b64decode),
    "JSONField": (_json_text, json.loads),
}


def columns(model: Model) -> list[Column]:
    return [field for field in model._meta.local_concrete_fields if not getattr(field, "generated", False)]


def kind(field: Column) -> str:
    """A link is kept as what it points to is. A kind that nobody has thought about is refused, not guessed."""
    name = field.get_internal_type()
    if isinstance(field, models.ForeignKey):
        return kind(field.target_field)
    if name not in KINDS:
        raise BackupRefused(f"{field.model._meta.label}.{field.name} is a {name}, which a backup cannot keep yet.")
    return name


def lines(model: Model, using: str) -> Iterator[bytes]:
    """The lines of a table's file, a few rows in memory at a time."""
    fields = columns(model)
    writers = {field.attname: KINDS[kind(field)][0] for field in fields}
    yield _line([field.column for field in fields])
    for values in _selected(model, fields, using).iterator(chunk_size=AT_ONCE):
        row = at_rest(model, dict(zip(writers, values, strict=True)))
        yield _line([None if row[name] is None else write(row[name]) for name, write in writers.items()])


def _selected(model: Model, fields: list[Column], using: str) -> models.QuerySet:
    # As text: Django gives None for a JSON null as well as for NULL.
    texts = {_as_text(f): Cast(f.attname, models.TextField()) for f in fields if isinstance(f, models.JSONField)}
    names = [_as_text(f) if isinstance(f, models.JSONField) else f.attname for f in fields]
    return rows_of(model, using).annotate(**texts).values_list(*names)


def _as_text(field: Column) -> str:
    return f"{field.attname}_as_text"


def _line(values: list[Any]) -> bytes:
    return json.dumps(values, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode() + b"\n"


def digest_of(model: Model, using: str) -> str:
    """The checksum that the table's file would have now."""
    digest = hashlib.sha256()
    for line in lines(model, using):
        digest.update(line)
    return digest.hexdigest()


def load(model: Model, path: Path) -> None:
    """Put the rows of a file into the model's table, with their keys and instants as they were."""
    fields = columns(model)
    with path.open("rb") as file, connection.cursor() as cursor:
        _require_columns(model, fields, file)
        statement = _insert(model, fields)
        for first, batch in _batches(file):
            rows = [_as_parameters(fields, json.loads(line)) for line in batch]
            try:
                cursor.executemany(statement, rows)
            except DatabaseError as error:
                # Without the database's own words: they may quote what people wrote.
                raise BackupRefused(
                    f"{path.name}: the database refuses a row in lines {first} to {first + len(batch) - 1} "
                    f"({type(error).__name__})."
                ) from error


def _require_columns(model: Model, fields: list[Column], file: BinaryIO) -> None:
    if (said := json.loads(file.readline())) != [field.column for field in fields]:
        raise BackupRefused(f"{model._meta.db_table} has other columns in the backup: {said}.")


def _insert(model: Model, fields: list[Column]) -> str:
    quote = connection.ops.quote_name
    names = ", ".join(quote(str(field.column)) for field in fields)
    marks = ", ".join(["%s"] * len(fields))
    return f"INSERT INTO {quote(model._meta.db_table)} ({names}) VALUES ({marks})"  # noqa: S608 -- names from the models


def _batches(file: BinaryIO) -> Iterator[tuple[int, list[bytes]]]:
    first = 2
    while batch := list(itertools.islice(file, AT_ONCE)):
        yield first, batch
        first += len(batch)


def _as_parameters(fields: list[Column], values: list[Any]) -> list[Any]:
    return [_as_parameter(field, value) for field, value in zip(fields, values, strict=True)]


def _as_parameter(field: Column, value: Any) -> Any:
    if value is None:
        return None
    read = KINDS[kind(field)][1]
    if isinstance(field, models.JSONField):
        return connection.ops.adapt_json_value(read(value), field.encoder)
    return field.get_db_prep_value(read(value), connection, prepared=False)
