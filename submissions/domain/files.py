"""Where the bytes of clips lie: uploads being assembled on this machine, and what is stored. All names are our own."""

import datetime
import fcntl
import os
import shutil
import tempfile
import uuid
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from io import FileIO
from itertools import islice
from pathlib import Path

from django.conf import settings

from submissions.domain.storage import clip_storage
from submissions.domain.storage.folder import fsync_folder
from submissions.errors import UploadBusy
from submissions.models import Clip, DemonstrationClip, Upload

CLIPS = "clips"
DEMONSTRATIONS = "demonstrations"
# Whose files lie below which folder: a file there belongs to the row whose id stands in its name.
OWNERS: dict[str, type[Clip | DemonstrationClip]] = {CLIPS: Clip, DEMONSTRATIONS: DemonstrationClip}
WORK = "work-"
# Kept free besides what open uploads still need: the database and the review copies live on the same disk.
SPARE_BYTES = 512 * 1024 * 1024
CHECKED_AT_ONCE = 500


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


def carry(upload: Upload) -> str:
    """Bring a whole upload to where every worker reaches it. Returns its name there; "" when it can stay where it is.

    Raises StorageUnavailable.
    """
    storage = clip_storage()
    if storage.is_shared_folder:
        return ""
    name = f"{CLIPS}/{upload.clip.uuid}/{uuid.uuid4().hex}"
    storage.put(part_path(upload.uuid), name)
    return name


@contextmanager
def work_folder() -> Iterator[Path]:
    root = Path(settings.UPLOAD_ROOT)
    root.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=WORK, dir=root) as folder:
        yield Path(folder)


def original_of(clip: Clip, *, folder: Path) -> Path:
    """The file that was received: where it lies, or fetched into this folder. Raises StorageUnavailable."""
    if not clip.original:
        return part_path(clip.upload.uuid)
    fetched = folder / "received"
    clip_storage().fetch(clip.original, fetched)
    return fetched


def has_original(clip: Clip) -> bool:
    """Raises StorageUnavailable: then nobody can tell."""
    if not clip.original:
        return part_size(clip.upload.uuid) is not None
    try:
        clip_storage().look_up(clip.original)
    except FileNotFoundError:
        return False
    return True


def new_name(owner: Clip | DemonstrationClip, suffix: str = "") -> str:
    """A name that nobody can guess, below the folder of a clip."""
    folder = DEMONSTRATIONS if isinstance(owner, DemonstrationClip) else CLIPS
    return f"{folder}/{owner.uuid}/{uuid.uuid4().hex}{suffix}"


def keep(made: Path, owner: Clip | DemonstrationClip, suffix: str) -> str:
    """Put a finished file into the storage. Returns the name.

    Stored for good before it returns, because the original is deleted next.
    """
    name = new_name(owner, suffix)
    clip_storage().put(made, name)
    return name


def discard(*names: str) -> None:
    for name in names:
        if name:
            clip_storage().delete(name)


def discard_all_of(clip_uuid: uuid.UUID) -> None:
    discard(*[found.name for found in clip_storage().files_below(f"{CLIPS}/{clip_uuid}")])


def unclaimed_files(*, before: datetime.datetime) -> Iterator[str]:
    """Files of our clips that no row names, older than any job still running could have made them.

    Those of a clip that this database does not know are left alone: another installation's, should a storage ever
    be shared by mistake.
    """
    for folder, model in OWNERS.items():
        old = (found.name for found in clip_storage().files_below(folder) if found.modified_at < before)
        while names := list(islice(old, CHECKED_AT_ONCE)):
            yield from _unclaimed(names, model)


def _unclaimed(names: list[str], model: type[Clip | DemonstrationClip]) -> list[str]:
    clips = {name: _clip_uuid(name) for name in names}
    known = model._default_manager.filter(uuid__in=filter(None, clips.values()))
    ours, claimed = set(), set()
    for clip_uuid, *its_names in known.values_list("uuid", "original", "review_copy", "poster"):
        ours.add(clip_uuid)
        claimed.update(its_names)
    return [name for name, clip_uuid in clips.items() if clip_uuid in ours and name not in claimed]


def _clip_uuid(name: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(name.split("/")[1])
    except (IndexError, ValueError):
        return None


def clear_broken_off(*, before: datetime.datetime) -> None:
    clip_storage().clear_broken_off(before=before)


def old_files(*, before: datetime.datetime) -> Iterable[Path]:
    """In the upload folder of this machine."""
    root = Path(settings.UPLOAD_ROOT)
    return [path for path in root.iterdir() if path.stat().st_mtime < before.timestamp()] if root.exists() else []
