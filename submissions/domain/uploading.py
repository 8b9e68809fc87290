"""Resumable uploads of clips. The truth about the offset is the file's size on the disk; the row follows it."""

import datetime
import errno
import hashlib
import os
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
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
    # The file first: it goes after the row says that the upload is finished.
    size = files.part_size(upload.uuid)
    if is_finished(upload):
        return upload.length
    if size is None or (upload.expires_at <= at and size < upload.length):
        raise UploadGone
    return size


def is_finished(upload: Upload) -> bool:
    """As the row says now, not when it was read."""
    return Upload.objects.filter(pk=upload.pk, finished_at__isnull=False).exists()


def append(upload: Upload, *, offset: int, read: Reads, at: datetime.datetime, checksum: Checksum | None = None) -> int:
    """Add what `read` gives to the upload and return the new offset; the last piece submits the clip.

    A sender that vanishes leaves what arrived. A piece with a wrong checksum leaves nothing.
    Raises VideoConsentMissing, UploadGone, UploadBusy, WrongOffset, MoreThanAnnounced, ChecksumMismatch, NoRoom, and
    StorageUnavailable after the last piece: it is kept, and asking again (finish_upload) goes on from there.
    """
    _require_consent(upload.client)
    if offset_of(upload, at=at) != offset:
        raise WrongOffset
    if is_finished(upload):
        return upload.length
    with _locked(upload) as file:
        size = _append_locked(upload, file, offset=offset, read=read, checksum=checksum)
        if size == upload.length:
            _finish_locked(upload, at=at)
    return size


@contextmanager
def _locked(upload: Upload) -> Iterator[FileIO]:
    with ExitStack() as stack:
        try:
            file = stack.enter_context(files.locked_part(upload.uuid))
        except FileNotFoundError as error:
            # Carried away by who finished it, or removed.
            raise (WrongOffset if is_finished(upload) else UploadGone) from error
        yield file


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
    """Submit the clip whose bytes are all here, and ask for its preparation. The second time does nothing.

    Raises UploadBusy, UploadGone, StorageUnavailable.
    """
    if is_finished(upload):
        return
    with _locked(upload):
        _finish_locked(upload, at=at)


def _finish_locked(upload: Upload, *, at: datetime.datetime) -> None:
    """First the bytes are carried to where every worker reaches them, then row and job appear, last the file here goes.

    A crash in between leaves the whole file, which is carried again, and perhaps a copy for the sweep.
    """
    if is_finished(upload):
        return
    original = files.carry(upload)
    try:
        _submit(upload, original=original, at=at)
    except UploadGone:
        # Any other error leaves the copy to the sweep: a commit whose answer was lost may have named it.
        files.discard(original)
        raise


def _submit(upload: Upload, *, original: str, at: datetime.datetime) -> None:
    with transaction.atomic():
        locked = Upload.objects.select_for_update(of=("self",)).select_related("clip__client__practice")
        found = locked.filter(pk=upload.pk, finished_at=None).first()
        if found is None:
            raise UploadGone
        found.offset, found.finished_at = found.length, at
        found.save(update_fields=["offset", "finished_at"])
        clip = found.clip
        received = {"state": ClipState.RECEIVED, "received_at": at, "original": original}
        # An erasure meanwhile stays one.
        if not Clip.objects.filter(pk=clip.pk, state=ClipState.UPLOADING).update(**received):
            raise UploadGone
        clip.refresh_from_db(fields=list(received))
        queueing.submit(clip.client, kind=SubmissionKind.CLIP, at=at, clip=clip, text=clip.question)
        jobs.request("submissions.process_clip", clip.pk, practice=clip.practice_id, key=f"clip {clip.pk}")
        if original:
            transaction.on_commit(lambda: files.remove_part(upload.uuid))


def take_back_upload(upload: Upload) -> None:
    """Remove an upload that never became a clip.

    Raises UploadGone when it did, UploadBusy while it is written, StorageUnavailable.
    """
    try:
        with files.locked_part(upload.uuid):
            if is_finished(upload):
                raise UploadGone
            # Before the row: without it, a copy that a crash left behind could not be told from a stranger's.
            files.discard_all_of(upload.clip.uuid)
            _delete_unfinished(upload)
            files.remove_part(upload.uuid)
    except FileNotFoundError:
        # After the row: another machine may be carrying the file at this moment.
        _delete_unfinished(upload)
        files.discard_all_of(upload.clip.uuid)


def _delete_unfinished(upload: Upload) -> None:
    with transaction.atomic():
        if not Upload.objects.filter(pk=upload.pk, finished_at=None).delete()[0]:
            raise UploadGone
        Clip.objects.filter(pk=upload.clip_id, state=ClipState.UPLOADING).delete()
