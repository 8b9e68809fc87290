"""Loading, refusing and resetting the demo by command."""

import os
import re
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from coaching.serving import presence
from tests.factories import UserFactory

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.django_db
ON_SQLITE = pytest.mark.skipif(connection.vendor != "sqlite", reason="the demo's own file is SQLite")


@pytest.fixture
def demo(settings, tmp_path):
    settings.DEMO, settings.VAR = True, tmp_path
    return tmp_path


def test_real_installation_is_never_filled_with_the_demo():
    with pytest.raises(CommandError, match="never into a real installation"):
        call_command("demo")


def test_loaded_demo_is_left_alone_where_that_is_asked(demo):
    UserFactory(is_demo=True)

    call_command("demo", "--if-empty")


def test_loaded_demo_is_not_loaded_over(demo):
    UserFactory(is_demo=True)

    with pytest.raises(CommandError, match="loaded already"):
        call_command("demo")


@ON_SQLITE
def test_reset_is_refused_while_the_demo_is_served(demo):
    UserFactory(is_demo=True)

    with presence.serving(demo), pytest.raises(CommandError, match="being served"):
        call_command("demo", "--reset")


def test_folder_is_served_as_long_as_somebody_serves_it(tmp_path):
    assert not presence.is_served(tmp_path)
    with presence.serving(tmp_path), presence.serving(tmp_path):
        assert presence.is_served(tmp_path)
    assert not presence.is_served(tmp_path)


def run(program: str, folder: Path) -> Path:
    environment = os.environ | {"PURLIN_VAR": str(folder), "DJANGO_SETTINGS_MODULE": "coaching.settings.demo"}
    (folder / "demo").mkdir(parents=True)
    subprocess.run([sys.executable, "-c", program], env=environment, cwd=ROOT, check=True, timeout=300)
    return folder / "demo" / "demo.sqlite3"


def shape_of(file: Path) -> dict[str, object]:
    """Tables, columns, links, indexes, checks and triggers; the order of columns says nothing."""
    with sqlite3.connect(file) as database:
        named = database.execute("SELECT type, name, tbl_name, sql FROM sqlite_master").fetchall()
        tables = [name for kind, name, _table, _sql in named if kind == "table" and not name.startswith("sqlite_")]
        return {
            "columns": {
                name: sorted(row[1:] for row in database.execute(f"PRAGMA table_info({name})")) for name in tables
            },
            "links": {
                name: sorted(row[2:] for row in database.execute(f"PRAGMA foreign_key_list({name})")) for name in tables
            },
            "checks": {name: checks_in(sql) for kind, name, _table, sql in named if kind == "table"},
            "indexes": sorted(
                (table, sql.partition(" ON ")[2]) for kind, _name, table, sql in named if kind == "index" and sql
            ),
            "triggers": sorted((name, sql) for kind, name, _table, sql in named if kind == "trigger"),
            "migrations": sorted(database.execute("SELECT app, name FROM django_migrations")),
        }


def checks_in(sql: str) -> list[str]:
    return sorted(re.findall(r'CONSTRAINT "\w+" CHECK \(.*?\)(?=, CONSTRAINT|, "|\)$)', sql))


@pytest.mark.slow
def test_tables_made_from_the_models_are_those_of_the_migrations(tmp_path):
    setup = "import django; django.setup(); from django.core.management import call_command; "
    migrated = run(setup + "call_command('migrate', verbosity=0)", tmp_path / "migrated")
    made = run(setup + "from coaching.demo.tables import make_tables; make_tables()", tmp_path / "made")

    assert shape_of(made) == shape_of(migrated)
