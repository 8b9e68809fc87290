"""From one machine to another: a whole upload reaches the storage before anybody is asked to prepare it."""

import datetime
import io

import pytest
from django.core.files.storage import default_storage, storages
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

import jobs
from submissions.choices import ClipState
from submissions.domain import files, uploading
from submissions.domain.processing import process_clip
from submissions.domain.sweeping import UNCLAIMED_AFTER, sweep_files
from submissions.domain.withdrawal import erase_clip
from submissions.errors import StorageUnavailable, UploadGone, WrongOffset
from submissions.models import Clip, Submission, Upload
from tests.shapes import on_s3

pytestmark = [on_s3, pytest.mark.django_db(transaction=True)]
CONTENT = b"a whole clip"
A_DAY_LATER = UNCLAIMED_AFTER + datetime.timedelta(minutes=1)


@pytest.fixture
def upload(begin) -> Upload:
    return begin(len(CONTENT), at=timezone.now())


def send(upload: Upload, *, offset: int = 0) -> int:
    return uploading.append(upload, offset=offset, read=io.BytesIO(CONTENT).read, at=timezone.now())


def stored() -> list[str]:
    return [found.name for found in storages["default"].files_below("clips")]


def down(*args: object) -> None:
    raise StorageUnavailable


@pytest.fixture
def send_while_down(monkeypatch, upload):
    """All bytes arrive; the storage does not answer."""
    with monkeypatch.context() as patched:
        patched.setattr(storages["default"], "put", down)
        with pytest.raises(StorageUnavailable):
            send(upload)


def test_whole_upload_lies_in_the_storage_and_no_longer_here(upload):
    send(upload)

    clip = Clip.objects.get()
    assert (clip.state, stored(), files.part_size(upload.uuid)) == (ClipState.RECEIVED, [clip.original], None)
    assert default_storage.open(clip.original).read() == CONTENT


def test_bytes_are_carried_before_the_job_can_be_seen(upload, monkeypatch):
    jobs_then = []
    put = storages["default"].put
    monkeypatch.setattr(
        storages["default"], "put", lambda *args: (jobs_then.append(Submission.objects.count()), put(*args))
    )

    send(upload)

    assert (jobs_then, Submission.objects.count()) == ([0], 1)


@pytest.mark.usefixtures("send_while_down")
def test_storage_that_is_down_at_the_last_piece_keeps_every_byte_and_submits_nothing(upload):
    assert (files.part_size(upload.uuid), Submission.objects.count(), stored()) == (len(CONTENT), 0, [])


@pytest.mark.usefixtures("send_while_down")
def test_sender_who_asks_again_completes_it(upload, client, cast):
    client.force_login(cast.client_user)

    answer = client.head(reverse("upload", args=[upload.uuid]), headers={"Tus-Resumable": "1.0.0"})

    assert (answer.status_code, answer["Upload-Offset"]) == (200, str(len(CONTENT)))
    assert (Submission.objects.count(), len(stored())) == (1, 1)


@pytest.mark.usefixtures("send_while_down")
def test_sweep_completes_it_when_the_sender_has_gone(upload):
    sweep_files(at=timezone.now())

    assert (Submission.objects.count(), len(stored())) == (1, 1)


@pytest.mark.parametrize("method", ["patch", "head"])
def test_sender_is_told_503_while_the_storage_is_down(upload, client, cast, monkeypatch, method):
    client.force_login(cast.client_user)
    monkeypatch.setattr(storages["default"], "put", down)
    where, headers = reverse("upload", args=[upload.uuid]), {"Tus-Resumable": "1.0.0", "Upload-Offset": "0"}
    answer = client.patch(where, CONTENT, content_type="application/offset+octet-stream", headers=headers)
    if method == "head":
        answer = client.head(where, headers=headers)

    assert answer.status_code == 503


def test_sender_who_asks_while_it_is_being_carried_is_told_to_wait(upload, client, cast):
    files.part_path(upload.uuid).write_bytes(CONTENT)
    client.force_login(cast.client_user)

    with files.locked_part(upload.uuid):
        answer = client.head(reverse("upload", args=[upload.uuid]), headers={"Tus-Resumable": "1.0.0"})

    assert answer.status_code == 423


def test_crash_between_storing_and_submitting_loses_nothing_and_doubles_nothing(upload, monkeypatch):
    with monkeypatch.context() as patched:
        patched.setattr(uploading, "_submit", lambda *args, **kwargs: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            send(upload)
    in_between = stored()
    sweep_files(at=timezone.now())
    sweep_files(at=timezone.now() + A_DAY_LATER)

    assert (len(in_between), Submission.objects.count(), stored()) == (1, 1, [Clip.objects.get().original])


def test_crash_between_submitting_and_removing_leaves_a_file_for_the_sweep(upload, monkeypatch):
    with monkeypatch.context() as patched:
        patched.setattr(files, "remove_part", lambda *args: None)
        send(upload)
    left = files.part_size(upload.uuid)
    sweep_files(at=timezone.now() + A_DAY_LATER)

    assert (left, files.part_size(upload.uuid), Submission.objects.count()) == (len(CONTENT), None, 1)


def test_file_stays_here_when_the_submission_is_undone(upload):
    with transaction.atomic():
        send(upload)
        transaction.set_rollback(True)

    assert (files.part_size(upload.uuid), Submission.objects.count()) == (len(CONTENT), 0)


def test_clip_erased_while_it_is_carried_stays_erased_and_leaves_no_copy(upload, monkeypatch):
    put = storages["default"].put

    def put_and_erase(*args: object) -> None:
        put(*args)
        erase_clip(upload.clip, at=timezone.now())

    monkeypatch.setattr(storages["default"], "put", put_and_erase)
    with pytest.raises(UploadGone):
        send(upload)

    assert (Clip.objects.get().state, stored(), Submission.objects.count()) == (ClipState.ERASED, [], 0)


def test_upload_that_is_taken_back_takes_along_what_a_crash_left(upload, monkeypatch):
    monkeypatch.setattr(uploading, "_submit", lambda *args, **kwargs: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        send(upload)

    uploading.take_back_upload(upload)

    assert (Clip.objects.count(), stored(), files.part_size(upload.uuid)) == (0, [], None)


@pytest.mark.parametrize("file_left_here", [False, True])
def test_taking_back_what_was_submitted_removes_no_file(upload, monkeypatch, file_left_here):
    with monkeypatch.context() as patched:
        if file_left_here:
            patched.setattr(files, "remove_part", lambda *args: None)
        send(upload)

    with pytest.raises(UploadGone):
        uploading.take_back_upload(upload)

    assert stored() == [Clip.objects.get().original]


def test_sender_who_comes_late_is_told_the_offset_and_not_to_begin_anew(upload):
    late = Upload.objects.get()
    send(upload)

    with pytest.raises(WrongOffset):
        send(late)
    assert uploading.offset_of(late, at=timezone.now()) == len(CONTENT)


def test_sender_who_is_overtaken_before_the_lock_is_told_to_ask_again(upload, monkeypatch):
    real = files.locked_part

    def overtaken(upload_uuid):
        monkeypatch.setattr(files, "locked_part", real)
        send(upload)
        return real(upload_uuid)

    monkeypatch.setattr(files, "locked_part", overtaken)
    with pytest.raises(WrongOffset):
        send(upload)


def test_worker_on_another_machine_prepares_it(begin, drawn_clip, settings, folders):
    upload = begin(len(drawn_clip), at=timezone.now())
    uploading.append(upload, offset=0, read=io.BytesIO(drawn_clip).read, at=timezone.now())
    settings.UPLOAD_ROOT = folders / "uploads of another machine"

    jobs.run_waiting()

    clip = Clip.objects.get()
    assert (clip.state, set(stored())) == (ClipState.READY, {clip.review_copy, clip.poster})
    assert list(settings.UPLOAD_ROOT.iterdir()) == []


def test_original_that_could_not_be_deleted_is_swept(begin, drawn_clip, monkeypatch):
    upload = begin(len(drawn_clip), at=timezone.now())
    uploading.append(upload, offset=0, read=io.BytesIO(drawn_clip).read, at=timezone.now())
    with monkeypatch.context() as patched:
        patched.setattr(storages["default"], "delete", down)
        with pytest.raises(StorageUnavailable):
            process_clip(upload.clip.pk, now=timezone.now)
    left = len(stored())
    sweep_files(at=timezone.now() + A_DAY_LATER)

    clip = Clip.objects.get()
    assert (left, clip.state, set(stored())) == (3, ClipState.READY, {clip.review_copy, clip.poster})
