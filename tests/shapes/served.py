"""What a product that a test serves is told, in either shape, so that it meets nothing of another."""

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.shapes import is_scaled, postgresql


@contextmanager
def environment(folder: Path) -> Iterator[dict[str, str]]:
    said = os.environ | {"PURLIN_VAR": str(folder)}
    if not is_scaled():
        yield said
        return
    said["PURLIN_S3_PREFIX"] = f"purlin-test-{secrets.token_hex(4)}"
    with postgresql.database_beside(said["PURLIN_DATABASE_URL"]) as url:
        yield said | {"PURLIN_DATABASE_URL": url}
    # Whatever was kept here, another machine would have missed.
    assert [*folder.rglob("*.sqlite3"), *folder.rglob("media/clips"), *folder.rglob("broker/waiting/*")] == []
