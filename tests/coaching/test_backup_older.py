"""Backups of older databases, by real migrations: code that is newer restores them and goes on to its own."""

import pytest

from tests.faults.crash_house import House

pytestmark = pytest.mark.slow
ROOMS = ["jobs", "clients", "programs", "submissions", "coaching"]

# By the models of that time: today's know columns that are not there.
WRITE = """
import django; django.setup()
from coaching.backup import contents
models = {contents.label(m): m for m in contents.tables(contents.applied_migrations())}
models["clients.practice"].objects.create(name="Of old")
"""


@pytest.fixture(scope="module")
def older(tmp_path_factory):
    """A backup of a house as it was after the first migration of each room."""
    folder = tmp_path_factory.mktemp("older")
    house = House(folder / "house")
    house.folder.mkdir(mode=0o700)
    for room in ROOMS:
        house.manage("migrate", "-v0", room, "0001_initial")
    for app in ["contenttypes", "auth", "sessions"]:
        house.manage("migrate", "-v0", app)
    house.run("-c", WRITE)
    house.manage("backup", str(folder / "backup"))
    return folder / "backup"


def test_backup_of_an_older_database_is_restored_and_brought_up_to_date(older, tmp_path):
    house = House(tmp_path / "house")
    house.folder.mkdir(mode=0o700)

    house.manage("restore", str(older))

    named = "import django; django.setup(); from clients.models import Practice; print(Practice.objects.get().name)"
    assert house.run("-c", named) == "Of old\n"
    assert "[ ]" not in house.manage("showmigrations")


def test_database_that_is_newer_than_the_backup_is_refused(older, tmp_path):
    house = House(tmp_path / "house")
    house.folder.mkdir(mode=0o700)
    house.manage("migrate", "-v0")

    with pytest.raises(AssertionError, match="The database has a migration that the backup has not"):
        house.manage("restore", str(older))
