"""Whether a folder is being served: a lock that the operating system lets go with the process, however it dies."""

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

LOCK = "served.lock"


@contextmanager
def serving(folder: Path) -> Iterator[None]:
    """Held as long as something is served from this folder; several may serve at once."""
    with (folder / LOCK).open("w") as file:
        fcntl.flock(file, fcntl.LOCK_SH)
        yield


def is_served(folder: Path) -> bool:
    try:
        file = (folder / LOCK).open("r+")
    except FileNotFoundError:
        return False
    with file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return True
    return False
