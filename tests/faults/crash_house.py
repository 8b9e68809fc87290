"""The house of the crash runs: an installation with its people, its web process, and sometimes its own PostgreSQL.

As a program (`python -m tests.faults.crash_house`) it fills an empty database and prints what the writers need.
"""

import contextlib
import datetime
import json
import os
import pwd
import random
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import uuid
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

from tests.faults.crash_writer import read

ROOT = Path(__file__).parents[2]
PATIENCE_S = 120
PEOPLE_WHO_FILM = 20


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def wait_until(condition, words: str, seconds: float = PATIENCE_S) -> None:
    deadline = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < deadline, words
        time.sleep(0.1)


def postgresql_programs() -> Path | None:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/postgres"), key=lambda path: int(path.parts[-3]))
    if found:
        return found[-1].parent
    there = shutil.which("postgres")
    return Path(there).resolve().parent if there else None


class Server:
    """A PostgreSQL of the test's own, that may be killed."""

    def __init__(self, folder: Path) -> None:
        programs = postgresql_programs()
        assert programs is not None, "PostgreSQL is not installed"
        self.programs, self.folder, self.port = programs, folder, free_port()
        # It refuses to run as root.
        self.who: dict[str, Any] = {"user": "postgres", "group": "postgres"} if os.getuid() == 0 else {}
        if self.who:
            os.chown(folder, pwd.getpwnam("postgres").pw_uid, pwd.getpwnam("postgres").pw_gid)
        self._run("initdb", "--auth", "trust", "--username", "postgres", "-D", str(folder / "data"))
        self.process: subprocess.Popen | None = None
        self.start()

    def _run(self, program: str, *arguments: str) -> None:
        done = subprocess.run(
            [str(self.programs / program), *arguments], cwd=self.folder, capture_output=True, check=False, **self.who
        )
        assert done.returncode == 0, done.stderr.decode()

    def url(self, database: str) -> str:
        return f"postgres://postgres@127.0.0.1:{self.port}/{database}"

    def start(self) -> None:
        wait_until(self._starts, "PostgreSQL does not start")

    def _starts(self) -> bool:
        """After a kill the shared memory of the dead may be in use for a moment."""
        if self.process is None or self.process.poll() is not None:
            options = ["-p", str(self.port), "-k", str(self.folder), "-c", "listen_addresses=127.0.0.1"]
            with (self.folder / "server.log").open("ab") as log:
                self.process = subprocess.Popen(
                    [str(self.programs / "postgres"), "-D", str(self.folder / "data"), *options],
                    cwd=self.folder, stdout=log, stderr=log, **self.who,
                )  # fmt: skip
        done = subprocess.run(
            [str(self.programs / "pg_isready"), "-q", "-h", "127.0.0.1", "-p", str(self.port)], check=False
        )
        return done.returncode == 0

    def create(self, database: str) -> None:
        self._run("createdb", "-h", "127.0.0.1", "-p", str(self.port), "-U", "postgres", database)

    def kill(self) -> None:
        """All of its processes at once; none has time to write another page."""
        assert self.process is not None
        children = children_of(self.process.pid)
        self.process.kill()
        for pid in children:
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        self.process.wait()


def children_of(pid: int) -> list[int]:
    with contextlib.suppress(FileNotFoundError):
        return [int(child) for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
    return []


@contextlib.contextmanager
def own_postgresql() -> Iterator[Server]:
    folder = Path(tempfile.mkdtemp(prefix="purlin-postgresql-"))
    server = Server(folder)
    try:
        yield server
    finally:
        server.kill()
        shutil.rmtree(folder)


@dataclass
class House:
    """An installation in a folder. Its settings are those of production."""

    folder: Path
    database_url: str = ""
    storage: dict[str, str] = field(default_factory=dict)
    port: int = field(default_factory=free_port)

    @property
    def environment(self) -> dict[str, str]:
        ours = {
            "DJANGO_SETTINGS_MODULE": "coaching.settings.production",
            "PURLIN_SECRET_KEY": "".join(random.Random(1).choices("abcdefghijklmnopqrstuvwxyz0123456789", k=60)),
            "PURLIN_VAR": str(self.folder),
            "PURLIN_HOSTS": "127.0.0.1,localhost",
            "PURLIN_SITE_URL": f"http://127.0.0.1:{self.port}",
            "PURLIN_HTTPS": "false",
            "PURLIN_LOG_LEVEL": "ERROR",
            "PYTHONUNBUFFERED": "1",
        }
        if self.database_url:
            ours["PURLIN_DATABASE_URL"] = self.database_url
        inherited = {name: value for name, value in os.environ.items() if not name.startswith("PURLIN_")}
        return inherited | ours | self.storage

    def run(self, *arguments: str) -> str:
        """A program in this house's environment; what it printed."""
        done = subprocess.run(
            [sys.executable, *arguments], cwd=ROOT, env=self.environment, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, f"{arguments}: {done.stdout} {done.stderr}"
        return done.stdout

    def manage(self, *arguments: str) -> str:
        return self.run("manage.py", *arguments)

    def found(self) -> dict[str, Any]:
        """Migrate, and fill with the people whom the writers play."""
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.manage("migrate", "-v0")
        return json.loads(self.run("-m", "tests.faults.crash_house")) | {"port": self.port}

    def start_web(self) -> subprocess.Popen:
        """The web processes alone, as `serve` starts them."""
        from coaching.management.commands.serve import children  # noqa: PLC0415 -- Django's settings are there by now

        web = next(c for c in children(host="127.0.0.1", port=self.port, workers=2, jobs=1) if c.name == "web")
        return self._started(web.command)

    def start_serve(self) -> subprocess.Popen:
        """All of it by the one command."""
        serve = ["manage.py", "serve", "--port", str(self.port), "--workers", "2", "--jobs", "1"]
        return self._started([sys.executable, *serve])

    def _started(self, command: list[str]) -> subprocess.Popen:
        with (self.folder / "web.log").open("ab") as log:
            return subprocess.Popen(
                command, cwd=ROOT, env=self.environment, stdout=log, stderr=log, start_new_session=True
            )

    def wait_for_web(self, process: subprocess.Popen) -> None:
        wait_until(lambda: process.poll() is not None or self._answers(), "the web process does not answer")
        assert process.poll() is None, self.log()[-2000:]

    def _answers(self) -> bool:
        web = HTTPConnection("127.0.0.1", self.port, timeout=5)
        try:
            web.request("GET", "/livez")
            return web.getresponse().status == 200
        except OSError:
            return False
        finally:
            web.close()

    def log(self) -> str:
        path = self.folder / "web.log"
        return path.read_text(errors="replace") if path.exists() else ""


def kill_group(process: subprocess.Popen) -> None:
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


@dataclass
class Writers:
    """The writers' processes and their ledgers, which lie outside the house."""

    plan: dict[str, Any]
    folder: Path
    kinds: list[str]
    processes: dict[str, subprocess.Popen] = field(default_factory=dict)

    def start(self, kind: str) -> None:
        path = self.folder / "plan.json"
        path.write_text(json.dumps(self.plan))
        command = [sys.executable, "-m", "tests.faults.crash_writer", kind, str(path), str(self.ledger(kind))]
        self.processes[kind] = subprocess.Popen(command, cwd=ROOT, stdin=subprocess.DEVNULL)

    def ledger(self, kind: str) -> Path:
        return self.folder / f"{kind}.jsonl"

    def start_all(self) -> None:
        self.folder.mkdir(exist_ok=True)
        for kind in self.kinds:
            self.start(kind)

    def have_all_been_answered(self) -> bool:
        """Or told something that no crash explains: then there is no need to wait."""
        said = {kind: {line["said"] for line in read(self.ledger(kind))} for kind in self.kinds}
        return all(words & {"kept", "unexpected"} for words in said.values())

    def dead(self) -> list[str]:
        """Those that were killed; one that gave up by itself has said why in its ledger."""
        return [kind for kind, process in self.processes.items() if process.poll() == -signal.SIGKILL]

    def kill(self, kind: str) -> None:
        self.processes[kind].kill()
        self.processes[kind].wait()

    def kill_all(self) -> None:
        # First the signals, then the waiting: as close to one moment as can be.
        for process in self.processes.values():
            process.kill()
        for process in self.processes.values():
            process.wait()


def _fill() -> dict[str, Any]:
    """Everybody whom a writer plays, as the rows that the verbs would have left."""
    from django.utils import timezone  # noqa: PLC0415

    from clients.choices import ConsentKind  # noqa: PLC0415
    from clients.domain.consent import decide_consent  # noqa: PLC0415
    from tests import factories as f  # noqa: PLC0415

    practice = f.PracticeFactory(name="A house that may fall")
    coach = f.MembershipFactory(practice=practice)
    movement = f.MovementFactory().current

    def person() -> Any:
        client = f.ClientFactory(practice=practice, email=f"{uuid.uuid4()}@example.test")
        f.AssignmentFactory(client=client, coach=coach)
        for kind in ConsentKind:
            decide_consent(client, kind=kind, given=True, by=client.user, at=timezone.now())
        f.ScreeningFactory(client=client)
        return client

    def prescriptions(client: Any, sessions: int) -> list[tuple[str, str]]:
        block = f.BlockFactory(client=client, written_by=coach.user)
        found = []
        for _ in range(sessions):
            session = f.BlockSessionFactory(block=block)
            group = f.GroupFactory(section=f.SectionFactory(session=session))
            dose = f.PrescriptionFactory(group=group, movement=movement)
            found.append((str(f.ScheduledSessionFactory(client=client, session=session).uuid), str(dose.uuid)))
        f.publish(block)
        return found

    sets, planned, decided, consenting = person(), person(), person(), person()
    monday = datetime.date.today() + datetime.timedelta(days=7 - datetime.date.today().weekday())
    block = f.BlockFactory(client=planned, written_by=coach.user, starts_on=monday, weeks=2)
    for weekday in (0, 2):
        group = f.GroupFactory(section=f.SectionFactory(session=f.BlockSessionFactory(block=block, weekday=weekday)))
        f.PrescriptionFactory(group=group, movement=movement)
    f.publish(block)
    return {
        "pause_s": 0.02,
        "sets": {"session": _session(sets.user), "prescriptions": prescriptions(sets, 30)},
        "pain": {"session": _session(person().user)},
        "intake": {"session": _session(person().user)},
        "consents": {"session": _session(consenting.user), "client": str(consenting.uuid)},
        "blocks": {"session": _session(coach.user), "block": str(block.uuid), "first_day": monday.isoformat()},
        "suggestions": {
            "session": _session(coach.user),
            "suggestions": [str(f.SuggestionFactory(client=decided, key=f"key {n}").uuid) for n in range(5)],
        },
        "clips": {
            "clip": "",
            "people": [
                {"session": _session(client.user), "prescriptions": prescriptions(client, 1)}
                for client in (person() for _ in range(PEOPLE_WHO_FILM))
            ],
        },
    }


def _session(user: Any) -> str:
    from django.test import Client  # noqa: PLC0415

    browser = Client()
    browser.force_login(user)
    return browser.cookies["sessionid"].value


if __name__ == "__main__":
    import django

    django.setup()
    from django.db import transaction

    with transaction.atomic():
        plan = _fill()
    print(json.dumps(plan))  # noqa: T201 -- for who started this program
