"""How SQLite and PostgreSQL say the same thing."""

from dataclasses import dataclass

from django.db import models

from jobs.guards.marks import Mark

TEXT = ["CharField", "TextField", "SlugField", "EmailField", "URLField", "FileField", "FilePathField"]
NUMBERS = [
    "IntegerField",
    "BigIntegerField",
    "SmallIntegerField",
    "PositiveIntegerField",
    "PositiveBigIntegerField",
    "PositiveSmallIntegerField",
    "DecimalField",
    "FloatField",
]
EMPTY_JSON = ["null", "{}", "[]", '""']


@dataclass(frozen=True)
class Check:
    """A condition under which a statement is refused, and what is said then."""

    message: str
    condition: str


class Dialect:
    differs_operator: str
    list_installed: str
    # Whether the way Django empties all tables meets no trigger.
    empties_past_triggers: bool

    def differs(self, left: str, right: str) -> str:
        return f"{left} {self.differs_operator} {right}"

    def is_false(self, value: str) -> str:
        raise NotImplementedError

    def empty_json(self, value: str) -> str:
        raise NotImplementedError

    def create(self, name: str, table: str, event: str, checks: list[Check]) -> list[str]:
        raise NotImplementedError

    def create_mark(self, name: str, mark: Mark) -> list[str]:
        raise NotImplementedError

    def drop(self, name: str, table: str) -> list[str]:
        raise NotImplementedError

    def is_blank(self, field: models.Field, value: str) -> str:
        """Whether nothing is left in a column. What has no empty value, a day say, is blank only as NULL."""
        kind = field.get_internal_type()
        if kind in TEXT:
            return f"({value} IS NULL OR {value} = '')"
        if kind in NUMBERS:
            return f"({value} IS NULL OR {value} = 0)"
        if kind == "BooleanField":
            return f"({value} IS NULL OR {self.is_false(value)})"
        if kind == "JSONField":
            return f"({value} IS NULL OR {self.empty_json(value)})"
        return f"{value} IS NULL"


class SQLite(Dialect):
    differs_operator = "IS NOT"
    empties_past_triggers = False
    list_installed = (
        "SELECT name, tbl_name FROM sqlite_master WHERE type = 'trigger' AND name LIKE 'guard\\_%' ESCAPE '\\'"
    )

    def is_false(self, value: str) -> str:
        return f"{value} = 0"

    def empty_json(self, value: str) -> str:
        return f"{value} IN ({', '.join(quote(text) for text in EMPTY_JSON)})"

    def create(self, name: str, table: str, event: str, checks: list[Check]) -> list[str]:
        body = " ".join(f"SELECT RAISE(ABORT, {quote(c.message)}) WHERE {c.condition};" for c in checks)
        return [f'CREATE TRIGGER "{name}" BEFORE {event} ON "{table}" FOR EACH ROW BEGIN {body} END']

    def create_mark(self, name: str, mark: Mark) -> list[str]:
        row = "OLD" if mark.event == "DELETE" else "NEW"
        about = f'{row}."{mark.about}"'
        # Writers come one after the other here: a mark that is there will still be there when we commit.
        is_known = f'EXISTS (SELECT 1 FROM "{mark.into}" WHERE "{mark.column}" = {about})'  # noqa: S608 -- our names
        leave = f'INSERT INTO "{mark.into}" ("{mark.column}") VALUES ({about});'  # noqa: S608 -- our names
        head = f'CREATE TRIGGER "{name}" AFTER {mark.event} ON "{mark.table}"'
        return [f"{head} FOR EACH ROW WHEN NOT {is_known} BEGIN {leave} END"]

    def drop(self, name: str, table: str) -> list[str]:
        return [f'DROP TRIGGER IF EXISTS "{name}"']


class PostgreSQL(Dialect):
    differs_operator = "IS DISTINCT FROM"
    # TRUNCATE fires none of ours.
    empties_past_triggers = True
    # A trigger that somebody disabled does not count.
    list_installed = (
        "SELECT tgname, relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid "
        "WHERE NOT tgisinternal AND tgenabled <> 'D' AND tgname LIKE 'guard\\_%' "
        "AND pg_table_is_visible(pg_class.oid)"
    )

    def is_false(self, value: str) -> str:
        return f"NOT {value}"

    def empty_json(self, value: str) -> str:
        return f"{value} IN ({', '.join(quote(text) + '::jsonb' for text in EMPTY_JSON)})"

    def create(self, name: str, table: str, event: str, checks: list[Check]) -> list[str]:
        body = " ".join(
            f"IF {c.condition} THEN RAISE EXCEPTION USING MESSAGE = {quote(c.message)}, "
            "ERRCODE = 'integrity_constraint_violation'; END IF;"
            for c in checks
        )
        row = "OLD" if event == "DELETE" else "NEW"
        return [
            f'CREATE OR REPLACE FUNCTION "{name}"() RETURNS trigger LANGUAGE plpgsql AS $guard$ '
            f"BEGIN {body} RETURN {row}; END $guard$",
            # One that was disabled is still there.
            f'DROP TRIGGER IF EXISTS "{name}" ON "{table}"',
            f'CREATE TRIGGER "{name}" BEFORE {event} ON "{table}" FOR EACH ROW EXECUTE FUNCTION "{name}"()',
        ]

    def create_mark(self, name: str, mark: Mark) -> list[str]:
        rows = "OLD" if mark.event == "DELETE" else "NEW"
        # One mark a statement and never none: one that stands may be taken by somebody who does not see our rows yet.
        about = f'SELECT DISTINCT "{mark.about}" FROM written'  # noqa: S608 -- our names
        leave = f'INSERT INTO "{mark.into}" ("{mark.column}") {about};'
        return [
            f'CREATE OR REPLACE FUNCTION "{name}"() RETURNS trigger LANGUAGE plpgsql AS $guard$ '
            f"BEGIN {leave} RETURN NULL; END $guard$",
            f'DROP TRIGGER IF EXISTS "{name}" ON "{mark.table}"',
            f'CREATE TRIGGER "{name}" AFTER {mark.event} ON "{mark.table}" REFERENCING {rows} TABLE AS written '
            f'FOR EACH STATEMENT EXECUTE FUNCTION "{name}"()',
        ]

    def drop(self, name: str, table: str) -> list[str]:
        return [f'DROP TRIGGER IF EXISTS "{name}" ON "{table}"', f'DROP FUNCTION IF EXISTS "{name}"()']


DIALECTS = {"sqlite": SQLite(), "postgresql": PostgreSQL()}


def quote(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"
