"""The files of clips and photos in a backup, while others prepare and erase them."""

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command

from clients.models import SetUpCheck
from coaching.backup import contents, media, rows, taking
from coaching.backup.restoring import check_backup
from coaching.domain import data_copy
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

    assert check_backup(tmp_path / "backup", say=lambda _: None).lost == [f"submissions.clip {clip.uuid}"]


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
    assert (taken.erased, taken.lost) == ([f"submissions.clip {clip.uuid}"], [])
    assert (restored.state, restored.question, restored.review_copy) == (ClipState.ERASED, "", "")
    assert not any(clip_storage().files_below(""))


def test_clip_that_is_erased_after_it_was_copied_is_not_kept(tmp_path, monkeypatch):
    clip = film(tmp_path)
    standing = media.standing
    monkeypatch.setattr(media, "standing", lambda models: erase_clip(clip, at=f.NOON) and standing(models))

    taken = backup(tmp_path)

    assert (taken.erased, taken.tables()) == ([f"submissions.clip {clip.uuid}"], taken.files)
    assert not [path for path in (tmp_path / "backup" / "files").rglob("*") if path.is_file()]


def test_original_that_is_prepared_between_moment_and_copy_was_copied_before(tmp_path, monkeypatch):
    clip = receive()

    def remove_the_original() -> None:
        files.discard(clip.original)
        files.remove_part(Upload.objects.get(clip=clip).uuid)

    _while_snapshot_begins(monkeypatch, remove_the_original)

    taken = backup(tmp_path)

    assert (taken.lost, len(taken.files) - len(taken.tables())) == ([], 1)


def test_original_that_was_prepared_before_the_moment_is_not_kept(tmp_path, monkeypatch):
    clip = receive()
    failed = {"state": ClipState.FAILED, "original": "", "failure": "lost"}
    _while_snapshot_begins(monkeypatch, lambda: Clip.objects.filter(pk=clip.pk).update(**failed))

    taken = backup(tmp_path)

    assert (taken.tables(), taken.lost) == (taken.files, [])


def _while_snapshot_begins(monkeypatch, act) -> None:
    original = taking.snapshot

    def snapshot(folder):
        act()
        return original(folder)

    monkeypatch.setattr(taking, "snapshot", snapshot)


# Photos


def photographed(tmp_path):
    """A set-up check and a clearance, each with its photo."""
    check, clearance = f.SetUpCheckFactory(photo="set-up/one.jpg"), f.ClearanceFactory(document="letters/two.jpg")
    for name in (check.photo, clearance.document):
        (tmp_path / "made").write_bytes(f"photo {name}".encode())
        clip_storage().put(tmp_path / "made", name)
    return check, clearance


def test_photos_come_back_under_their_names(tmp_path):
    check, clearance = photographed(tmp_path)
    backup(tmp_path)
    lose_everything()

    restore(tmp_path)

    assert content_of(check.photo, tmp_path) == b"photo set-up/one.jpg"
    assert content_of(clearance.document, tmp_path) == b"photo letters/two.jpg"


def test_photo_that_is_gone_without_an_erasure_is_told(tmp_path):
    check, _ = photographed(tmp_path)
    clip_storage().delete(check.photo)

    assert backup(tmp_path).lost == [f"clients.setupcheck {check.uuid}"]


def test_photo_that_is_erased_meanwhile_is_named_by_no_row_afterwards(tmp_path, monkeypatch):
    check, clearance = photographed(tmp_path)

    def erase():
        SetUpCheck.objects.filter(pk=check.pk).update(photo="", tested=[], erased_at=f.NOON)
        clip_storage().delete(check.photo)

    _while_rows_are_written(monkeypatch, erase)
    taken = backup(tmp_path)
    lose_everything()

    restore(tmp_path)

    assert (taken.erased, taken.lost) == ([f"clients.setupcheck {check.uuid}"], [])
    assert SetUpCheck.objects.get().photo == ""
    assert [one.name for one in clip_storage().files_below("")] == [clearance.document]


ROOMS = {"jobs", "clients", "programs", "submissions", "coaching"}
STORAGE_NAMES = {f"{label}.{column}" for label, columns in contents.FILE_COLUMNS.items() for column in columns}
# As long as a storage name, and something else. A file that can be made again is in contents.at_rest.
WORDS = {
    *("clients.client.name", "clients.enquiry.name", "clients.enquiry.reach", "clients.guardiandecision.name"),
    *("clients.guardianrequest.name", "clients.outgoingmail.subject", "clients.practice.name", "clients.user.name"),
    *("jobs.job.key", "programs.movementrevision.film_from", "programs.movementrevision.share_source"),
    *("submissions.submission.lane_reason", "clients.datacopy.file", "programs.prescription.and_or"),
}


def test_every_column_that_may_be_a_storage_name_was_thought_about():
    """Whoever adds a file comes by here: contents.FILE_COLUMNS decides whether backups have it."""
    found = {
        f"{contents.label(model)}.{field.name}"
        for model in apps.get_models()
        for field in model._meta.local_concrete_fields
        if field.max_length == 200
        and model._meta.app_label in {"clients", "programs", "submissions", "coaching", "jobs"}
    }

    assert found == STORAGE_NAMES | WORDS


def test_whatever_a_client_gets_a_copy_of_is_in_a_backup():
    asked = {f"{label.lower()}.{column}" for label, columns in data_copy.FILES.items() for column in columns}

    assert asked <= STORAGE_NAMES
