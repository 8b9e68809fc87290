"""kill -9 amid mixed writes: what was acknowledged is there, once; what was not is there whole, or not at all.

This kills processes, not power: what the operating system was given outlives them. Power loss is not tested.
"""

import json
import random
import time
from collections.abc import Iterator
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import pytest

from tests.faults.crash_house import (
    House,
    Server,
    Writers,
    kill_group,
    own_postgresql,
    postgresql_programs,
    wait_until,
)
from tests.faults.crash_writer import KINDS

no_postgresql = pytest.mark.skipif(not postgresql_programs(), reason="PostgreSQL is not installed")
on_both_databases = pytest.mark.parametrize("database", ["sqlite", pytest.param("postgresql", marks=no_postgresql)])


@pytest.mark.slow
@on_both_databases
def test_acknowledged_writes_survive_kills_once_and_whole(database, tmp_path):
    said = crash(database, tmp_path, seconds=25)

    assert said["wrong"] == []
    assert said["acknowledged"].keys() == KINDS.keys()


def crash(database: str, folder: Path, *, seconds: float) -> dict[str, Any]:
    """Kill at random for so long, and all at once in the end. Returns what the check says."""
    with own_postgresql() if database == "postgresql" else nullcontext() as server:
        if server:
            server.create("house")
        house = House(folder / "house", server.url("house") if server else "")
        writers = Writers(house.found(), folder / "ledgers", list(KINDS))
        run = Run(house, writers, server)
        try:
            run.for_a_while(seconds)
        finally:
            run.kill_everything()
        if server:
            server.start()
        print(house.log()[-3000:])  # noqa: T201 -- shown when the test fails
        return json.loads(house.run("-m", "tests.faults.crash_check", str(writers.folder))) | {"kills": run.kills}


class Run:
    """A house at work, and the hand that kills parts of it."""

    def __init__(self, house: House, writers: Writers, server: Server | None) -> None:
        self.house, self.writers, self.server = house, writers, server
        self.kills = {"web": 0, "writers": 0, "everything": 0} | ({"server": 0} if server else {})
        self.web = house.start_web()

    def for_a_while(self, seconds: float) -> None:
        self.house.wait_for_web(self.web)
        self.writers.start_all()
        over = time.monotonic() + seconds
        for victim in self._victims():
            time.sleep(random.uniform(1.5, 4))
            if time.monotonic() > over:
                break
            self.kills[victim] += 1
            getattr(self, f"kill_{victim}")()
            self.start_what_is_dead()
        # On a busy machine somebody may not have had a turn yet.
        wait_until(self.writers.have_all_been_answered, "a writer was never answered")

    def _victims(self) -> Iterator[str]:
        """Each as often as the others, in no order that anything could depend on."""
        while True:
            yield from random.sample(sorted(self.kills), len(self.kills))

    def kill_web(self) -> None:
        kill_group(self.web)

    def kill_writers(self) -> None:
        for kind in random.sample(self.writers.kinds, 3):
            self.writers.kill(kind)

    def kill_server(self) -> None:
        if self.server:
            self.server.kill()

    def kill_everything(self) -> None:
        self.kill_server()
        kill_group(self.web)
        self.writers.kill_all()

    def start_what_is_dead(self) -> None:
        if self.server:
            self.server.start()
        if self.web.poll() is not None:
            self.web = self.house.start_web()
            self.house.wait_for_web(self.web)
        for kind in self.writers.dead():
            self.writers.start(kind)
