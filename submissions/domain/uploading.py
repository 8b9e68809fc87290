"""Resumable uploads of clips. The truth about the offset is the file's size on the disk; the row follows it."""

import datetime
import errno
import hashlib
import os
from dataclasses import dataclass
from io import FileIO
from typing import Protocol

from django.conf import settings
from django.db import transaction
from django.db.models import F, Sum

import jobs
from clients.choices import ConsentKind
from clients.domain.consent import has_consent
from clients.models import Client
from programs.models import Prescription, ScheduledSession
from submissions.choices import CameraSide, ClipState, SubmissionKind
from submissions.domain import files, queueing
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
from submissions.models import Clip, Upload

OPEN_UPLOADS_PER_CLIENT = 4
STAYS_OPEN = datetime.timedelta(days=2)
PIECE = 256 * 1024
CHECKSUMS = ("sha1", "sha256")


class Reads(Protocol):
    def __call__(self, size: int, /) -> bytes: ...


@dataclass(frozen=True)
class Checksum:
    algorithm: str
    digest: bytes


def open_upload(
    client: Client,
    *,
    scheduled: ScheduledSession,
    prescription: Prescription,
    camera_side: CameraSide | str,
    question: str,
    length: int,
    at: datetime.datetime,
) -> Upload:
    """Begin a clip of one movement of one session.

    Raises VideoConsentMissing, EmptyFile, ClipTooLarge, TooManyOpenUploads, NoRoom.
    """
    _require_consent(client)
    if length <= 0:
        raise EmptyFile
    if length > settings.CLIP_MAX_BYTES:
        raise ClipTooLarge
    with transaction.atomic():
        # Lock the client: two tabs may both see the last free place.
        Client.objects.select_for_update().get(pk=client.pk)
        _require_a_place(client, length=length, at=at)
        clip = Clip.objects.create(
            practice_id=client.practice_id,
            client=client,
            scheduled=scheduled,
            movement=prescription.movement,
            lineage=prescription.lineage,
            training_day=scheduled.on,
            camera_side=camera_side,
            question=question,
            size_bytes=length,
        )
        upload = Upload.objects.create(
            practice_id=client.practice_id, client=client, clip=clip, length=length, expires_at=at + STAYS_OPEN
        )
        files.create_part(upload.uuid)
    return upload


def _require_consent(client: Client) -> None:
    if not has_consent(client, ConsentKind.VIDEO):
        raise VideoConsentMissing


def _require_a_place(client: Client, *, length: int, at: datetime.datetime) -> None:
    waiting = Upload.objects.filter(finished_at=None, expires_at__gt=at)
    if waiting.of(client).count() >= OPEN_UPLOADS_PER_CLIENT:
        raise TooManyOpenUploads
    promised = waiting.aggregate(bytes=Sum(F("length") - F("offset")))["bytes"] or 0
    if files.free_bytes() < promised + length:
        raise NoRoom


def offset_of(upload: Upload, *, at: datetime.datetime) -> int:
    """How much has arrived. Raises UploadGone."""
    if upload.finished_at is not None:
        return upload.length
    size = files.part_size(upload.uuid)
    if upload.expires_at <= at or size is None:
        raise UploadGone
    return size


def append(upload: Upload, *, offset: int, read: Reads, at: datetime.datetime, checksum: Checksum | None = None) -> int:
    """Add what `read` gives to the upload and return the new offset; the last piece submits the clip.

    A sender that vanishes leaves what arrived. A piece with a wrong checksum leaves nothing.
    Raises VideoConsentMissing, UploadGone, UploadBusy, WrongOffset, MoreThanAnnounced, ChecksumMismatch, NoRoom.
    """
    _require_consent(upload.client)
    if offset_of(upload, at=at) != offset:
        raise WrongOffset
    if upload.finished_at is not None:
        return upload.length
    try:
        with files.locked_part(upload.uuid) as file:
            size = _append_locked(upload, file, offset=offset, read=read, checksum=checksum)
    except FileNotFoundError as error:
        raise UploadGone from error
    if size == upload.length:
        finish_upload(upload, at=at)
    return size


def _append_locked(upload: Upload, file: FileIO, *, offset: int, read: Reads, checksum: Checksum | None) -> int:
    # Asked again under the lock: another sender may have been at work until now.
    if file.seek(0, os.SEEK_END) != offset:
        raise WrongOffset
    try:
        written = _copy(read, file, most=upload.length - offset, checksum=checksum)
    except (MoreThanAnnounced, ChecksumMismatch):
        file.truncate(offset)
        raise
    except OSError as error:
        if error.errno not in (errno.ENOSPC, errno.EDQUOT):
            raise
        file.truncate(offset)
        raise NoRoom from error
    os.fsync(file.fileno())
    _mirror(upload, offset + written)
    return offset + written


def _copy(read: Reads, file: FileIO, *, most: int, checksum: Checksum | None) -> int:
    digest = hashlib.new(checksum.algorithm, usedforsecurity=False) if checksum else None
    left = most
    while left and (piece := read(min(PIECE, left))):
        _write(file, piece)
        left -= len(piece)
        if digest is not None:
            digest.update(piece)
    if not left and read(1):
        raise MoreThanAnnounced
    if checksum and digest and digest.digest() != checksum.digest:
        raise ChecksumMismatch
    return most - left


def _write(file: FileIO, piece: bytes) -> None:
    """All of a piece. The file is unbuffered, so that nothing can surface after it was cut back."""
    while piece:
        piece = piece[file.write(piece) :]


def _mirror(upload: Upload, size: int) -> None:
    """Bring the row to the file's size. By compare-and-set, so that two machines cannot both believe they wrote."""
    known = Upload.objects.values_list("offset", flat=True).get(pk=upload.pk)
    if not Upload.objects.filter(pk=upload.pk, offset=known, finished_at=None).update(offset=size):
        raise UploadBusy


def finish_upload(upload: Upload, *, at: datetime.datetime) -> None:
    """Submit the clip whose bytes are all here, and ask for its preparation. The second time does nothing."""
    with transaction.atomic():
        locked = Upload.objects.select_for_update(of=("self",)).select_related("clip__client__practice")
        upload = locked.get(pk=upload.pk)
        if upload.finished_at is not None:
            return
        clip = upload.clip
        upload.offset, upload.finished_at = upload.length, at
        upload.save(update_fields=["offset", "finished_at"])
        clip.state, clip.received_at = ClipState.RECEIVED, at
        clip.save(update_fields=["state", "received_at"])
        queueing.submit(clip.client, kind=SubmissionKind.CLIP, at=at, clip=clip, text=clip.question)
        jobs.request("submissions.process_clip", clip.pk, key=f"clip {clip.pk}")


def take_back_upload(upload: Upload) -> None:
    """Remove an upload that never became a clip. Raises UploadGone when it did, UploadBusy while it is written."""
    try:
        with files.locked_part(upload.uuid):
            _delete_unfinished(upload)
            files.remove_part(upload.uuid)
    except FileNotFoundError:
        _delete_unfinished(upload)


def _delete_unfinished(upload: Upload) -> None:
    with transaction.atomic():
        if not Upload.objects.filter(pk=upload.pk, finished_at=None).delete()[0]:
            raise UploadGone
        Clip.objects.filter(pk=upload.clip_id, state=ClipState.UPLOADING).delete()
