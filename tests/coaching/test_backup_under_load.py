"""Backups of a house at work: served by its one command, written to by every kind of writer, worker and sweep running.

The writers and the check are those of the crash runs (tests/faults): what was acknowledged before the backup began is
in it, the rest of it is one moment, and nothing is there by halves.
"""

import json
import shutil
import subprocess
import time
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import imageio_ffmpeg
import pytest

from tests.faults.crash_house import House, Writers, kill_group, own_postgresql, postgresql_programs, wait_until
from tests.faults.crash_writer import KINDS
from tests.shapes import s3

pytestmark = pytest.mark.slow
no_postgresql = pytest.mark.skipif(not postgresql_programs(), reason="PostgreSQL is not installed")


@pytest.fixture(scope="module")
def server():
    with own_postgresql() as running:
        yield running


@pytest.fixture(scope="module")
def bucket():
    with s3.serving() as variables:
        yield variables


@dataclass
class Taken:
    """A backup taken under load, and what the writers knew."""

    folder: Path
    ledgers: Path
    began: float

    def wrong_in(self, house: House) -> list[str]:
        said = json.loads(house.run("-m", "tests.faults.crash_check", str(self.ledgers), str(self.began)))
        assert said["there"] > 0, said
        return said["wrong"]


def take_under_load(house: House, folder: Path) -> Taken:
    plan = house.found()
    plan["clips"]["clip"] = str(_drawn_clip(folder))
    writers = Writers(plan, folder / "ledgers", list(KINDS))
    serve = house.start_serve()
    with ExitStack() as at_the_end:
        at_the_end.callback(kill_group, serve)
        at_the_end.callback(writers.kill_all)
        house.wait_for_web(serve)
        writers.start_all()
        wait_until(writers.have_all_been_answered, "a writer was never answered")
        began = time.time()
        house.manage("backup", str(folder / "backup"))
        # What comes after the moment must not be in it, so there must be something.
        time.sleep(2)
    return Taken(folder / "backup", writers.folder, began)


def _drawn_clip(folder: Path) -> Path:
    path = folder / "clip.mp4"
    picture = [
        "-f",
        "lavfi",
        "-i",
        "testsrc2=size=180x320:rate=30:duration=1",
        "-c:v",
        "libx264",
        "-pix_fmt",
        "yuv420p",
    ]
    subprocess.run([imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", *picture, str(path)], check=True)
    return path


def restored(taken: Taken, house: House) -> House:
    house.folder.mkdir(mode=0o700)
    house.manage("restore", str(taken.folder))
    return house


def again(house: House, folder: Path) -> dict[str, Any]:
    """The checksums of a backup of a house that nobody writes to."""
    house.manage("backup", str(folder))
    return json.loads((folder / "manifest.json").read_text())["files"]


@pytest.fixture(scope="module")
def small(tmp_path_factory) -> Taken:
    """On one machine: SQLite and files in a folder."""
    folder = tmp_path_factory.mktemp("small")
    return take_under_load(House(folder / "house"), folder)


def test_backup_under_load_restores_one_moment_of_a_single_machine(small, tmp_path):
    house = restored(small, House(tmp_path / "house"))

    assert small.wrong_in(house) == []


@no_postgresql
def test_backup_under_load_restores_one_moment_of_postgresql_and_s3(server, bucket, tmp_path):
    for name in ("before", "after"):
        server.create(name)
    storage = [bucket | {"PURLIN_S3_PREFIX": name} for name in ("before", "after")]
    taken = take_under_load(House(tmp_path / "before", server.url("before"), storage[0]), tmp_path)

    house = restored(taken, House(tmp_path / "after", server.url("after"), storage[1]))

    assert taken.wrong_in(house) == []


@no_postgresql
def test_house_moves_to_postgresql_and_back_without_a_difference(small, server, tmp_path):
    server.create("moved")
    there = restored(small, House(tmp_path / "there", server.url("moved")))
    moved = Taken(tmp_path / "of-there", small.ledgers, small.began)
    taken_there = again(there, moved.folder)
    back = restored(moved, House(tmp_path / "back"))

    taken_back = again(back, tmp_path / "of-back")

    assert taken_there == taken_back == json.loads((small.folder / "manifest.json").read_text())["files"]
    assert small.wrong_in(back) == []


@no_postgresql
def test_house_moves_to_s3_with_the_clips_that_still_wait(small, server, bucket, tmp_path):
    server.create("grown")
    storage = bucket | {"PURLIN_S3_PREFIX": "grown"}

    grown = restored(small, House(tmp_path / "grown", server.url("grown"), storage))

    shutil.rmtree(tmp_path / "grown" / "uploads", ignore_errors=True)  # other machines do not see it
    assert small.wrong_in(grown) == []
