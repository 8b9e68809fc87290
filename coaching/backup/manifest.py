"""The list of what a backup holds, with checksums: without it, or when it does not fit, there is no backup."""

import hashlib
import json
import os
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import IO, Any

from coaching.backup.errors import BackupRefused

FORMAT = 1
NAME = "manifest.json"
# As `sha256sum -c` reads it.
CHECKSUM = "manifest.json.sha256"
PIECE = 1024 * 1024


@dataclass
class Kept:
    """One file of the backup."""

    bytes: int
    sha256: str
    rows: int | None = None


@dataclass
class Manifest:
    """What was backed up, from where and when. It names no person and holds no secret."""

    started_at: str
    source: dict[str, str]
    migrations: list[tuple[str, str]]
    left_out: dict[str, str]
    finished_at: str = ""
    files: dict[str, Kept] = field(default_factory=dict)
    # "model uuid" of what was erased while the backup ran: its files are not in it, and not missed.
    erased: list[str] = field(default_factory=list)
    # "model uuid" of rows that name a file which was not there, though nobody erased it.
    lost: list[str] = field(default_factory=list)
    format: int = FORMAT

    def tables(self) -> dict[str, Kept]:
        return {path: kept for path, kept in self.files.items() if kept.rows is not None}


def write(manifest: Manifest, folder: Path) -> None:
    text = json.dumps(asdict(manifest), indent=1, ensure_ascii=False).encode() + b"\n"
    keep(folder / NAME, [text])
    keep(folder / CHECKSUM, [f"{hashlib.sha256(text).hexdigest()}  {NAME}\n".encode()])


def keep(path: Path, pieces: Iterable[bytes]) -> Kept:
    """Write a file that only we may read, safely on the disk when this returns."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    digest, size = hashlib.sha256(), 0
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        for piece in pieces:
            file.write(piece)
            digest.update(piece)
            size += len(piece)
        file.flush()
        os.fsync(file.fileno())
    return Kept(size, digest.hexdigest())


def sealed(path: Path) -> Kept:
    """The same for a file that others wrote."""
    path.chmod(0o600)
    with path.open("rb") as file:
        os.fsync(file.fileno())
    return _counted(path)


def pieces_of(file: IO[bytes]) -> Iterable[bytes]:
    return iter(lambda: file.read(PIECE), b"")


def read(folder: Path) -> Manifest:
    """The manifest of a whole backup. Refused when it is damaged, or of a format that this code does not know."""
    try:
        text = (folder / NAME).read_bytes()
        checksum = (folder / CHECKSUM).read_text().split()
    except FileNotFoundError as error:
        raise BackupRefused(f"{folder} is no whole backup: {Path(error.filename).name} is missing.") from error
    if checksum[:1] != [hashlib.sha256(text).hexdigest()]:
        raise BackupRefused(f"{NAME} is damaged: its checksum differs.")
    return _parsed(json.loads(text))


def _parsed(said: dict[str, Any]) -> Manifest:
    if said.get("format") != FORMAT:
        raise BackupRefused(f"The backup has the format {said.get('format')}; this Purlin knows {FORMAT}.")
    said["files"] = {path: Kept(**kept) for path, kept in said["files"].items()}
    said["migrations"] = [(app, name) for app, name in said["migrations"]]
    return Manifest(**said)


def verify(folder: Path, manifest: Manifest, *, say: Callable[[str], None]) -> None:
    """Refused when a file is missing, damaged, or not in the manifest."""
    present = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if not path.is_dir()}
    if missing := sorted(manifest.files.keys() - present):
        raise BackupRefused(f"{missing[0]} is missing ({len(missing)} files are).")
    if strange := sorted(present - manifest.files.keys() - {NAME, CHECKSUM}):
        raise BackupRefused(f"{strange[0]} is not in the manifest ({len(strange)} files are not).")
    for path, kept in manifest.files.items():
        if _counted(folder / path, lines=kept.rows is not None) != kept:
            raise BackupRefused(f"{path} is damaged: its checksum differs.")
    say(f"{len(manifest.files)} files are whole.")


def _counted(path: Path, *, lines: bool = False) -> Kept:
    digest, size, ends = hashlib.sha256(), 0, 0
    with path.open("rb") as file:
        for piece in pieces_of(file):
            digest.update(piece)
            size += len(piece)
            ends += piece.count(b"\n")
    # The first line names the columns.
    return Kept(size, digest.hexdigest(), ends - 1 if lines else None)
