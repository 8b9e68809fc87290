"""What watches the processes asks by command."""

import datetime
import subprocess
import sys
import threading
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError
from django.utils import timezone

from coaching.management.commands import healthy
from jobs.choices import ProcessKind
from jobs.models import Heartbeat

ALIVE = Path(__file__).parents[2] / "coaching" / "serving" / "alive.py"
KINDS = {"worker": ProcessKind.WORKER, "scheduler": ProcessKind.SCHEDULER}


@pytest.mark.django_db
@pytest.mark.parametrize("process", KINDS)
def test_process_that_was_seen_lately_is_healthy(process):
    Heartbeat.objects.create(kind=KINDS[process], seen_at=timezone.now())

    call_command("healthy", process)


@pytest.mark.django_db
@pytest.mark.parametrize("process", KINDS)
def test_silent_process_is_not_healthy(process):
    Heartbeat.objects.create(kind=KINDS[process], seen_at=timezone.now() - datetime.timedelta(seconds=61))

    with pytest.raises(CommandError, match=f"{process}: silent for 61 s"):
        call_command("healthy", process)


@pytest.mark.django_db
@pytest.mark.parametrize(("process", "other"), [("worker", "scheduler"), ("scheduler", "worker")])
def test_one_process_does_not_speak_for_the_other(process, other):
    Heartbeat.objects.create(kind=KINDS[other], seen_at=timezone.now())

    with pytest.raises(CommandError, match="never seen"):
        call_command("healthy", process)


def test_database_that_does_not_answer_tells_nothing_about_itself(monkeypatch):
    def unreachable() -> str:
        raise DatabaseError("connection to secret-host refused")

    monkeypatch.setitem(healthy.CHECKS, "worker", unreachable)
    with pytest.raises(CommandError, match=r"^worker: DatabaseError$"):
        call_command("healthy", "worker")


class Web(BaseHTTPRequestHandler):
    def do_GET(self):
        is_asked_well = (self.path, self.headers["Host"]) == ("/livez", "coach.example")
        self.send_response(200 if is_asked_well else 400)
        self.end_headers()

    def log_message(self, *_):
        pass


@pytest.fixture
def web():
    server = HTTPServer(("127.0.0.1", 0), Web)
    thread = threading.Thread(target=server.serve_forever, args=[0.01], daemon=True)
    thread.start()
    yield server
    server.shutdown()
    server.server_close()
    thread.join()


def alive(port: int) -> subprocess.CompletedProcess:
    asked = {"PURLIN_SITE_URL": "https://coach.example", "http_proxy": "http://127.0.0.1:9"}
    run = [sys.executable, "-S", str(ALIVE), str(port)]
    return subprocess.run(run, env=asked, capture_output=True, text=True, timeout=20, check=False)


def test_web_process_that_answers_is_alive(web):
    assert alive(web.server_port).returncode == 0


def test_web_process_that_is_gone_is_not_alive(web):
    port = web.server_port
    web.shutdown()
    web.server_close()
    ended = alive(port)

    assert (ended.returncode, ended.stderr) == (1, "The web process does not answer (URLError).\n")
