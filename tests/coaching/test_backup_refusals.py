"""What is no whole backup, and where none is restored."""

import json
import shutil
import subprocess
import uuid

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection
from django.test import override_settings

from clients.models import User
from coaching.backup import manifest, restoring, rows
from coaching.backup.errors import BackupRefused
from coaching.backup.manifest import Kept, Manifest
from coaching.backup.restoring import check_backup
from jobs import guards
from submissions.domain import files
from submissions.domain.storage import clip_storage
from tests import factories as f
from tests.coaching.lost_and_found import backup, empty_storage, film, lose_everything, receive, restore

pytestmark = pytest.mark.django_db
in_a_real_transaction = pytest.mark.django_db(transaction=True)


@pytest.fixture(scope="module")
def whole(django_db_setup, django_db_blocker, tmp_path_factory):
    """A backup with a row of everything that matters here, made once."""
    folder = tmp_path_factory.mktemp("whole")
    places = {"MEDIA_ROOT": folder / "media", "UPLOAD_ROOT": folder / "uploads"}
    with django_db_blocker.unblock(), override_settings(**places):
        lose_everything()
        f.BodyMassFactory()
        film(folder)
        receive()
        backup(folder)
        lose_everything()
    return folder / "backup"


@pytest.fixture
def a_backup(whole, tmp_path):
    """A copy of it, to be damaged at will."""
    return shutil.copytree(whole, tmp_path / "backup")


@pytest.fixture(autouse=True)
def folders(settings, tmp_path):
    settings.MEDIA_ROOT, settings.UPLOAD_ROOT = tmp_path / "media", tmp_path / "uploads"
    yield
    empty_storage()


# A whole one


def test_only_its_owner_may_read_a_backup(whole):
    modes = {path.is_dir(): path.stat().st_mode & 0o777 for path in [whole, *whole.rglob("*")]}

    assert modes == {True: 0o700, False: 0o600}


def test_manifest_holds_what_is_needed_and_no_secret(whole):
    said = json.loads((whole / "manifest.json").read_text())

    assert said["source"] == {"database": connection.vendor, "storage": type(clip_storage()._wrapped).__name__}
    assert said.keys() == {
        *("started_at", "finished_at", "source", "migrations", "left_out", "files", "erased", "lost", "format"),
    }


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="no sha256sum")
def test_checksum_of_the_manifest_is_read_by_the_standard_tool(whole):
    subprocess.run(["sha256sum", "--check", "--strict", "manifest.json.sha256"], cwd=whole, check=True)


def test_whole_backup_is_checked_without_touching_anything(a_backup, capsys):
    call_command("restore", a_backup, "--check")

    assert "files are whole" in capsys.readouterr().out


# What is not taken


def test_backup_never_overwrites_another(a_backup):
    with pytest.raises(CommandError, match="is there already"):
        call_command("backup", a_backup)


def test_backup_into_a_place_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(CommandError, match="is not there"):
        call_command("backup", tmp_path / "no" / "backup")


@in_a_real_transaction
def test_backup_that_breaks_off_leaves_nothing(tmp_path, monkeypatch):
    monkeypatch.setattr(manifest, "write", lambda *_: 1 / 0)
    before = set(tmp_path.iterdir())

    with pytest.raises(ZeroDivisionError):
        backup(tmp_path)

    assert set(tmp_path.iterdir()) == before


# What is not restored


def _not_whole(folder, words: str) -> None:
    with pytest.raises(BackupRefused, match=words):
        check_backup(folder, say=lambda _: None)


@pytest.mark.parametrize("path", ["rows/clients_user.jsonl", "files", "received"])
def test_damaged_file_is_refused(a_backup, path):
    found = next((one for one in [a_backup / path, *sorted((a_backup / path).rglob("*"))] if one.is_file()), None)
    if found is None:
        pytest.skip("this storage has all originals among its files")
    content = bytearray(found.read_bytes())
    content[len(content) // 2] ^= 1
    found.write_bytes(content)

    _not_whole(a_backup, "is damaged")


def test_manifest_that_was_changed_is_refused(a_backup):
    path = a_backup / "manifest.json"
    path.write_text(path.read_text().replace('"erased": []', '"erased": ["somebody"]'))

    _not_whole(a_backup, "manifest.json is damaged")


@pytest.mark.parametrize("path", ["rows/clients_user.jsonl", "manifest.json", "manifest.json.sha256"])
def test_missing_file_is_refused(a_backup, path):
    (a_backup / path).unlink()

    _not_whole(a_backup, "is missing")


def test_file_that_the_manifest_does_not_name_is_refused(a_backup):
    (a_backup / "rows" / "strange").touch()

    _not_whole(a_backup, "rows/strange is not in the manifest")


def test_folder_that_is_no_backup_is_refused(tmp_path):
    _not_whole(tmp_path, "is no whole backup")


def _rewrite_manifest(folder, **changes) -> None:
    """Forge it, with a checksum that fits."""
    said = json.loads((folder / "manifest.json").read_text()) | changes
    (folder / "manifest.json").unlink()
    (folder / "manifest.json.sha256").unlink()
    said["files"] = {path: Kept(**kept) for path, kept in said["files"].items()}
    manifest.write(Manifest(**said), folder)


def test_unknown_format_is_refused(a_backup):
    _rewrite_manifest(a_backup, format=2)

    _not_whole(a_backup, "has the format 2")


def test_backup_of_a_newer_version_is_refused(a_backup):
    _rewrite_manifest(a_backup, migrations=[["clients", "9999_from_the_future"]])

    _not_whole(a_backup, r"newer Purlin: this one does not know clients.9999_from_the_future")


def _refused(tmp_path, words: str) -> None:
    with pytest.raises(BackupRefused, match=words):
        restore(tmp_path)


def test_database_with_rows_is_refused(tmp_path, a_backup):
    f.UserFactory()

    _refused(tmp_path, r"not empty \(")


def test_storage_with_clips_is_refused(tmp_path, a_backup):
    (tmp_path / "made").write_bytes(b"x")
    clip_storage().put(tmp_path / "made", "clips/strange")

    _refused(tmp_path, "There are clips already")


def test_upload_folder_with_parts_is_refused(tmp_path, a_backup):
    files.create_part(uuid.uuid4())

    _refused(tmp_path, "There are clips already")


# What keeps nothing when it fails


def _nothing_was_kept() -> bool:
    there = [*clip_storage().files_below(""), *files.part_path(uuid.uuid4()).parent.glob("*.part")]
    return not User.objects.exists() and not there


@in_a_real_transaction
def test_restore_that_is_not_equal_keeps_nothing(tmp_path, a_backup, monkeypatch):
    monkeypatch.setattr(rows, "digest_of", lambda *_: "other")

    _refused(tmp_path, "was not restored as it is")
    assert _nothing_was_kept()


@in_a_real_transaction
@pytest.mark.parametrize(("column", "error"), [("client_id", IntegrityError), ("mass_kg", BackupRefused)])
def test_row_that_the_database_refuses_keeps_nothing(tmp_path, a_backup, column, error):
    _forge(a_backup, "clients_bodymass", column, 999_999)

    with pytest.raises(error):
        restore(tmp_path)

    assert _nothing_was_kept()
    assert guards.expected_triggers() <= guards.installed_triggers()


def _forge(folder, table: str, column: str, value: object) -> None:
    """Change a row, with checksums that fit."""
    path = folder / "rows" / f"{table}.jsonl"
    names, *lines = [json.loads(line) for line in path.read_text().splitlines()]
    lines[0][names.index(column)] = value
    path.unlink()
    kept = manifest.keep(path, [json.dumps(line).encode() + b"\n" for line in [names, *lines]])
    kept.rows = len(lines)
    said = json.loads((folder / "manifest.json").read_text())
    _rewrite_manifest(folder, files=said["files"] | {f"rows/{table}.jsonl": vars(kept)})


@in_a_real_transaction
def test_guards_stand_again_when_the_rows_are_there(tmp_path, a_backup, monkeypatch):
    monkeypatch.setattr(restoring, "call_command", lambda *_, **__: None)  # the next migrate would put them back, too

    restore(tmp_path)

    assert guards.expected_triggers() <= guards.installed_triggers()


# Comparing two


def test_backup_equals_itself(whole, capsys):
    call_command("compare_backup", whole, whole)

    assert capsys.readouterr().out.startswith("Equal: ")


def test_backups_that_differ_are_told_apart_by_their_files(whole, a_backup):
    _forge(a_backup, "clients_bodymass", "mass_kg", "81.000")

    with pytest.raises(CommandError, match=r"differ in 1 files:\nrows/clients_bodymass\.jsonl"):
        call_command("compare_backup", whole, a_backup)


def test_backups_of_different_migrations_are_not_compared(whole, a_backup):
    _rewrite_manifest(a_backup, migrations=[["clients", "0000_before"]])

    with pytest.raises(CommandError, match="different migrations"):
        call_command("compare_backup", whole, a_backup)
