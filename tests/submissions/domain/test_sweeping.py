"""What was broken off is tidied up; what is needed is left alone."""

import datetime
import os
import uuid

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage, storages
from django.utils import timezone

from submissions.choices import ClipState, SubmissionState
from submissions.domain import files, uploading
from submissions.domain.processing import process_clip
from submissions.domain.sweeping import LOST_AFTER, UNCLAIMED_AFTER, sweep_files
from submissions.errors import StorageUnavailable
from submissions.models import Clip, Submission, Upload
from tests.shapes import on_both_storages

pytestmark = on_both_storages
MINUTE = datetime.timedelta(minutes=1)


@pytest.fixture
def now():
    """Files carry the real clock's times, so these tests do too."""
    return timezone.now()


@pytest.fixture
def much_later(now):
    return now + UNCLAIMED_AFTER + MINUTE


def test_expired_upload_is_removed_with_its_clip_and_file(begin, now):
    upload = begin(at=now - uploading.STAYS_OPEN)

    sweep_files(at=now)

    assert (Upload.objects.count(), Clip.objects.count(), files.part_size(upload.uuid)) == (0, 0, None)


def test_expired_upload_that_is_being_written_is_left_for_the_next_time(begin, now):
    upload = begin(at=now - uploading.STAYS_OPEN)

    with files.locked_part(upload.uuid):
        sweep_files(at=now)

    assert Upload.objects.count() == 1


def test_whole_upload_is_not_removed_however_long_its_storage_was_down(begin, now):
    upload = begin(4, at=now - 2 * uploading.STAYS_OPEN)
    files.part_path(upload.uuid).write_bytes(b"1234")

    sweep_files(at=now)

    assert Submission.objects.get().clip_id == upload.clip_id


def test_whole_upload_that_lies_on_another_machine_is_left_to_it_for_two_weeks(begin, now):
    upload = begin(4, at=now - uploading.STAYS_OPEN)
    Upload.objects.update(offset=4)
    files.remove_part(upload.uuid)

    sweep_files(at=now)
    kept = Upload.objects.count()
    sweep_files(at=now + LOST_AFTER)

    assert (kept, Upload.objects.count()) == (1, 0)


def test_open_upload_is_left_alone(begin, now, much_later):
    upload = begin(at=now)

    sweep_files(at=much_later)

    assert files.part_size(upload.uuid) == 0


def test_whole_file_that_was_never_submitted_is_submitted(begin, now):
    upload = begin(4, at=now)
    files.part_path(upload.uuid).write_bytes(b"1234")

    sweep_files(at=now)

    assert Submission.objects.get().clip_id == upload.clip_id


def test_original_of_a_clip_still_waiting_is_left_alone(received, much_later):
    clip = received(b"text" * 10)

    sweep_files(at=much_later)

    assert files.has_original(clip)


def test_original_that_a_crash_left_behind_is_removed(received, much_later):
    clip = received(b"text" * 10)
    Clip.objects.update(state=ClipState.FAILED, failure="not_a_video", original="")

    sweep_files(at=much_later)

    assert not files.has_original(clip)


def test_received_clip_whose_file_is_gone_is_refused_after_a_day(received, now, much_later):
    clip = received(b"text" * 10, at=now)
    files.remove_part(clip.upload.uuid)
    files.discard(clip.original)

    sweep_files(at=now)
    clip.refresh_from_db()
    first = clip.state
    sweep_files(at=much_later)
    clip.refresh_from_db()

    assert (first, clip.state, Submission.objects.get().state) == (
        ClipState.RECEIVED,
        ClipState.FAILED,
        SubmissionState.WITHDRAWN,
    )


def test_clip_is_not_refused_while_nobody_can_tell_whether_its_file_is_there(received, now, much_later, monkeypatch):
    clip = received(b"text" * 10, at=now)

    def down(*args):
        raise StorageUnavailable

    for step in ("look_up", "files_below"):
        monkeypatch.setattr(storages["default"], step, down)
    with pytest.raises(StorageUnavailable):
        sweep_files(at=much_later)

    clip.refresh_from_db()
    assert clip.state == ClipState.RECEIVED


def test_work_folder_of_a_killed_worker_is_removed_when_it_is_old(folders, now, much_later, db):
    work = folders / "uploads" / "work-abc"
    work.mkdir(parents=True)

    sweep_files(at=now)
    kept_while_young = work.exists()
    sweep_files(at=much_later)

    assert (kept_while_young, work.exists()) == (True, False)


def test_stored_file_that_no_clip_names_is_removed_when_it_is_old(received, drawn_clip, now, much_later):
    clip = received(drawn_clip, at=now)
    process_clip(clip.pk, now=lambda: now)
    clip.refresh_from_db()
    orphan = default_storage.save(f"clips/{clip.uuid}/orphan.mp4", ContentFile(b"half"))

    sweep_files(at=now)
    young = default_storage.exists(orphan)
    sweep_files(at=much_later)

    assert (young, [default_storage.exists(name) for name in (orphan, clip.review_copy, clip.poster)]) == (
        True,
        [False, True, True],
    )


def test_file_of_a_clip_that_this_database_does_not_know_is_left_alone(folders, much_later, db):
    strange = default_storage.save(f"clips/{uuid.uuid4()}/film.mp4", ContentFile(b"film"))

    sweep_files(at=much_later)

    assert default_storage.exists(strange)


def test_files_of_others_in_the_upload_folder_are_not_touched(folders, much_later, db):
    (folders / "uploads").mkdir()
    stranger = folders / "uploads" / "README"
    stranger.write_text("mine")
    os.utime(stranger, (0, 0))

    sweep_files(at=much_later)

    assert stranger.exists()


def test_sweeping_an_empty_installation_is_calm(folders, now, db):
    sweep_files(at=now)
