"""The two shapes: SQLite, a broker in a folder and local files, or PostgreSQL, Redis and S3. Same code, same tests."""

import os

import pytest

# For tests that must hold wherever bytes lie. They need the fixture `folders`.
on_both_storages = pytest.mark.parametrize("storage", ["folder", "s3"], indirect=True)
SCALED = "PURLIN_TEST_SHAPE"
on_s3 = pytest.mark.parametrize("storage", ["s3"], indirect=True)


def is_scaled() -> bool:
    """Whether this run was started by `python -m tests.shapes`."""
    return os.environ.get(SCALED) == "scaled"
