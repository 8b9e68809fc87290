"""Where the bytes of clips lie: uploads being assembled, and what was made of them. All names are our own."""

import datetime
import fcntl
import os
import shutil
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from io import FileIO
from pathlib import Path

from django.conf import settings
from django.core.files import File
from django.core.files.storage import default_storage
from django.db.models import Q

from submissions.errors import UploadBusy
from submissions.models import Clip

CLIPS = "clips"
# Kept free besides what open uploads still need: the database and the review copies live on the same disk.
SPARE_BYTES = 512 * 1024 * 1024


def part_path(upload_uuid: uuid.UUID) -> Path:
    return Path(settings.UPLOAD_ROOT) / f"{upload_uuid}.part"


def create_part(upload_uuid: uuid.UUID) -> None:
    path = part_path(upload_uuid)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch(mode=0o600, exist_ok=False)
    fsync_folder(path.parent)


@contextmanager
def locked_part(upload_uuid: uuid.UUID) -> Iterator[FileIO]:
    """The upload's file, for one writer at a time. Raises UploadBusy; FileNotFoundError when it was removed.

    The lock holds on one machine. Web processes on several machines need an upload folder each and sticky addresses.
    """
    with part_path(upload_uuid).open("r+b", buffering=0) as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            raise UploadBusy from error
        if os.fstat(file.fileno()).st_nlink == 0:  # removed between opening and locking
            raise FileNotFoundError(file.name)
        yield file


def part_size(upload_uuid: uuid.UUID) -> int | None:
    try:
        return part_path(upload_uuid).stat().st_size
    except FileNotFoundError:
        return None


def remove_part(upload_uuid: uuid.UUID) -> None:
    part_path(upload_uuid).unlink(missing_ok=True)


def free_bytes() -> int:
    root = Path(settings.UPLOAD_ROOT)
    root.mkdir(parents=True, exist_ok=True)
    return shutil.disk_usage(root).free - SPARE_BYTES


def fsync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def keep(made: Path, clip: Clip, suffix: str) -> str:
    """Put a finished file into the storage under a name nobody can guess. Returns the name.

    Safe on the disk before it returns, because the original is deleted next.
    """
    with made.open("rb") as file:
        name = default_storage.save(f"{CLIPS}/{clip.uuid}/{uuid.uuid4().hex}{suffix}", File(file))
    try:
        path = Path(default_storage.path(name))
    except NotImplementedError:
        return name  # no folder: such storages answer only when they have it
    with path.open("rb") as stored:
        os.fsync(stored.fileno())
    fsync_folder(path.parent)
    return name


def discard(*names: str) -> None:
    for name in names:
        if name:
            default_storage.delete(name)


def unclaimed_files(*, before: datetime.datetime) -> list[str]:
    """Files of clips that no row names, older than any job still running could have made them."""
    try:
        folders = default_storage.listdir(CLIPS)[0]
    except FileNotFoundError:
        return []
    names = [name for folder in folders for name in _files_in(f"{CLIPS}/{folder}")]
    return [name for name in names if default_storage.get_modified_time(name) < before and not _is_claimed(name)]


def _files_in(folder: str) -> list[str]:
    return [f"{folder}/{name}" for name in default_storage.listdir(folder)[1]]


def _is_claimed(name: str) -> bool:
    return Clip.objects.filter(Q(original=name) | Q(review_copy=name) | Q(poster=name)).exists()
