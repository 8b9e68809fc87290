"""Clips in a folder. Web and workers see the same one."""

import datetime
import os
import shutil
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO, cast

from django.core.files import File
from django.core.files.storage import FileSystemStorage

from submissions.domain.storage import Stored


class FolderStorage(FileSystemStorage):
    is_shared_folder = True

    def put(self, made: Path, name: str) -> None:
        with made.open("rb") as file:
            stored = Path(self.path(self.save(name, _OnDisk(file))))
        with stored.open("rb") as file:
            os.fsync(file.fileno())
        fsync_folder(stored.parent)

    def look_up(self, name: str) -> Stored:
        found = Path(self.path(name)).stat()
        return Stored(name, found.st_size, datetime.datetime.fromtimestamp(found.st_mtime, datetime.UTC))

    def open_part(self, name: str, start: int, stop: int) -> BinaryIO:
        file = self.open(name)
        file.seek(start)
        return cast("BinaryIO", file)

    def fetch(self, name: str, target: Path) -> None:
        shutil.copyfile(self.path(name), target)

    def files_below(self, folder: str) -> Iterator[Stored]:
        root = Path(self.path(""))
        for path in Path(self.path(folder)).rglob("*"):
            if path.is_file():
                with suppress(FileNotFoundError):  # somebody else tidies up as well
                    yield self.look_up(path.relative_to(root).as_posix())

    def clear_broken_off(self, *, before: datetime.datetime) -> None:
        """Nothing is hidden in a folder."""

    def why_unusable(self) -> str:
        return ""  # serve's check of the disk has asked


class _OnDisk(File):
    """Django renames what has a path where it can, and copies what has none."""

    def temporary_file_path(self) -> str:
        return str(self.name)


def fsync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
