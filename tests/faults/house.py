"""A whole Purlin of its own: web, workers and schedulers as process groups that can be killed and started again."""

import contextlib
import datetime
import http.client
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.parse
import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

import psycopg
import pytest
import redis

from coaching.management.commands.serve import children

T = TypeVar("T")
ROOT = Path(__file__).parents[2]
POSTGRESQL = os.environ.get("FAULTS_POSTGRESQL") or os.environ.get("PURLIN_CI_POSTGRES") or (
    "postgres://postgres@127.0.0.1:5432/postgres"
)  # fmt: skip
REDIS = os.environ.get("FAULTS_REDIS") or os.environ.get("PURLIN_CI_REDIS") or "redis://127.0.0.1:6379/7"
SHAPES = ["small", "scaled"]


class BrokenAnswerError(Exception):
    """The web process answered, but not that it was done."""


@dataclass
class Group:
    """One of the processes that `serve` starts, with everything it starts itself."""

    name: str
    command: list[str]
    environment: dict[str, str]
    log: Path
    process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                self.command, cwd=ROOT, env=self.environment, stdin=subprocess.DEVNULL, stdout=log, stderr=log,
                process_group=0,
            )  # fmt: skip

    def kill(self) -> None:
        """The whole group at once, without a word."""
        if self.process is not None:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self.process = None

    def pool(self) -> list[int]:
        """The processes that run jobs: the worker's children."""
        assert self.process is not None
        path = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children")
        return [int(pid) for pid in path.read_text().split()]


@dataclass
class House:
    """A shape's database and broker, and its processes. `small`: SQLite and a folder; else PostgreSQL and Redis."""

    shape: str
    var: Path
    environment: dict[str, str]
    port: int
    groups: dict[str, Group] = field(default_factory=dict)

    def add(self, kind: str, name: str = "", *, pool: int = 2, **environment: str) -> Group:
        """The very command of `serve`, under a name of its own where there are two of a kind."""
        name = name or kind
        port = self.port + sum(group.startswith("web") for group in self.groups)
        commands = {child.name: child.command for child in children(host="127.0.0.1", port=port, workers=2, jobs=pool)}
        commands["plain"] = _plain(commands["worker"])
        return self._add(name, commands[kind], environment)

    def _add(self, name: str, command: list[str], environment: dict[str, str]) -> Group:
        group = Group(name, command, self.environment | environment, self.var / f"{name}.log")
        self.groups[name] = group
        return group

    def start(self) -> None:
        for group in self.groups.values():
            if group.process is None:
                group.start()

    def wait_until_up(
        self, *kinds: str, seconds: float = 120, since: datetime.datetime | None = None, port: int | None = None
    ) -> None:
        """Until the web process answers, and the kinds have shown a sign of life of their own."""
        deadline = time.monotonic() + seconds
        while not self._is_up(kinds, since, port):
            assert time.monotonic() < deadline, self.logs()
            time.sleep(0.2)

    def _is_up(self, kinds: tuple[str, ...], since: datetime.datetime | None, port: int | None) -> bool:
        try:
            status, body = self.call("GET", "/faults/signs/", port=port)
        except (OSError, http.client.HTTPException):
            return False
        seen = (
            {kind: datetime.datetime.fromisoformat(at) for kind, at in json.loads(body).items()}
            if status == 200
            else {}
        )
        return status == 200 and all(kind in seen and (since is None or seen[kind] > since) for kind in kinds)

    def call(
        self, method: str, path: str, *, seconds: float = 15, port: int | None = None, **said: str
    ) -> tuple[int, bytes]:
        web = http.client.HTTPConnection("127.0.0.1", port or self.port, timeout=seconds)
        try:
            headers = {"Host": "localhost", "Content-Type": "application/x-www-form-urlencoded"}
            web.request(method, path, urllib.parse.urlencode(said), headers)
            answer = web.getresponse()
            return answer.status, answer.read()
        finally:
            web.close()

    def ask(self, kind: str, *, asked: str = "", port: int | None = None, **said: str) -> str:
        """Ask for a job; gives its uuid once the transaction was acknowledged."""
        asked = asked or str(uuid.uuid4())
        status, body = self.call("POST", "/faults/ask/", port=port, kind=kind, uuid=asked, **said)
        if status != 201:
            raise BrokenAnswerError(f"{status} {body[-500:]!r}")
        return asked

    def state(self) -> dict[str, list[dict[str, Any]]]:
        return json.loads(self.call("GET", "/faults/state/", seconds=60)[1])

    def at_work(self, group: Group) -> list[int]:
        """The children of a worker that are in the middle of a job."""
        pids = json.loads(self.call("GET", "/faults/running/")[1])["pids"]
        return [pid for pid in group.pool() if pid in pids]

    def unfinished(self) -> dict[str, int]:
        return json.loads(self.call("GET", "/faults/unfinished/")[1])

    def wait_until_done(self, *, seconds: float, what: str = "jobs") -> float:
        """Give how long it took until nothing was left; or fail with what the processes said."""
        began = time.monotonic()
        while self.unfinished()[what]:
            assert time.monotonic() - began < seconds, f"{self.unfinished()} {self.logs()}"
            time.sleep(0.25)
        return time.monotonic() - began

    def wipe_broker(self) -> int:
        """Throw away every message of both ways. Gives how many there were."""
        if self.shape == "small":
            messages = [path for path in (self.var / "broker").rglob("*.msg") if "delivered" not in path.parts]
            for message in messages:
                message.unlink(missing_ok=True)
            return len(messages)
        with redis.Redis.from_url(REDIS) as broker:
            count = int(broker.llen("celery")) + int(broker.llen("plainplain"))
            broker.flushdb()
            return count

    def logs(self) -> str:
        return "\n".join(
            f"--- {path.name}\n{path.read_text(errors='replace')[-1500:]}" for path in self.var.glob("*.log")
        )


def _plain(worker: list[str]) -> list[str]:
    where = worker.index("--app") + 1
    return [*worker[:where], "tests.faults.served.plain", *worker[where + 1 :]]


def until(look: Callable[[], T], *, seconds: float = 90) -> T:
    """What `look` finds, once it finds something."""
    deadline = time.monotonic() + seconds
    while not (found := look()):
        assert time.monotonic() < deadline, f"not within {seconds:.0f} s"
        time.sleep(0.1)
    return found


def job_of(house: House, asked: str) -> str:
    return str(next(job["uuid"] for job in house.state()["jobs"] if job["args"] == [asked]))


def runs_of(house: House, asked: str) -> list[dict[str, Any]]:
    job = job_of(house, asked)
    return [run for run in house.state()["runs"] if run["job"] == job]


class Prepared:
    """An empty database of each shape, brought up to date once and copied for every house."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.stack = contextlib.ExitStack()
        self.made: dict[str, str] = {}

    def of(self, shape: str) -> str:
        """The file, or the name on the server."""
        if shape not in self.made:
            self.made[shape] = self._small() if shape == "small" else self.stack.enter_context(_database())
            migrate = [sys.executable, "manage.py", "migrate", "--run-syncdb", "--verbosity", "0"]
            environment = _environment(self.folder) | _servers(shape, self.made[shape])
            subprocess.run(migrate, cwd=ROOT, env=environment, check=True)
        return self.made[shape]

    def _small(self) -> str:
        return str(self.folder / "purlin.sqlite3")


@contextlib.contextmanager
def house(prepared: Prepared, shape: str, var: Path, **environment: str) -> Iterator[House]:
    """An empty house with a database of its own; afterwards nothing of it runs, and nothing is left on the servers."""
    if shape == "scaled":
        _require_servers()
    template = prepared.of(shape)
    with contextlib.ExitStack() as stack:
        if shape == "small":
            shutil.copy(template, var / "purlin.sqlite3")
            name = ""
        else:
            name = stack.enter_context(_database(template))
        made = House(shape, var, _environment(var) | _servers(shape, name) | environment, _free_port())
        try:
            yield made
        finally:
            for group in made.groups.values():
                group.kill()


def _environment(var: Path) -> dict[str, str]:
    # Nothing that the environment of this run says about another one.
    inherited = {name: value for name, value in os.environ.items() if not name.startswith(("PURLIN_", "DJANGO_"))}
    return inherited | {
        "DJANGO_SETTINGS_MODULE": "tests.faults.served.settings",
        "PURLIN_VAR": str(var),
        "PURLIN_LOG_LEVEL": "WARNING",
        "PYTHONUNBUFFERED": "1",
        "REMAP_SIGTERM": "SIGQUIT",
    }


def _servers(shape: str, database: str) -> dict[str, str]:
    if shape == "small":
        return {}
    url = urllib.parse.urlsplit(POSTGRESQL)._replace(path=f"/{database}").geturl()
    return {"PURLIN_DATABASE_URL": url, "PURLIN_BROKER_URL": REDIS}


def _require_servers() -> None:
    try:
        _postgresql().close()
        with redis.Redis.from_url(REDIS, socket_connect_timeout=3) as broker:
            broker.flushdb()
    except (psycopg.OperationalError, redis.ConnectionError) as error:
        pytest.skip(f"needs PostgreSQL and Redis (FAULTS_POSTGRESQL, FAULTS_REDIS): {type(error).__name__}")


def _postgresql() -> psycopg.Connection:
    """The server's own database: the one that is named need not be there."""
    url = urllib.parse.urlsplit(POSTGRESQL)._replace(scheme="postgresql", path="/postgres").geturl()
    return psycopg.connect(url, autocommit=True, connect_timeout=3)


@contextlib.contextmanager
def _database(template: str = "template0") -> Iterator[str]:
    """On the server, until it is left."""
    name = f"purlin_faults_{uuid.uuid4().hex[:8]}"
    with _postgresql() as server:
        server.execute(f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
    try:
        yield name
    finally:
        with _postgresql() as server:
            server.execute(f'DROP DATABASE "{name}" WITH (FORCE)')


def _free_port() -> int:
    """Two of them beside each other, for a second web process."""
    while True:
        with socket.socket() as first, socket.socket() as second:
            first.bind(("127.0.0.1", 0))
            port = int(first.getsockname()[1])
            with contextlib.suppress(OSError, OverflowError):
                second.bind(("127.0.0.1", port + 1))
                return port
