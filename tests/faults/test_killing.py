"""A short run under fire in both shapes; the long ones are in tests/soak/test_kills.py."""

import pytest

from tests.faults.killing import run

pytestmark = pytest.mark.slow


def test_what_was_acknowledged_is_done_once_whatever_was_killed(hurried, capsys):
    report = run(hurried, seed=20, count=60, kills=4, pause=0.6, every=3, plain_patience=0)

    with capsys.disabled():
        print("", *report.lines(), sep="\n")  # noqa: T201
    assert (report.broken, report.verdict.faults()) == ([], {})
    assert report.verdict.settled_seconds < 30
    assert report.verdict.cut_off > 0
