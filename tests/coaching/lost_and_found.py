"""For the tests of backups: taking one, losing everything, getting it back."""

import uuid
from pathlib import Path

from django.core.management import call_command
from django.utils import timezone

from coaching.backup.manifest import Manifest
from coaching.backup.restoring import restore_backup
from coaching.backup.taking import take_backup
from submissions.choices import ClipState
from submissions.domain import files
from submissions.domain.storage import clip_storage
from submissions.models import Clip
from tests import factories as f


def backup(folder: Path, name: str = "backup") -> Manifest:
    return take_backup(folder / name, now=timezone.now)


def restore(folder: Path, name: str = "backup") -> Manifest:
    return restore_backup(folder / name, say=lambda _: None)


def lose_everything() -> None:
    call_command("flush", interactive=False, verbosity=0)
    empty_storage()


def empty_storage() -> None:
    for stored in list(clip_storage().files_below("")):
        clip_storage().delete(stored.name)
    for part in files.part_path(uuid.uuid4()).parent.glob("*.part"):
        part.unlink()


def film(folder: Path, **how) -> Clip:
    """A clip that is ready, with its two files."""
    clip = f.ClipFactory(**how)
    for column, suffix in [("review_copy", ".mp4"), ("poster", ".jpg")]:
        made = folder / f"made{suffix}"
        made.write_bytes(f"{column} of {clip.uuid}".encode())
        setattr(clip, column, files.keep(made, clip, suffix))
    clip.save()
    return clip


def receive(content: bytes = b"as it was sent") -> Clip:
    """A clip that arrived and waits to be prepared."""
    upload = f.UploadFactory(length=len(content), offset=len(content), finished_at=f.NOON)
    files.create_part(upload.uuid)
    files.part_path(upload.uuid).write_bytes(content)
    received = {"state": ClipState.RECEIVED, "review_copy": "", "poster": "", "frame_times": None}
    Clip.objects.filter(pk=upload.clip_id).update(original=files.carry(upload), **received)
    return Clip.objects.get(pk=upload.clip_id)


def content_of(name: str, folder: Path) -> bytes:
    target = folder / "fetched"
    clip_storage().fetch(name, target)
    return target.read_bytes()
