"""One command: what it refuses, and a real start and stop."""

import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from types import SimpleNamespace

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection

from coaching.management.commands import serve
from coaching.serving import checks
from coaching.serving.supervisor import QUICK_DEATHS, Child, Supervisor
from tests.factories import UserFactory

ROOT = Path(__file__).parents[2]


@pytest.fixture
def demo(settings, tmp_path):
    settings.DEMO = True
    settings.VAR = settings.MEDIA_ROOT = settings.UPLOAD_ROOT = tmp_path
    return settings


@pytest.fixture
def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def refused(words: str, *options: str) -> None:
    with pytest.raises(CommandError, match=words):
        call_command("serve", *options)


def test_demo_without_its_settings_is_refused():
    refused("--demo needs the demo's settings", "--demo")


def test_demo_settings_without_demo_are_refused(demo):
    refused("secret key is public")


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.5", "::", "purlin.example"])  # noqa: S104 -- refused
def test_demo_for_other_machines_is_refused(demo, host):
    refused("on this machine only", "--demo", "--host", host)


@pytest.mark.parametrize("host", ["127.0.0.1", "::1", "[::1]", "localhost", "127.3.2.1"])
def test_loopback_is_this_machine(host):
    assert checks.is_loopback(host)


def test_port_in_use_is_refused(demo, free_port):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", free_port))
        taken.listen()
        refused(f"Port {free_port} on 127.0.0.1 cannot be used", "--demo", "--port", str(free_port))


def test_folder_that_cannot_be_written_is_refused(demo, free_port, tmp_path):
    (tmp_path / "file").touch()
    demo.MEDIA_ROOT = tmp_path / "file" / "media"

    refused("cannot be written", "--demo", "--port", str(free_port))


def test_full_disk_is_refused(demo, free_port, monkeypatch):
    monkeypatch.setattr(checks.shutil, "disk_usage", lambda _: type("Usage", (), {"free": 900 * 1024**2})())

    refused("Only 0.9 GB are free", "--demo", "--port", str(free_port))


@pytest.mark.skipif(connection.vendor != "sqlite", reason="SQLite only")
def test_old_sqlite_is_refused(demo, free_port, monkeypatch):
    monkeypatch.setattr(checks.sqlite3, "sqlite_version_info", (3, 31, 1))
    monkeypatch.setattr(checks.sqlite3, "sqlite_version", "3.31.1")

    refused("SQLite 3.31.1 is too old", "--demo", "--port", str(free_port))


def test_database_that_cannot_be_reached_is_refused(demo, free_port, monkeypatch):
    def unreachable() -> None:
        raise DatabaseError("unable to open database file\nand much more")

    monkeypatch.setattr(checks.connection, "ensure_connection", unreachable)
    refused(r"cannot be reached \(unable to open database file\)", "--demo", "--port", str(free_port))


@pytest.mark.django_db(transaction=True)
def test_database_that_cannot_be_written_is_refused(demo, free_port):
    sqlite = connection.vendor == "sqlite"
    readonly = "PRAGMA query_only = ON" if sqlite else "SET default_transaction_read_only = on"
    writable = "PRAGMA query_only = OFF" if sqlite else "SET default_transaction_read_only = off"
    with connection.cursor() as cursor:
        cursor.execute(readonly)
    try:
        refused("cannot be written", "--demo", "--port", str(free_port))
    finally:
        with connection.cursor() as cursor:
            cursor.execute(writable)


@pytest.mark.django_db
def test_write_probe_leaves_nothing(demo):
    checks.check_database()

    assert "purlin_write_probe" not in connection.introspection.table_names()


@pytest.fixture
def migrated(monkeypatch):
    """What the database says was migrated. The suite makes its tables without migrations."""
    known = {("jobs", "0001_initial"): None, ("clients", "0001_initial"): None}
    graph = SimpleNamespace(leaf_nodes=list)
    loader = SimpleNamespace(disk_migrations=known, applied_migrations=dict(known), graph=graph)
    plan: list[str] = []
    executor = SimpleNamespace(loader=loader, migration_plan=lambda targets: plan, plan=plan)
    monkeypatch.setattr(checks, "MigrationExecutor", lambda _: executor)
    return executor


def test_database_without_its_migrations_is_refused_where_none_may_run(migrated):
    migrated.plan.append("jobs.0002")
    checks.check_migrations(will_migrate=True)

    with pytest.raises(checks.Refused, match="not migrated"):
        checks.check_migrations(will_migrate=False)


def test_database_of_a_newer_version_is_refused(migrated):
    migrated.loader.applied_migrations["jobs", "9999_from_the_future"] = None

    with pytest.raises(checks.Refused, match=r"does not know \(jobs.9999_from_the_future\)"):
        checks.check_migrations(will_migrate=True)


def test_migrations_of_an_app_that_left_do_not_matter(migrated):
    migrated.loader.applied_migrations["gone", "0001_initial"] = None

    checks.check_migrations(will_migrate=False)


@pytest.mark.django_db
def test_production_with_demo_accounts_is_refused(settings):
    settings.DEMO = False
    UserFactory(is_demo=True)

    with pytest.raises(checks.Refused, match="demo accounts"):
        checks.check_no_demo_people()


@pytest.mark.django_db
def test_demo_accounts_belong_in_the_demo(demo):
    UserFactory(is_demo=True)

    checks.check_no_demo_people()


@pytest.mark.django_db
@pytest.mark.parametrize("options", [[], ["--reset"], ["--if-empty"]])
def test_demo_keeps_away_from_a_database_with_real_people(demo, options, monkeypatch):
    UserFactory(is_demo=False)
    monkeypatch.setattr("coaching.management.commands.demo.Command._throw_away", lambda _: pytest.fail("thrown away"))

    with pytest.raises(CommandError, match=r"holds real people.*unset PURLIN_DATABASE_URL"):
        call_command("demo", *options)


@pytest.mark.django_db
def test_demo_is_not_served_from_a_database_with_real_people(demo, free_port):
    UserFactory(is_demo=False)

    refused("holds real people", "--demo", "--port", str(free_port))


@pytest.mark.django_db
def test_people_who_joined_the_demo_stay_in_it(demo):
    UserFactory(is_demo=True)
    UserFactory(is_demo=False)

    checks.check_no_real_people()


def test_address_of_ipv6_is_bracketed():
    assert serve.address("::1", 80) == "http://[::1]:80"


# The supervisor, with children of the test's own


def supervisor(tmp_path, said: list[str], *codes: str) -> Supervisor:
    children = [Child(f"child{n}", [sys.executable, "-c", code]) for n, code in enumerate(codes)]
    return Supervisor(children, tmp_path, dict(os.environ), said.append, lambda: False, lambda: None)


@pytest.fixture
def signals():
    before = {number: signal.getsignal(number) for number in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP)}
    yield
    for number, handler in before.items():
        signal.signal(number, handler)


@pytest.mark.slow
def test_child_that_keeps_dying_is_given_up(tmp_path, signals, monkeypatch):
    monkeypatch.setattr("coaching.serving.supervisor.FIRST_PAUSE", 0.01)
    said: list[str] = []

    assert not supervisor(tmp_path, said, "raise SystemExit(3)").run()
    assert said[-1].startswith(f"child0 died {QUICK_DEATHS} times")
    assert sum("starting it again" in line for line in said) == QUICK_DEATHS - 1


@pytest.mark.slow
def test_lines_of_children_carry_their_names(tmp_path, signals, monkeypatch):
    monkeypatch.setattr("coaching.serving.supervisor.FIRST_PAUSE", 0.01)
    said: list[str] = []
    supervisor(tmp_path, said, "print('hello'); print('no end', end='')").run()

    assert "child0    | hello" in said
    assert "child0    | no end" in said


@pytest.mark.slow
def test_line_in_json_is_passed_on_as_it_is(tmp_path, signals, monkeypatch):
    monkeypatch.setattr("coaching.serving.supervisor.FIRST_PAUSE", 0.01)
    said: list[str] = []
    supervisor(tmp_path, said, """print('{"level": "INFO"}')""").run()

    assert '{"level": "INFO"}' in said


# The real thing


def running(environment: dict[str, str], port: int) -> subprocess.Popen[str]:
    run = [sys.executable, "-u", "manage.py", "serve", "--demo", "--port", str(port), "--workers", "1", "--jobs", "1"]
    return subprocess.Popen(run, cwd=ROOT, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)


def wait_for(condition, seconds: float = 300) -> bool:
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        if condition():
            return True
        time.sleep(0.2)
    return False


def is_ready(port: int) -> bool:
    with suppress(OSError, http.client.HTTPException):
        web = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
        web.request("GET", "/readyz")
        return json.load(web.getresponse())["ready"]
    return False


def children_of(pid: int) -> dict[str, int]:
    """The direct children of a process, by what they are."""
    found = {}
    for number in Path(f"/proc/{pid}/task/{pid}/children").read_text().split():
        words = Path(f"/proc/{number}/cmdline").read_text().split("\0")
        found[next((name for name in ["gunicorn", "worker", "beat"] if name in words), "other")] = int(number)
    return found


def exists(pid: int) -> bool:
    with suppress(FileNotFoundError):
        return "Z" not in Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    return False


@pytest.fixture
def served(tmp_path, free_port):
    environment = os.environ | {
        "DJANGO_SETTINGS_MODULE": "coaching.settings.demo",
        "PURLIN_VAR": str(tmp_path),
        "PURLIN_DATABASE_URL": f"sqlite:///{tmp_path}/served.sqlite3",
    }
    process = running(environment, free_port)
    try:
        assert wait_for(lambda: is_ready(free_port)), process.poll()
        yield process, free_port
    finally:
        if process.poll() is None:
            process.kill()
        process.wait()


@pytest.mark.slow
def test_unmigrated_database_is_refused_in_one_line(tmp_path, free_port):
    environment = os.environ | {
        "DJANGO_SETTINGS_MODULE": "coaching.settings.demo",
        "PURLIN_VAR": str(tmp_path),
        "PURLIN_DATABASE_URL": f"sqlite:///{tmp_path}/new.sqlite3",
    }
    run = [sys.executable, "manage.py", "serve", "--demo", "--no-migrate", "--port", str(free_port)]
    ended = subprocess.run(run, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=60, check=False)

    assert ended.returncode == 1
    assert ended.stderr.startswith("CommandError: The database is not migrated.")
    assert len(ended.stderr.splitlines()) == 1


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")
def test_serve_restarts_a_killed_worker_and_stops_cleanly(served):
    process, port = served
    before = children_of(process.pid)
    os.kill(before["worker"], signal.SIGKILL)

    assert wait_for(lambda: children_of(process.pid).get("worker", before["worker"]) != before["worker"])
    after = children_of(process.pid)
    assert {name: after[name] for name in ["gunicorn", "beat"]} == {n: before[n] for n in ["gunicorn", "beat"]}
    began = time.monotonic()
    process.terminate()
    said, _ = process.communicate(timeout=30)

    assert process.returncode == 0
    assert time.monotonic() - began < 10
    assert "worker ended (signal SIGKILL); starting it again" in said
    assert f"Purlin answers at http://127.0.0.1:{port}" in said
    assert not any(exists(pid) for pid in after.values())


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="parent death is told on Linux only")
def test_killed_parent_takes_its_children_along(served):
    process, _ = served
    children = children_of(process.pid).values()
    process.kill()
    process.wait()

    assert wait_for(lambda: not any(exists(pid) for pid in children), seconds=15)
