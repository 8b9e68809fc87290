"""2,000 jobs and 50 kills in each shape, in parts of less than ten minutes: `make soak`.

Each part is a house of its own with a seed of its own. What it found is kept in build/soak, so that a run which was
broken off goes on from there: SOAK_RESUME=1 passes over the parts that are there, and judges what they found.
"""

import dataclasses
import json
import os
from pathlib import Path

import pytest

from tests.faults.conftest import HURRY
from tests.faults.house import ROOT, SHAPES, house
from tests.faults.killing import MIX_THAT_FITS, Report, run
from tests.faults.verdict import Verdict

RESULTS = ROOT / "build" / "soak"
PARTS = range(5)
JOBS, KILLS = 400, 10


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("shape", SHAPES)
def test_part_of_the_long_run_loses_and_doubles_nothing(shape, part, prepared, tmp_path, capsys):
    report = _kept(shape, part) or _run(shape, part, prepared, tmp_path)

    with capsys.disabled():
        print("", *report.lines(), sep="\n")  # noqa: T201
    assert (report.broken, report.verdict.faults()) == ([], {})
    assert report.verdict.settled_seconds < 30
    assert (report.kills, report.requests) == (KILLS, JOBS)
    assert report.verdict.cut_off > 0


def _run(shape: str, part: int, prepared, tmp_path: Path) -> Report:
    with house(prepared, shape, tmp_path, **HURRY) as ours:
        # What Redis held for a dead worker comes back after a minute at the earliest.
        report = run(
            ours, seed=1000 + part, count=JOBS, kills=KILLS, pause=0.7, every=9, plain_patience=75, mix=MIX_THAT_FITS
        )
    RESULTS.mkdir(parents=True, exist_ok=True)
    _file(shape, part).write_text(json.dumps(dataclasses.asdict(report), indent=1))
    return report


def _kept(shape: str, part: int) -> Report | None:
    if not os.environ.get("SOAK_RESUME") or not _file(shape, part).exists():
        return None
    kept = json.loads(_file(shape, part).read_text())
    return Report(**kept | {"verdict": Verdict(**kept["verdict"])})


def _file(shape: str, part: int) -> Path:
    return RESULTS / f"kills-{shape}-{part}.json"


def test_all_parts_together_are_told(capsys):
    """The last lines of a soak. Counts what has been run, also in earlier pieces."""
    if not list(RESULTS.glob("kills-*.json")):
        pytest.skip("no part has been run yet")
    for shape in SHAPES:
        parts = [json.loads(path.read_text()) for path in sorted(RESULTS.glob(f"kills-{shape}-*.json"))]
        if not parts:
            continue
        seen = [part["verdict"] for part in parts]
        kills = sum(count for part in parts for victim, count in part["victims"].items() if "paused" not in victim)
        with capsys.disabled():
            print(  # noqa: T201
                f"\n{shape}: {len(parts)} parts, {sum(one['acknowledged'] for one in seen)} jobs acknowledged,",
                f"{kills} kills, {sum(one['cut_off'] for one in seen)} runs cut off,",
                f"{sum(one['overlapping'] for one in seen)} times two runs at once.",
                f"Rows: lost {_count(seen, 'lost')}, doubled {_count(seen, 'doubled')},",
                f"settled in {max(one['settled_seconds'] for one in seen):.1f} s at most.",
                f"Celery alone: lost {sum(one['plain_lost'] for one in seen)},",
                f"doubled {sum(one['plain_doubled'] for one in seen)} of {sum(one['plain_asked'] for one in seen)}.",
            )
        assert (_count(seen, "lost"), _count(seen, "doubled")) == (0, 0)


def _count(verdicts: list[dict], name: str) -> int:
    return sum(len(one[name]) for one in verdicts)
