"""One moment of the database, to be read at leisure while others go on writing."""

import contextlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.db import connection, connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

ALIAS = "snapshot"


@contextlib.contextmanager
def snapshot(folder: Path) -> Iterator[str]:
    """The alias under which the moment can be read. `folder` holds what has to be copied for it meanwhile."""
    connection.ensure_connection()
    moment = _copied if connection.vendor == "sqlite" else _in_a_transaction
    with moment(folder):
        yield ALIAS


@contextlib.contextmanager
def _copied(folder: Path) -> Iterator[None]:
    """SQLite: its own online copy. A long read instead would keep the write-ahead log growing."""
    path = folder / "moment.sqlite3"
    path.touch(mode=0o600)
    with _opened(NAME=str(path), OPTIONS={}) as copy:
        copy.ensure_connection()
        # In one step: with a write-ahead log a copy waits for no writer, and no writer for it.
        connection.connection.backup(copy.connection)
        yield
    path.unlink()


@contextlib.contextmanager
def _in_a_transaction(folder: Path) -> Iterator[None]:
    with _opened() as other, transaction.atomic(using=ALIAS):
        with other.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            # The moment is that of the first question.
            cursor.execute("SELECT 1")
        yield


@contextlib.contextmanager
def _opened(**changes: Any) -> Iterator[BaseDatabaseWrapper]:
    other = type(connections["default"])(connection.settings_dict | changes, ALIAS)
    connections[ALIAS] = other
    try:
        yield other
    finally:
        other.close()
        del connections[ALIAS]
