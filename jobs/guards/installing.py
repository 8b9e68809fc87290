"""Putting guards into the database and taking them out. A name ends in a digest of the rule: changed is missing."""

import contextlib
import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import NotSupportedError, connections, models, transaction

from jobs.guards.dialects import DIALECTS, Dialect
from jobs.guards.marks import marks
from jobs.guards.rules import DELETE, checks


@dataclass(frozen=True)
class Trigger:
    name: str
    table: str
    event: str
    create: list[str]


def triggers_of(model: type[models.Model], dialect: Dialect) -> list[Trigger]:
    table = model._meta.db_table
    found = []
    for event, several in checks(model, dialect).items():
        name = _name(event, table, several)
        found.append(Trigger(name, table, event, dialect.create(name, table, event, several)))
    return found


def mark_triggers(dialect: Dialect, tables: set[str]) -> list[Trigger]:
    found = []
    for mark in marks():
        if not {mark.table, mark.into} <= tables:
            continue
        name = _name(f"mark_{mark.event}", mark.table, [mark])
        found.append(Trigger(name, mark.table, mark.event, dialect.create_mark(name, mark)))
    return found


def _name(kind: str, table: str, rule: list[Any]) -> str:
    # PostgreSQL cuts names at 63 bytes.
    digest = hashlib.sha256(repr(rule).encode()).hexdigest()[:10]
    return f"guard_{kind.lower()}_{table[:33]}_{digest}"


def expected_triggers(using: str = "default") -> set[str]:
    """The names of all guards that the models ask for."""
    return {trigger.name for trigger in _expected(using)}


def installed_triggers(using: str = "default") -> set[str]:
    """The names of all guards that are in the database and at work."""
    return set(_installed(using))


def install(using: str = "default", only: Iterable[type[models.Model]] | None = None) -> None:
    """Bring the guards in the database up to what the models ask for. Does nothing when they are."""
    wanted = {trigger.name: trigger for trigger in _expected(using, only)}
    present = _installed(using)
    with _cursor(using) as (cursor, dialect):
        if only is None:
            _drop(cursor, dialect, {name: table for name, table in present.items() if name not in wanted})
        for name, trigger in wanted.items():
            if name not in present:
                for statement in trigger.create:
                    cursor.execute(statement)


def remove(using: str = "default") -> None:
    """Take all guards out: a migration, or a reset of the demo, is about to rewrite tables."""
    present = _installed(using)
    with _cursor(using) as (cursor, dialect):
        _drop(cursor, dialect, present)


@contextlib.contextmanager
def suspended(using: str = "default") -> Iterator[None]:
    """Without guards, inside one transaction: nobody else meets tables without them, and an error puts them back."""
    with transaction.atomic(using=using):
        remove(using)
        yield
        install(using)


@contextlib.contextmanager
def emptying(using: str = "default") -> Iterator[None]:
    """One transaction in which all tables can be emptied. What the guards say of inserts and updates stays in force."""
    with transaction.atomic(using=using):
        if not _dialect(using).empties_past_triggers:
            _remove_those_on_delete(using)
        yield
        install(using)


def _remove_those_on_delete(using: str) -> None:
    on_delete = {trigger.name for trigger in _expected(using) if trigger.event == DELETE}
    present = _installed(using)
    with _cursor(using) as (cursor, dialect):
        _drop(cursor, dialect, {name: table for name, table in present.items() if name in on_delete})


def _drop(cursor: Any, dialect: Dialect, names: dict[str, str]) -> None:
    for name, table in names.items():
        for statement in dialect.drop(name, table):
            cursor.execute(statement)


def _expected(using: str, only: Iterable[type[models.Model]] | None = None) -> list[Trigger]:
    dialect = _dialect(using)
    tables = set(connections[using].introspection.table_names())
    guarded = [
        model for model in (only or apps.get_models()) if not model._meta.proxy and model._meta.db_table in tables
    ]
    found = [trigger for model in guarded for trigger in triggers_of(model, dialect)]
    return found if only else found + mark_triggers(dialect, tables)


def _installed(using: str) -> dict[str, str]:
    with _cursor(using) as (cursor, dialect):
        cursor.execute(dialect.list_installed)
        return dict(cursor.fetchall())


@contextlib.contextmanager
def _cursor(using: str) -> Iterator[tuple[Any, Any]]:
    with transaction.atomic(using=using), connections[using].cursor() as cursor:
        yield cursor, _dialect(using)


def _dialect(using: str) -> Dialect:
    vendor = connections[using].vendor
    try:
        return DIALECTS[vendor]
    except KeyError:
        raise NotSupportedError(f"Purlin guards its data on SQLite and PostgreSQL, not on {vendor}.") from None
