"""Where finished bytes lie: a folder that web and workers share, or S3 for machines that share nothing.

Both are Django storages (`STORAGES["default"]`, chosen by coaching.settings.storage) and give what clips need besides:
moving whole files without holding them in memory, and reading a part without fetching the rest.
"""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Protocol, cast

from django.core.files.storage import default_storage


@dataclass(frozen=True)
class Stored:
    """What is known about a file without opening it. A file never changes under its name."""

    name: str
    size: int
    modified_at: datetime.datetime


class ClipStorage(Protocol):
    """Raises FileNotFoundError for a name that is not there, StorageUnavailable when nobody can tell."""

    # Whether a file of one process can be opened by all others, so that nothing has to be carried.
    is_shared_folder: bool

    def put(self, made: Path, name: str) -> None:
        """Take a finished file in, for good when this returns. The file itself may be gone afterwards."""

    def look_up(self, name: str) -> Stored: ...

    def open_part(self, name: str, start: int, stop: int) -> BinaryIO:
        """A file that reads from `start`; nothing from `stop` on may be asked for."""

    def fetch(self, name: str, target: Path) -> None: ...

    def files_below(self, folder: str) -> Iterator[Stored]:
        """In folders of it as well; "" is everything."""

    def delete(self, name: str) -> None:
        """Also of a name that is not there."""

    def clear_broken_off(self, *, before: datetime.datetime) -> None:
        """Remove what a crash in the middle of `put` left where no name shows it."""

    def why_unusable(self) -> str:
        """A sentence for who starts Purlin, or nothing."""


def clip_storage() -> ClipStorage:
    return cast("ClipStorage", default_storage)
