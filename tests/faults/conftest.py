"""Houses in which a test may kill what it likes."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults.house import SHAPES, House, Prepared, house

# Of the houses; these settings do not know them.
collect_ignore = ["served"]

# The tests in a hurry; the shipped values are tested in test_shipped.py.
HURRY = {"FAULTS_LEASE_SECONDS": "3", "FAULTS_SWEEP_SECONDS": "1"}


@pytest.fixture(scope="session")
def prepared(tmp_path_factory) -> Iterator[Prepared]:
    """Databases to copy."""
    made = Prepared(tmp_path_factory.mktemp("prepared"))
    with made.stack:
        yield made


@pytest.fixture(params=SHAPES)
def hurried(request, prepared, tmp_path: Path) -> Iterator[House]:
    with house(prepared, request.param, tmp_path, **HURRY) as ours:
        yield ours
