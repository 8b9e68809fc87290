"""Tidying up after what was broken off: uploads nobody finished, and files that no row knows."""

import datetime
import shutil
import uuid
from collections.abc import Iterator
from contextlib import suppress

from django.db.models import F, Q, QuerySet

from submissions.choices import ClipState
from submissions.domain import files
from submissions.domain.demonstrations import give_up_demonstrations
from submissions.domain.processing import LOST, refuse_clip
from submissions.domain.uploading import finish_upload, take_back_upload
from submissions.errors import UploadBusy, UploadGone
from submissions.models import Clip, Upload

# Longer than any job or request runs, so that nobody is still at work on what is removed.
UNCLAIMED_AFTER = datetime.timedelta(days=1)
LOST_AFTER = datetime.timedelta(days=14)


def sweep_files(*, at: datetime.datetime) -> None:
    """Finish what is complete, remove what expired or belongs to nothing. Safe at any moment, any number of times.

    Raises StorageUnavailable before anything is given up or removed that only the storage could tell about.
    """
    remove_unclaimed_parts(at=at)
    finish_complete_uploads(at=at)
    remove_expired_uploads(at=at)
    refuse_lost_clips(at=at)
    give_up_demonstrations(before=at - UNCLAIMED_AFTER)
    files.discard(*files.unclaimed_files(before=at - UNCLAIMED_AFTER))
    files.clear_broken_off(before=at - UNCLAIMED_AFTER)


def finish_complete_uploads(*, at: datetime.datetime) -> None:
    """A crash or an outage after the last byte leaves a whole file that was never submitted, however long ago."""
    for upload in _unfinished().exclude(clip__state=ClipState.ERASED):
        if files.part_size(upload.uuid) == upload.length:
            with suppress(UploadBusy, UploadGone):
                finish_upload(upload, at=at)


def remove_expired_uploads(*, at: datetime.datetime) -> None:
    """A whole file may lie on another machine, waiting for that one's sweep: its row stays two weeks longer."""
    whole_elsewhere = Q(offset=F("length"), expires_at__gt=at - LOST_AFTER)
    for upload in _unfinished().filter(expires_at__lte=at).exclude(whole_elsewhere):
        with suppress(UploadBusy, UploadGone):
            take_back_upload(upload)


def refuse_lost_clips(*, at: datetime.datetime) -> None:
    """A received clip whose file is gone can never be prepared. A day's grace, in case a disk is only unmounted."""
    received = Clip.objects.filter(state=ClipState.RECEIVED, received_at__lt=at - UNCLAIMED_AFTER)
    for clip in received.select_related("upload", "client__practice"):
        if not files.has_original(clip):
            refuse_clip(clip, reason=LOST)


def remove_unclaimed_parts(*, at: datetime.datetime) -> None:
    """Originals whose clip has moved on, files of deleted uploads, and work folders of killed workers."""
    needed = {str(upload_uuid) for upload_uuid in _needed_parts()}
    for path in files.old_files(before=at - UNCLAIMED_AFTER):
        if path.name.startswith(files.WORK) and path.is_dir():
            shutil.rmtree(path, ignore_errors=True)
        elif path.suffix == ".part" and path.stem not in needed:
            path.unlink(missing_ok=True)


def _unfinished() -> QuerySet[Upload]:
    return Upload.objects.filter(finished_at=None).select_related("client", "clip")


def _needed_parts() -> Iterator[uuid.UUID]:
    yield from _unfinished().exclude(clip__state=ClipState.ERASED).values_list("uuid", flat=True)
    waiting = Upload.objects.filter(clip__state=ClipState.RECEIVED, clip__original="")
    yield from waiting.values_list("uuid", flat=True)
