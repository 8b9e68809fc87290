"""Resumable uploads: what is kept, what is refused, what is promised."""

import datetime
import errno
import fcntl
import hashlib
import io
from contextlib import contextmanager

import pytest

from clients.choices import ConsentAction, ConsentKind
from clients.models import ConsentEvent
from jobs.models import Job
from submissions.choices import ClipState, Lane
from submissions.domain import files, uploading
from submissions.domain.uploading import Checksum, append, finish_upload, offset_of, take_back_upload
from submissions.errors import (
    ChecksumMismatch,
    ClipTooLarge,
    EmptyFile,
    MoreThanAnnounced,
    NoRoom,
    TooManyOpenUploads,
    UploadBusy,
    UploadGone,
    VideoConsentMissing,
    WrongOffset,
)
from submissions.models import Clip, Submission, Upload
from tests import factories as f
from tests.factories import NOON


def asked() -> list[tuple[str, list]]:
    """The jobs that were requested."""
    return list(Job.objects.values_list("name", "args"))


def send(upload, content: bytes, *, offset=0, at=NOON, **more) -> int:
    return append(upload, offset=offset, read=io.BytesIO(content).read, at=at, **more)


def stored(upload) -> bytes:
    return files.part_path(upload.uuid).read_bytes()


def test_new_upload_makes_a_clip_of_the_filmed_prescription(begin, filming):
    scheduled, prescription = filming

    clip = begin().clip

    assert (clip.state, clip.movement, clip.lineage, clip.training_day, clip.question, clip.size_bytes) == (
        ClipState.UPLOADING,
        prescription.movement,
        prescription.lineage,
        scheduled.on,
        "Deep enough?",
        1000,
    )


def test_without_consent_to_video_nothing_is_opened(cast, begin):
    f.ConsentFactory(
        client=cast.client,
        kind=ConsentKind.VIDEO,
        action=ConsentAction.WITHDRAWN,
        at=NOON + datetime.timedelta(minutes=1),
    )

    with pytest.raises(VideoConsentMissing):
        begin()

    assert not Clip.objects.exists()


@pytest.mark.parametrize(("length", "refusal"), [(0, EmptyFile), (-1, EmptyFile), (101, ClipTooLarge)])
def test_impossible_length_is_refused(begin, settings, length, refusal):
    settings.CLIP_MAX_BYTES = 100

    with pytest.raises(refusal):
        begin(length)


def test_open_uploads_are_few(begin):
    for _ in range(uploading.OPEN_UPLOADS_PER_CLIENT):
        begin()

    with pytest.raises(TooManyOpenUploads):
        begin()


def test_expired_uploads_do_not_count_as_open(begin):
    for _ in range(uploading.OPEN_UPLOADS_PER_CLIENT):
        begin()

    assert begin(at=NOON + uploading.STAYS_OPEN)


def test_upload_that_the_disk_cannot_hold_is_refused(begin, monkeypatch):
    monkeypatch.setattr(files, "free_bytes", lambda: 1500)
    begin(1000)

    with pytest.raises(NoRoom):
        begin(501)


def test_pieces_are_put_together_and_the_row_follows(begin):
    upload = begin(10)

    send(upload, b"12345")
    send(upload, b"678", offset=5)

    upload.refresh_from_db()
    assert (stored(upload), upload.offset, offset_of(upload, at=NOON)) == (b"12345678", 8, 8)


def test_piece_from_another_place_is_refused_and_changes_nothing(begin):
    upload = begin(10)
    send(upload, b"12345")

    with pytest.raises(WrongOffset):
        send(upload, b"678", offset=4)

    assert stored(upload) == b"12345"


def test_file_on_the_disk_decides_when_the_row_fell_behind(begin):
    upload = begin(10)
    send(upload, b"12345")
    Upload.objects.update(offset=0)

    assert send(upload, b"678", offset=5) == 8

    assert Upload.objects.get().offset == 8


def test_last_piece_submits_the_clip_with_a_promise_and_asks_for_preparation(begin):
    upload = begin(10)

    send(upload, b"1234567890")

    upload.clip.refresh_from_db()
    waiting = Submission.objects.get()
    assert (upload.clip.state, waiting.clip, waiting.text, waiting.lane, asked()) == (
        ClipState.RECEIVED,
        upload.clip,
        "Deep enough?",
        # Without a screening there is no leave to train.
        Lane.PAIN_HIGH,
        [("submissions.process_clip", [upload.clip.pk])],
    )


def test_finishing_twice_submits_once(begin):
    upload = begin(3)
    send(upload, b"123")

    finish_upload(upload, at=NOON)

    assert (Submission.objects.count(), len(asked())) == (1, 1)


def test_finished_upload_answers_its_full_length_though_the_file_has_gone(begin):
    upload = begin(3)
    send(upload, b"123")
    files.remove_part(upload.uuid)
    upload.refresh_from_db()

    assert (offset_of(upload, at=NOON + uploading.STAYS_OPEN), send(upload, b"", offset=3)) == (3, 3)


def test_crash_before_submitting_loses_nothing(begin, monkeypatch):
    upload = begin(3)
    monkeypatch.setattr("jobs.request", lambda *args, **kwargs: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        send(upload, b"123")
    monkeypatch.undo()

    assert not Submission.objects.exists()
    send(upload, b"", offset=3)

    assert Submission.objects.get().clip == upload.clip


def test_more_than_announced_is_refused_and_cut_back(begin):
    upload = begin(5)
    send(upload, b"123")

    with pytest.raises(MoreThanAnnounced):
        send(upload, b"456", offset=3)

    assert stored(upload) == b"123"


@pytest.mark.parametrize("algorithm", uploading.CHECKSUMS)
def test_piece_with_its_checksum_is_kept(begin, algorithm):
    upload = begin(10)

    send(upload, b"123", checksum=Checksum(algorithm, hashlib.new(algorithm, b"123").digest()))

    assert stored(upload) == b"123"


def test_piece_with_a_wrong_checksum_leaves_nothing(begin):
    upload = begin(10)
    send(upload, b"123")

    with pytest.raises(ChecksumMismatch):
        send(upload, b"45x", offset=3, checksum=Checksum("sha1", hashlib.sha1(b"456").digest()))  # noqa: S324

    upload.refresh_from_db()
    assert (stored(upload), upload.offset) == (b"123", 3)


def test_full_disk_refuses_the_piece_and_keeps_the_earlier_ones(begin, monkeypatch):
    upload = begin(10)
    send(upload, b"123")

    def full(*args, **kwargs):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(uploading, "_copy", full)
    with pytest.raises(NoRoom):
        send(upload, b"456", offset=3)

    assert stored(upload) == b"123"


def test_second_sender_is_told_that_the_upload_is_busy(begin):
    upload = begin(10)

    with files.part_path(upload.uuid).open("rb") as other:
        fcntl.flock(other, fcntl.LOCK_EX)
        with pytest.raises(UploadBusy):
            send(upload, b"123")


def test_offset_is_asked_again_under_the_lock(begin, monkeypatch):
    upload = begin(10)
    real = files.locked_part

    @contextmanager
    def after_another_sender(upload_uuid):
        files.part_path(upload_uuid).write_bytes(b"12345")
        with real(upload_uuid) as file:
            yield file

    monkeypatch.setattr(files, "locked_part", after_another_sender)
    with pytest.raises(WrongOffset):
        send(upload, b"abc")

    assert stored(upload) == b"12345"


def test_expired_upload_is_gone(begin):
    upload = begin(10)
    later = NOON + uploading.STAYS_OPEN

    with pytest.raises(UploadGone):
        offset_of(upload, at=later)
    with pytest.raises(UploadGone):
        send(upload, b"123", at=later)


def test_upload_whose_file_was_lost_is_gone(begin):
    upload = begin(10)
    files.remove_part(upload.uuid)

    with pytest.raises(UploadGone):
        offset_of(upload, at=NOON)


def test_withdrawn_consent_stops_an_upload_under_way(cast, begin):
    upload = begin(10)
    withdrawn = {"kind": ConsentKind.VIDEO, "action": ConsentAction.WITHDRAWN}
    f.ConsentFactory(client=cast.client, at=NOON + datetime.timedelta(minutes=1), **withdrawn)

    with pytest.raises(VideoConsentMissing):
        send(upload, b"123")

    assert ConsentEvent.objects.count() == 2


def test_taking_back_removes_rows_and_file(begin):
    upload = begin(10)

    take_back_upload(upload)

    assert (Upload.objects.count(), Clip.objects.count(), files.part_size(upload.uuid)) == (0, 0, None)


def test_finished_upload_cannot_be_taken_back(begin):
    upload = begin(3)
    send(upload, b"123")

    with pytest.raises(UploadGone):
        take_back_upload(upload)

    assert (Clip.objects.count(), stored(upload)) == (1, b"123")
