"""The files of deployment. Neither image was built nor run where this was written; this holds what can be held without.

The commands in them are given to the real programs, and PostgreSQL and Redis start with the options that are in them.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from compose_spec import PyCompose
from django.conf import settings

from coaching import configuration
from tests.coaching import good

ROOT = Path(settings.ROOT)
COMPOSE = ROOT / "docker-compose.yml"
SECRET = re.compile(r"SECRET|PASSWORD|KEY")
# They end by themselves.
ONE_SHOT = {"migrate", "bucket"}
# No way to them but through the network of the house.
INSIDE = {"database", "broker", "store"}


def compose() -> dict[str, Any]:
    return yaml.safe_load(COMPOSE.read_text())


SERVICES: dict[str, dict[str, Any]] = compose()["services"]
OURS = {name for name, service in SERVICES.items() if service["image"] == "purlin:local"}


def keeps_to_the_specification(document: dict[str, Any]) -> None:
    # Merged first: this reader knows no `<<`.
    PyCompose.from_yaml(yaml.safe_dump(document))


def test_compose_file_keeps_to_the_specification():
    keeps_to_the_specification(compose())


def test_compose_file_with_a_misspelt_key_is_refused():
    document = compose()
    document["services"]["worker"]["healthchek"] = document["services"]["worker"].pop("healthcheck")

    with pytest.raises(ValueError, match="healthchek"):
        keeps_to_the_specification(document)


def test_compose_file_merges_no_list():
    """Readers of YAML disagree on which of several wins."""
    assert not re.search(r"<<: *\[", COMPOSE.read_text())


def test_all_of_purlin_is_served():
    assert {"web", "worker", "scheduler", *INSIDE, *ONE_SHOT} == set(SERVICES)


@pytest.mark.parametrize("name", SERVICES)
def test_container_gives_up_what_it_does_not_need(name):
    service = SERVICES[name]

    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]
    assert service["security_opt"] == ["no-new-privileges:true"]
    assert "privileged" not in service
    assert service["ulimits"] == {"core": 0}


@pytest.mark.parametrize("name", SERVICES)
def test_container_runs_as_nobody_special(name):
    user = image_user() if name in OURS else SERVICES[name]["user"]

    assert user.partition(":")[0] not in {"", "0", "root"}


@pytest.mark.parametrize("name", SERVICES)
def test_container_has_limits(name):
    limits = SERVICES[name]["deploy"]["resources"]["limits"]

    assert set(limits) == {"cpus", "memory", "pids"}
    assert set(SERVICES[name]["logging"]["options"]) == {"max-size", "max-file"}


@pytest.mark.parametrize("name", SERVICES)
def test_container_is_watched(name):
    check = SERVICES[name].get("healthcheck")

    if name in ONE_SHOT:
        assert check == {"disable": True}
        assert SERVICES[name]["restart"] == "no"
    elif name == "web":
        assert check is None  # the image's own
        assert "HEALTHCHECK" in (ROOT / "Dockerfile").read_text()
    else:
        assert check["test"][0] == "CMD"


@pytest.mark.parametrize("name", sorted(INSIDE))
def test_database_broker_and_store_are_not_reached_from_outside(name):
    assert SERVICES[name]["networks"] == ["inside"]
    assert "ports" not in SERVICES[name]


def test_only_the_web_is_reached_and_only_from_this_machine():
    assert compose()["networks"]["inside"] == {"internal": True}
    assert {name: service["ports"] for name, service in SERVICES.items() if "ports" in service} == {
        "web": ["127.0.0.1:8000:8000"]
    }


@pytest.mark.parametrize("name", SERVICES)
def test_no_secret_is_written_down(name):
    for variable, value in SERVICES[name].get("environment", {}).items():
        if SECRET.search(variable):
            assert re.fullmatch(r"\$\{[A-Z0-9_]+:\?[^}]+\}", value), variable
    # Nor inside of an address.
    inside = [re.search(r"://(.*)@", value) for value in SERVICES[name].get("environment", {}).values()]
    assert {found[1] for found in inside if found} <= {"purlin:${POSTGRES_PASSWORD:?random, letters and digits}"}


def test_every_value_that_must_be_given_is_in_the_example_without_a_value():
    needed = set(re.findall(r"\$\{([A-Z0-9_]+):\?", COMPOSE.read_text()))
    example = dict(
        line.split("=", 1)
        for line in (ROOT / ".env.example").read_text().splitlines()
        if "=" in line and line[0] != "#"
    )

    assert set(example) == needed
    assert set(example.values()) == {""}


def given_by_compose(name: str = "web") -> dict[str, str]:
    """The environment of a container, filled in as somebody would."""
    filled = good.ENVIRONMENT | {
        "POSTGRES_PASSWORD": "0123abcd" * 4,
        "PURLIN_S3_KEY": "store",
        "PURLIN_S3_SECRET": "s" * 32,
    }

    def value(match: re.Match[str]) -> str:
        return filled.get(match["name"], match["default"] or "")

    pattern = re.compile(r"\$\{(?P<name>[A-Z0-9_]+):(?:\?[^}]+|-(?P<default>[^}]*))\}")
    return {key: pattern.sub(value, text) for key, text in SERVICES[name]["environment"].items()}


@pytest.mark.parametrize("name", sorted(OURS))
def test_production_starts_with_what_compose_gives_it(name):
    environment = given_by_compose(name) | image_environment()

    assert {key for key in environment if key.startswith("PURLIN_")} <= configuration.NAMES
    assert list(configuration.problems(environment)) == []
    assert list(configuration.doubts(environment)) == []


def test_store_and_purlin_use_the_same_key():
    store, web = SERVICES["store"]["environment"], SERVICES["web"]["environment"]

    assert (store["ROOT_ACCESS_KEY"], store["ROOT_SECRET_KEY"]) == (web["PURLIN_S3_KEY"], web["PURLIN_S3_SECRET"])


@pytest.mark.parametrize("name", sorted(OURS))
def test_uploads_lie_in_a_volume_that_all_share(name):
    assert SERVICES[name]["volumes"] == [f"var:{image_environment()['PURLIN_VAR']}"]


# The image


def dockerfile() -> Iterator[tuple[str, str]]:
    text = re.sub(r"\\\n", " ", (ROOT / "Dockerfile").read_text())
    for line in text.splitlines():
        if line and not line.startswith("#"):
            word, _, rest = line.partition(" ")
            yield word, rest.strip()


def image_user() -> str:
    return [rest for word, rest in dockerfile() if word == "USER"][-1]


def image_environment() -> dict[str, str]:
    """What the last stage sets."""
    stage: dict[str, str] = {}
    for word, rest in dockerfile():
        if word == "FROM":
            stage = {}
        elif word == "ENV":
            stage |= dict(pair.split("=", 1) for pair in rest.split())
    return stage


def image_command(instruction: str) -> list[str]:
    return yaml.safe_load(
        [rest for word, rest in dockerfile() if word == instruction][-1].partition("[")[2].join(["[", ""])
    )


def is_sent_to_the_builder(path: str) -> bool:
    """By .dockerignore, which lets in only what it names."""
    allowed = [line[1:] for line in (ROOT / ".dockerignore").read_text().splitlines() if line.startswith("!")]
    return any(path == name or (name.endswith("/") and f"{path}/".startswith(name)) for name in allowed)


def test_everything_copied_into_the_image_exists_and_is_sent():
    for word, rest in dockerfile():
        if word == "COPY" and "--from=" not in rest:
            for source in rest.split()[:-1]:
                assert (ROOT / source).exists(), source
                assert source == "." or is_sent_to_the_builder(source), source


def test_everything_that_runs_is_sent_to_the_builder():
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split()
    rooms = {"methods", "jobs", "clients", "programs", "submissions", "coaching", "templates", "static", "locale"}
    needed = {path for path in tracked if path.split("/")[0] in rooms} | {"manage.py", "gunicorn.conf.py"}

    assert needed
    assert [path for path in sorted(needed) if not is_sent_to_the_builder(path)] == []


@pytest.mark.parametrize(
    "path", [".env", ".git/config", "var/purlin.sqlite3", "tests/conftest.py", "docs/deployment.md"]
)
def test_nothing_private_or_needless_is_sent_to_the_builder(path):
    assert not is_sent_to_the_builder(path)


def test_image_holds_no_secret():
    assert [rest for word, rest in dockerfile() if word in {"ENV", "ARG", "RUN"} and SECRET.search(rest)] == []


def test_image_runs_as_nobody_special_and_checks_itself():
    assert image_user() == "10001:10001"
    assert (ROOT / image_command("HEALTHCHECK")[-1]).is_file()


def test_image_writes_only_below_its_volume():
    words = dict(dockerfile())

    assert words["VOLUME"] == image_environment()["PURLIN_VAR"]


# The guide

GUIDE = (ROOT / "docs" / "deployment.md").read_text()


def test_guide_tells_every_setting_and_no_other():
    rows = [line.split("|")[1] for line in GUIDE.splitlines() if line.startswith("| `PURLIN_")]
    told = {name for row in rows for name in re.findall(r"PURLIN_[A-Z0-9_]+", row)}

    assert told == configuration.NAMES
    assert set(re.findall(r"PURLIN_[A-Z0-9_]*[A-Z0-9]", GUIDE)) <= configuration.NAMES


def test_production_starts_with_what_the_guide_writes():
    written = re.search(r"(?:    [A-Z_]+=.*\n)+", GUIDE)[0]
    environment = {
        name.strip(): value.strip('"') for name, value in (line.split("=", 1) for line in written.splitlines())
    }
    assert environment.pop("PURLIN_SECRET_KEY") == ""
    environment["PURLIN_SECRET_KEY"] = good.ENVIRONMENT["PURLIN_SECRET_KEY"]

    assert list(configuration.problems(environment)) == []
    assert list(configuration.doubts(environment)) == []


@pytest.mark.skipif(shutil.which("systemd-analyze") is None, reason="needs systemd-analyze")
def test_systemd_reads_the_unit_of_the_guide(tmp_path):
    unit = re.search(r"```ini\n(.*?)```", GUIDE, re.DOTALL)[1]
    # As if installed: what it names exists on this machine.
    unit = unit.replace("/opt/purlin/.venv/bin/python", sys.executable).replace("/opt/purlin", str(ROOT))
    unit = unit.replace("/etc/purlin/environment", "/dev/null").replace("=purlin\n", "=root\n")
    (tmp_path / "purlin.service").write_text(unit)
    (tmp_path / "bad.service").write_text(unit.replace("UMask=", "Umask="))

    assert verified(tmp_path / "purlin.service") == ""
    assert "Umask" in verified(tmp_path / "bad.service")


def verified(unit: Path) -> str:
    return subprocess.run(["systemd-analyze", "verify", unit], capture_output=True, text=True, check=False).stderr


# The commands, read by the real programs


def run(command: list[str], **options: Any) -> subprocess.CompletedProcess:
    program = [sys.executable] if command[0] == "python" else [sys.executable, "-m", command[0]]
    return subprocess.run(
        [*program, *command[1:]], cwd=ROOT, capture_output=True, text=True, timeout=120, check=False, **options
    )


@pytest.fixture
def environment(tmp_path) -> dict[str, str]:
    path = {"PATH": os.environ["PATH"], "DJANGO_SETTINGS_MODULE": "coaching.settings.production"}
    return path | good.environment(tmp_path)


@pytest.mark.slow
def test_gunicorn_reads_the_command_of_the_image(environment):
    assert run([*image_command("CMD"), "--check-config"], env=environment).returncode == 0
    assert run([*image_command("CMD"), "--no-such-option", "--check-config"], env=environment).returncode != 0


@pytest.mark.slow
@pytest.mark.parametrize("name", ["worker", "scheduler"])
def test_celery_reads_the_commands_of_compose(name, environment):
    command = SERVICES[name]["command"]

    assert run([*command, "--help"], env=environment).returncode == 0
    assert run([*command, "--no-such-option", "--help"], env=environment).returncode != 0


def manage_commands() -> list[list[str]]:
    texts = [" ".join(SERVICES[name]["command"][-1:]) for name in ONE_SHOT if SERVICES[name]["command"][0] == "sh"]
    listed = [service["command"] for service in SERVICES.values() if "manage.py" in service.get("command", [])]
    checks = [
        s["healthcheck"]["test"][1:]
        for s in SERVICES.values()
        if "manage.py" in s.get("healthcheck", {}).get("test", [])
    ]
    return [part.split() for text in texts for part in text.split(" && ")] + listed + checks


@pytest.mark.slow
def test_django_reads_the_commands_of_compose(environment):
    commands = manage_commands()

    assert len(commands) == 5
    for command in commands:
        assert run([*command, "--help"], env=environment).returncode == 0, command


@pytest.fixture
def postgresql(tmp_path) -> Iterator[tuple[str, Path]]:
    """A cluster of its own with the options that compose gives, and its log."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin"))
    if not found or os.getuid() != 0:
        pytest.skip("needs PostgreSQL's programs, and root to leave root")
    folder = Path(tempfile.mkdtemp(prefix="purlin-pg-", dir="/tmp"))
    shutil.chown(folder, "postgres")
    make = [found[-1] / "initdb", "-A", "trust", "-D", folder / "data"]
    subprocess.run(make, user="postgres", cwd=folder, check=True, stdout=subprocess.DEVNULL)
    options = SERVICES["database"]["command"][1:]
    own = ["-D", folder / "data", "-k", folder, "-c", "listen_addresses=", "-c", "fsync=off"]
    with (folder / "log").open("wb") as log:
        server = subprocess.Popen(
            [found[-1] / "postgres", *own, *options], user="postgres", cwd=folder, stdout=log, stderr=subprocess.STDOUT
        )
    try:
        ready = [found[-1] / "pg_isready", "-h", folder]
        deadline = time.monotonic() + 60
        while subprocess.run(ready, stdout=subprocess.DEVNULL, check=False).returncode and time.monotonic() < deadline:
            time.sleep(0.2)
        yield str(folder), folder / "log"
    finally:
        server.terminate()
        server.wait(timeout=60)
        shutil.rmtree(folder)


@pytest.mark.slow
def test_postgresql_with_these_options_prints_no_words_of_refused_statements(postgresql):
    psycopg = pytest.importorskip("psycopg")
    host, log = postgresql
    with psycopg.connect(f"host={host} user=postgres dbname=postgres", autocommit=True) as connection:
        connection.execute("CREATE TABLE people (email text UNIQUE, age integer)")
        connection.execute("INSERT INTO people VALUES ('dotterel4e7b', 1)")
        refused = [
            "INSERT INTO people VALUES ('dotterel4e7b', 2)",
            "INSERT INTO people VALUES ('x', 'dotterel4e7b')",
            "SELECT dotterel4e7b FROM people",
        ]
        for statement in refused:
            with pytest.raises(psycopg.Error, match="dotterel4e7b"):
                connection.execute(statement)

    printed = log.read_text()
    assert "ready to accept connections" in printed
    assert "dotterel4e7b" not in printed


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("redis-server") is None, reason="needs redis-server")
def test_redis_starts_with_the_options_of_compose(tmp_path):
    command = [*SERVICES["broker"]["command"], "--port", "0", "--unixsocket", str(tmp_path / "socket")]
    server = subprocess.Popen(command, cwd=tmp_path, stdout=subprocess.DEVNULL)
    try:
        deadline = time.monotonic() + 30
        while not (tmp_path / "socket").exists() and server.poll() is None and time.monotonic() < deadline:
            time.sleep(0.1)
        asked = ["redis-cli", "-s", str(tmp_path / "socket"), *SERVICES["broker"]["healthcheck"]["test"][2:]]
        assert subprocess.run(asked, capture_output=True, text=True, check=False).stdout == "PONG\n"
    finally:
        server.terminate()
        server.wait(timeout=30)
