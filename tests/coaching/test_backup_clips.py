"""The files of clips in a backup, while others prepare and erase them."""

import pytest
from django.core.management import CommandError, call_command

from coaching.backup import clips, rows, taking
from coaching.backup.restoring import check_backup
from submissions.choices import ClipState
from submissions.domain import files
from submissions.domain.storage import clip_storage
from submissions.domain.withdrawal import erase_clip
from submissions.models import Clip, Upload
from tests import factories as f
from tests.coaching.lost_and_found import backup, content_of, empty_storage, film, lose_everything, receive, restore

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def folders(settings, tmp_path):
    settings.MEDIA_ROOT, settings.UPLOAD_ROOT = tmp_path / "media", tmp_path / "uploads"
    yield
    empty_storage()


def test_files_of_a_clip_come_back_under_their_names(tmp_path):
    clip = film(tmp_path)
    backup(tmp_path)
    lose_everything()

    restore(tmp_path)

    assert content_of(clip.review_copy, tmp_path) == f"review_copy of {clip.uuid}".encode()
    assert content_of(clip.poster, tmp_path) == f"poster of {clip.uuid}".encode()


def test_received_clip_comes_back_with_what_was_sent(tmp_path):
    received = receive()
    backup(tmp_path)
    lose_everything()

    restore(tmp_path)

    clip = Clip.objects.get(uuid=received.uuid)
    assert files.has_original(clip)
    assert files.original_of(clip, folder=tmp_path).read_bytes() == b"as it was sent"


def test_half_an_upload_is_left_to_its_sender(tmp_path):
    upload = f.UploadFactory(offset=5)
    files.create_part(upload.uuid)

    taken = backup(tmp_path)

    assert [taken.files[f"rows/submissions_{name}.jsonl"].rows for name in ("clip", "upload")] == [0, 0]
    assert taken.tables() == taken.files


def test_file_that_is_gone_without_an_erasure_ends_with_an_error_that_names_the_clip(tmp_path):
    clip = film(tmp_path)
    clip_storage().delete(clip.poster)

    with pytest.raises(CommandError, match=str(clip.uuid)):
        call_command("backup", tmp_path / "backup")

    assert check_backup(tmp_path / "backup", say=lambda _: None).lost == [str(clip.uuid)]


def test_check_of_a_backup_that_lacks_a_file_ends_with_an_error(tmp_path):
    clip = film(tmp_path)
    clip_storage().delete(clip.poster)
    backup(tmp_path)

    with pytest.raises(CommandError, match=str(clip.uuid)):
        call_command("restore", tmp_path / "backup", "--check")


def test_backup_that_lacks_a_file_is_restored_with_a_warning(tmp_path, capsys):
    clip = film(tmp_path)
    clip_storage().delete(clip.poster)
    backup(tmp_path)
    lose_everything()

    call_command("restore", tmp_path / "backup")

    assert str(clip.uuid) in capsys.readouterr().err
    assert content_of(clip.review_copy, tmp_path)


def _while_rows_are_written(monkeypatch, act) -> None:
    """Do something once, between the moment and the copies of files."""
    original, done = rows.lines, []

    def lines(*args):
        if not done:
            done.append(True)
            act()
        return original(*args)

    monkeypatch.setattr(rows, "lines", lines)


def test_what_is_written_after_the_moment_is_not_in_it(tmp_path, monkeypatch):
    _while_rows_are_written(monkeypatch, f.UserFactory)

    assert backup(tmp_path).files["rows/clients_user.jsonl"].rows == 0


def test_clip_that_is_erased_meanwhile_is_neither_missed_nor_restored(tmp_path, monkeypatch):
    clip = film(tmp_path, question="Deep enough?")
    _while_rows_are_written(monkeypatch, lambda: erase_clip(clip, at=f.NOON))
    taken = backup(tmp_path)
    lose_everything()

    restore(tmp_path)

    restored = Clip.objects.get()
    assert (taken.erased, taken.lost) == ([str(clip.uuid)], [])
    assert (restored.state, restored.question, restored.review_copy) == (ClipState.ERASED, "", "")
    assert not any(clip_storage().files_below(""))


def test_clip_that_is_erased_after_it_was_copied_is_not_kept(tmp_path, monkeypatch):
    clip = film(tmp_path)
    standing = clips.standing
    monkeypatch.setattr(clips, "standing", lambda models: erase_clip(clip, at=f.NOON) and standing(models))

    taken = backup(tmp_path)

    assert (taken.erased, taken.tables()) == ([str(clip.uuid)], taken.files)
    assert not [path for path in (tmp_path / "backup" / "files").rglob("*") if path.is_file()]


def test_original_that_is_prepared_between_moment_and_copy_was_copied_before(tmp_path, monkeypatch):
    clip = receive()
    _while_snapshot_begins(monkeypatch, lambda: files.remove_part(Upload.objects.get(clip=clip).uuid))

    taken = backup(tmp_path)

    assert taken.lost == []
    assert [path for path in taken.files if path.startswith("received/")]


def test_original_that_was_prepared_before_the_moment_is_not_kept(tmp_path, monkeypatch):
    clip = receive()
    failed = {"state": ClipState.FAILED, "failure": "lost"}
    _while_snapshot_begins(monkeypatch, lambda: Clip.objects.filter(pk=clip.pk).update(**failed))

    taken = backup(tmp_path)

    assert (taken.tables(), taken.lost) == (taken.files, [])


def _while_snapshot_begins(monkeypatch, act) -> None:
    original = taking.snapshot

    def snapshot(folder):
        act()
        return original(folder)

    monkeypatch.setattr(taking, "snapshot", snapshot)
