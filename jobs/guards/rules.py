"""From what a model declares to the conditions under which the database refuses a statement."""

from collections.abc import Iterable, Iterator
from typing import Any

from django.core.exceptions import FieldDoesNotExist, ImproperlyConfigured
from django.db import models

from jobs.guards.dialects import Check, Dialect

Model = type[models.Model]
INSERT, UPDATE, DELETE = "INSERT", "UPDATE", "DELETE"
DRAFT = "draft"


def checks(model: Model, dialect: Dialect) -> dict[str, list[Check]]:
    """Every check of a model's table, by event."""
    found: dict[str, list[Check]] = {INSERT: [], UPDATE: [], DELETE: []}
    for rule in [_one_practice, _fact, _frozen_children, _frozen_fields]:
        for event, check in rule(model, dialect):
            found[event].append(check)
    return {event: several for event, several in found.items() if several}


def _one_practice(model: Model, dialect: Dialect) -> Iterator[tuple[str, Check]]:
    table = model._meta.db_table
    practice = _own_practice(model)
    if practice is not None:
        changed = dialect.differs(_at("NEW", practice), _at("OLD", practice))
        yield UPDATE, Check(f"guard: a row never leaves its practice ({table})", changed)
    if not _practice_path(model):
        return
    ours = _value_at(model, _practice_path(model), "NEW")
    for field in _links(model):
        further = _practice_path(field.related_model)
        if not further or _practice_path(model)[:1] == [field.name]:
            continue
        theirs = _value_at(model, [field.name, *further], "NEW")
        crosses = f"{theirs} IS NOT NULL AND {dialect.differs(theirs, ours)}"
        check = Check(f"guard: linked to another practice ({table}.{field.column})", crosses)
        yield INSERT, check
        yield UPDATE, check


def _fact(model: Model, dialect: Dialect) -> Iterator[tuple[str, Check]]:
    if not hasattr(model, "fact_open_columns"):
        return
    table = model._meta.db_table
    still_open = _columns(model, model.fact_open_columns)
    yield DELETE, Check(f"guard: a fact is never deleted ({table})", "1 = 1")
    if "is_current" in still_open:
        revived = f"NEW.is_current AND {dialect.is_false('OLD.is_current')}"
        yield UPDATE, Check(f"guard: a replaced version stays replaced ({table})", revived)
    set_once = _columns(model, getattr(model, "fact_columns_set_once", ()))
    for field in model._meta.local_concrete_fields:
        changed = _changed_without_erasure(model, field, dialect)
        if field.column in set_once:
            again = f"{_at('OLD', field)} IS NOT NULL AND {changed}"
            yield UPDATE, Check(f"guard: set once and kept ({table}.{field.column})", again)
        elif field.column not in still_open:
            yield UPDATE, Check(f"guard: a fact never changes ({table}.{field.column})", changed)


def _frozen_children(model: Model, dialect: Dialect) -> Iterator[tuple[str, Check]]:
    path = getattr(model, "frozen_when_published", None)
    if path is None:
        return
    message = f"guard: what was published is frozen ({model._meta.db_table})"
    for event, rows in [(INSERT, ["NEW"]), (UPDATE, ["OLD", "NEW"]), (DELETE, ["OLD"])]:
        for row in rows:
            # A parent that is not there yet, or no more, has no state.
            yield event, Check(message, f"COALESCE({_value_at(model, path.split('__'), row)}, '{DRAFT}') <> '{DRAFT}'")


def _frozen_fields(model: Model, dialect: Dialect) -> Iterator[tuple[str, Check]]:
    names = getattr(model, "frozen_fields_once_published", None)
    if names is None:
        return
    table = model._meta.db_table
    published = f"OLD.state <> '{DRAFT}'"
    yield DELETE, Check(f"guard: what was published is never deleted ({table})", published)
    yield (
        UPDATE,
        Check(f"guard: what was published is no draft again ({table})", f"{published} AND NEW.state = '{DRAFT}'"),
    )
    frozen = _columns(model, names)
    for field in model._meta.local_concrete_fields:
        if field.column in frozen:
            changed = f"{published} AND {_changed_without_erasure(model, field, dialect)}"
            yield UPDATE, Check(f"guard: what was published is frozen ({table}.{field.column})", changed)


def _changed_without_erasure(model: Model, field: models.Field, dialect: Dialect) -> str:
    """Changed, and not by being blanked in the one statement that erases the row."""
    changed = dialect.differs(_at("NEW", field), _at("OLD", field))
    if _field(model, "erased_at") is None:
        return changed
    if field.name == "erased_at":
        return f"{changed} AND OLD.erased_at IS NOT NULL"
    erasing = "OLD.erased_at IS NULL AND NEW.erased_at IS NOT NULL"
    return f"{changed} AND NOT ({erasing} AND {dialect.is_blank(field, _at('NEW', field))})"


def _own_practice(model: Model) -> models.ForeignKey | None:
    field = _field(model, "practice")
    return field if isinstance(field, models.ForeignKey) else None


def _practice_path(model: Model) -> list[str]:
    path = getattr(model, "practice_path", "practice" if _own_practice(model) else "")
    return path.split("__") if path else []


def _value_at(model: Model, path: list[str], row: str, depth: int = 1) -> str:
    """SQL for what stands at the end of a path of links that begins at a row."""
    field, further = _declared(model, path[0]), path[1:]
    if not further:
        return _at(row, field)
    alias = f"p{depth}"
    value = _value_at(field.related_model, further, alias, depth + 1)
    return f"(SELECT {value} FROM {_row_behind(field, row, alias)})"  # noqa: S608 -- names from the models


def _row_behind(link: Any, row: str, alias: str) -> str:
    return f'"{link.related_model._meta.db_table}" {alias} WHERE {_at(alias, link.target_field)} = {_at(row, link)}'


def _at(row: str, field: Any) -> str:
    # Quoted: a day's column is called "on".
    return f'{row}."{field.column}"'


def _links(model: Model) -> Iterator[Any]:
    for field in model._meta.local_concrete_fields:
        if isinstance(field, models.ForeignKey):
            yield field


def _columns(model: Model, names: Iterable[str]) -> set[str]:
    """Columns, named as fields or as columns."""
    columns = {field.name: str(field.column) for field in model._meta.local_concrete_fields}
    known = columns | {column: column for column in columns.values()}
    unknown = set(names) - set(known)
    if unknown:
        raise ImproperlyConfigured(f"{model._meta.label} has no columns {sorted(unknown)} to guard.")
    return {known[name] for name in names}


def _field(model: Model, name: str) -> Any:
    try:
        return model._meta.get_field(name)
    except FieldDoesNotExist:
        return None


def _declared(model: Model, name: str) -> Any:
    field = _field(model, name)
    if field is None:
        raise ImproperlyConfigured(f"A guard's path names {model._meta.label}.{name}, which is not there.")
    return field
