"""tests/faults/test_crash.py for longer: more kills, more of them at odd moments."""

import pytest

from tests.faults.test_crash import crash, on_both_databases

MINUTES = 7


@pytest.mark.slow
@on_both_databases
def test_acknowledged_writes_survive_many_kills(database, tmp_path):
    said = crash(database, tmp_path, seconds=MINUTES * 60)

    print(said)  # noqa: T201 -- the figures of docs/proof.md, shown by -s
    assert said["wrong"] == []
