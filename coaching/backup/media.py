"""The files that rows speak of, clips above all: into a backup and out of it.

A file is written before the row that names it and never changes. It goes in two ways only: a received original once
its review copy stands, and everything when the row is erased.
"""

import contextlib
import shutil
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from uuid import UUID

from coaching.backup.contents import Model, file_columns, label, rows_of
from coaching.backup.errors import BackupRefused
from coaching.backup.manifest import Kept, keep, pieces_of, sealed
from submissions.choices import ClipState
from submissions.domain import files
from submissions.domain.storage import clip_storage
from submissions.models import Clip, Upload

# Below these a backup keeps what lies in the storage, and originals that still lie where uploads are assembled.
STORED, RECEIVED = "files", "received"


@dataclass(frozen=True)
class Owner:
    """The row that names a file."""

    model: str
    uuid: UUID

    def __str__(self) -> str:
        return f"{self.model} {self.uuid}"


@dataclass(frozen=True)
class NamedFile:
    """A file that a row speaks of, by its path in the backup."""

    path: str
    owner: Owner


def received(models: dict[str, Model], using: str) -> list[NamedFile]:
    """Originals that wait to be prepared, in the order in which workers take them."""
    uploads = models["submissions.upload"]._base_manager.using(using).filter(clip__state=ClipState.RECEIVED)
    found = uploads.order_by("finished_at", "pk").values_list("uuid", "clip__uuid", "clip__original")
    return [
        NamedFile(f"{STORED}/{original}" if original else f"{RECEIVED}/{upload}", Owner("submissions.clip", clip))
        for upload, clip, original in found
    ]


def stored(models: dict[str, Model], using: str) -> Iterator[NamedFile]:
    for model in _with_files(models):
        for uuid, *names in rows_of(model, using).values_list("uuid", *file_columns(model)).iterator():
            yield from (NamedFile(f"{STORED}/{name}", Owner(label(model), uuid)) for name in names if name)


def standing(models: dict[str, Model]) -> set[Owner]:
    """The rows with files that nobody has erased by now."""
    found: set[Owner] = set()
    for model in _with_files(models):
        uuids = model._base_manager.filter(erased_at=None).values_list("uuid", flat=True)
        found |= {Owner(label(model), uuid) for uuid in uuids}
    return found


def _with_files(models: dict[str, Model]) -> list[Model]:
    return [model for model in models.values() if file_columns(model)]


@dataclass
class Copies:
    """What was copied into a backup's folder so far, and what was not there."""

    folder: Path
    kept: dict[NamedFile, Kept] = field(default_factory=dict)
    missing: set[NamedFile] = field(default_factory=set)

    def add(self, wanted: Iterable[NamedFile]) -> None:
        for file in wanted:
            if file in self.kept:
                continue
            try:
                self.kept[file] = _copied(file.path, self.folder / file.path)
            except FileNotFoundError:
                self.missing.add(file)

    def drop(self, is_unwanted: Callable[[NamedFile], bool]) -> None:
        self.missing = {file for file in self.missing if not is_unwanted(file)}
        for file in [file for file in self.kept if is_unwanted(file)]:
            (self.folder / file.path).unlink()
            del self.kept[file]


def _copied(path: str, target: Path) -> Kept:
    place, _, name = path.partition("/")
    if place == RECEIVED:
        with files.part_path(UUID(name)).open("rb") as part:
            return keep(target, pieces_of(part))
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    clip_storage().fetch(name, target)
    return sealed(target)


def refuse_unless_no_files() -> None:
    """Nothing may be there before a restore: whose it is could not be told afterwards."""
    parts = files.part_path(UUID(int=0)).parent.glob("*.part")
    if any(parts) or any(clip_storage().files_below("")):
        raise BackupRefused(
            "There are clips already. Restore into an empty place: another PURLIN_VAR, or another bucket."
        )


@contextlib.contextmanager
def put_back(folder: Path, paths: Iterable[str]) -> Iterator[None]:
    """Put files where they belong, and take them away again when what follows fails."""
    done: list[str] = []
    try:
        for path in paths:
            done.append(path)
            _put(folder / path, path)
        yield
    except BaseException:
        for path in done:
            _take_away(path)
        raise


def _put(source: Path, path: str) -> None:
    place, _, name = path.partition("/")
    if place == RECEIVED:
        with source.open("rb") as file:
            keep(files.part_path(UUID(name)), pieces_of(file))
        return
    # A copy: a storage may take over the file it is given.
    with files.work_folder() as folder:
        copy = folder / "copy"
        shutil.copyfile(source, copy)
        clip_storage().put(copy, name)


def _take_away(path: str) -> None:
    place, _, name = path.partition("/")
    if place == RECEIVED:
        files.remove_part(UUID(name))
    else:
        clip_storage().delete(name)


def carry_received() -> None:
    """Bring originals that lie on this machine alone to where every worker finds them."""
    waiting = Upload.objects.filter(clip__state=ClipState.RECEIVED, clip__original="").select_related("clip")
    for upload in waiting:
        if original := files.carry(upload):
            Clip.objects.filter(pk=upload.clip_id).update(original=original)
            files.remove_part(upload.uuid)
