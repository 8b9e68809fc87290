"""Tidying up after what was broken off: uploads nobody finished, and files that no row knows."""

import datetime
import shutil
import uuid
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings
from django.db.models import QuerySet

from submissions.choices import ClipState
from submissions.domain import files
from submissions.domain.processing import LOST, WORK, refuse_clip
from submissions.domain.uploading import finish_upload, take_back_upload
from submissions.errors import UploadBusy, UploadGone
from submissions.models import Clip, Upload

# Longer than any job or request runs, so that nobody is still at work on what is removed.
UNCLAIMED_AFTER = datetime.timedelta(days=1)


def sweep_files(*, at: datetime.datetime) -> None:
    """Finish what is complete, remove what expired or belongs to nothing. Safe at any moment, any number of times."""
    finish_complete_uploads(at=at)
    remove_expired_uploads(at=at)
    refuse_lost_clips(at=at)
    remove_unclaimed_parts(at=at)
    files.discard(*files.unclaimed_files(before=at - UNCLAIMED_AFTER))


def finish_complete_uploads(*, at: datetime.datetime) -> None:
    """A crash between the last byte and its transaction leaves a whole file that was never submitted."""
    for upload in _unfinished().filter(expires_at__gt=at):
        if files.part_size(upload.uuid) == upload.length:
            finish_upload(upload, at=at)


def remove_expired_uploads(*, at: datetime.datetime) -> None:
    for upload in _unfinished().filter(expires_at__lte=at):
        try:
            take_back_upload(upload)
        except (UploadBusy, UploadGone):
            continue


def refuse_lost_clips(*, at: datetime.datetime) -> None:
    """A received clip whose file is gone can never be prepared. A day's grace, in case a disk is only unmounted."""
    received = Clip.objects.filter(state=ClipState.RECEIVED, received_at__lt=at - UNCLAIMED_AFTER)
    for clip in received.select_related("upload", "client__practice"):
        if files.part_size(clip.upload.uuid) is None:
            refuse_clip(clip, reason=LOST)


def remove_unclaimed_parts(*, at: datetime.datetime) -> None:
    """Originals whose clip has moved on, files of deleted uploads, and work folders of killed workers."""
    needed = {str(upload_uuid) for upload_uuid in _needed_parts()}
    for path in _old_files(before=at - UNCLAIMED_AFTER):
        if path.name.startswith(WORK) and path.is_dir():
            shutil.rmtree(path, ignore_errors=True)
        elif path.suffix == ".part" and path.stem not in needed:
            path.unlink(missing_ok=True)


def _unfinished() -> QuerySet[Upload]:
    return Upload.objects.filter(finished_at=None).select_related("client")


def _needed_parts() -> Iterator[uuid.UUID]:
    yield from _unfinished().values_list("uuid", flat=True)
    yield from Upload.objects.filter(clip__state=ClipState.RECEIVED).values_list("uuid", flat=True)


def _old_files(*, before: datetime.datetime) -> list[Path]:
    root = Path(settings.UPLOAD_ROOT)
    return [path for path in root.iterdir() if path.stat().st_mtime < before.timestamp()] if root.exists() else []
