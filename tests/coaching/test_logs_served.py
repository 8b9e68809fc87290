"""The log of the real processes in production: web, worker, scheduler and their parent, at its most talkative."""

import http.client
import json
import os
import secrets
import socket
import socketserver
import subprocess
import sys
import threading
import time
from contextlib import suppress
from pathlib import Path
from urllib.parse import urlencode

import pytest

from tests.coaching import good

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
CANARY = "dotterel4e7b"
PREPARE = """
from importlib import import_module
from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from tests import factories as f
coach = f.MembershipFactory(user__name="CANARY").user
client = f.ClientFactory(practice=f.Practice.objects.get(), name="CANARY")
f.AssignmentFactory(client=client, coach=f.Membership.objects.get())
session = import_module(settings.SESSION_ENGINE).SessionStore()
session[SESSION_KEY], session[HASH_SESSION_KEY] = str(coach.pk), coach.get_session_auth_hash()
session[BACKEND_SESSION_KEY] = settings.AUTHENTICATION_BACKENDS[0]
session.save()
print(session.session_key)
""".replace("CANARY", CANARY)


class RefusingMail(socketserver.StreamRequestHandler):
    """A mail server that takes no letter and quotes the address, as real ones do."""

    def handle(self):
        self.wfile.write(b"220 here\r\n")
        for line in self.rfile:
            word = line[:4].upper()
            if word == b"QUIT":
                self.wfile.write(b"221 bye\r\n")
                return
            self.server.asked.append(line)
            quoted = f"550 {CANARY} unknown: {line.decode().strip()}\r\n"
            self.wfile.write(quoted.encode() if word == b"RCPT" else b"250 ok\r\n")


@pytest.fixture
def mail_server():
    with socketserver.ThreadingTCPServer(("127.0.0.1", 0), RefusingMail) as server:
        server.daemon_threads, server.asked = True, []
        threading.Thread(target=server.serve_forever, args=[0.01], daemon=True).start()
        yield server
        server.shutdown()


@pytest.fixture
def environment(tmp_path, mail_server) -> dict[str, str]:
    return {
        "PATH": os.environ["PATH"],
        "DJANGO_SETTINGS_MODULE": "coaching.settings.production",
        **good.environment(tmp_path),
        "PURLIN_EMAIL_URL": f"smtp://127.0.0.1:{mail_server.server_address[1]}",
        "PURLIN_BEHIND_PROXY": "true",
        "PURLIN_LOG_LEVEL": "DEBUG",
    }


def manage(environment, *command: str) -> str:
    run = [sys.executable, "manage.py", *command]
    return subprocess.run(run, cwd=ROOT, env=environment, check=True, capture_output=True, text=True).stdout.strip()


class Site:
    def __init__(self, port: int, session: str) -> None:
        self.port, self.session = port, session
        self.csrf = secrets.token_hex(16)

    def ask(self, method: str, path: str, body: dict | None = None, **headers: str) -> http.client.HTTPResponse:
        given = {
            "Host": "coach.example",
            "X-Forwarded-Proto": "https",
            "Origin": "https://coach.example",
            "User-Agent": CANARY,
            "Cookie": f"sessionid={self.session}; csrftoken={self.csrf}; other={CANARY}",
            "X-CSRFToken": self.csrf,
            "Content-Type": "application/x-www-form-urlencoded",
        }
        web = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        web.request(method, path, urlencode(body or {}), given | headers)
        answer = web.getresponse()
        answer.read()
        web.close()
        return answer

    def shout(self, raw: bytes) -> None:
        with socket.create_connection(("127.0.0.1", self.port), timeout=10) as connection:
            connection.sendall(raw)
            connection.recv(1000)

    def is_up(self) -> bool:
        with suppress(OSError, http.client.HTTPException):
            return self.ask("GET", "/livez").status == 200
        return False


def wait_for(condition, seconds: float = 240) -> bool:
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        if condition():
            return True
        time.sleep(0.3)
    return False


@pytest.fixture
def served(environment, tmp_path):
    """The site, and the file into which all that its processes print goes."""
    manage(environment, "migrate", "-v0")
    session = manage(environment, "shell", "--no-imports", "-c", PREPARE)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    out = tmp_path / "printed"
    run = [sys.executable, "-u", "manage.py", "serve", "--port", str(port), "--workers", "1", "--jobs", "1"]
    with out.open("wb") as file:
        process = subprocess.Popen(run, cwd=ROOT, env=environment, stdout=file, stderr=subprocess.STDOUT)
    site = Site(port, session)
    try:
        assert wait_for(lambda: process.poll() is not None or site.is_up())
        assert process.poll() is None, out.read_text()
        yield site, out, process
    finally:
        if process.poll() is None:
            process.kill()
        process.wait()


def test_served_processes_print_json_and_no_words_of_anybody(served, mail_server):
    site, out, process = served
    token = secrets.token_urlsafe(32)

    assert site.ask("GET", f"/invitations/{token}/?q={CANARY}").status == 410
    assert site.ask("POST", "/sign-in/", {"login": f"{CANARY}@x.example", "password": CANARY}).status < 500
    assert site.ask("GET", f"/{CANARY}/").status == 404
    assert site.ask("GET", "/", Host=f"{CANARY}.example").status == 400
    assert site.ask("POST", "/pain/", {"note": CANARY}, Origin=f"https://{CANARY}.example").status == 403
    assert site.ask("POST", "/clients/invite/", {"name": CANARY, "email": f"{CANARY}@x.example"}).status == 302
    site.shout(f"{CANARY}\r\n\r\n".encode())
    site.shout(f"GET /{CANARY} HTTP/9.9\r\nHost: {CANARY}\r\n\r\n".encode())
    assert wait_for(lambda: '"clients.send_mail"' in out.read_text())
    process.terminate()
    process.wait(timeout=60)

    printed = out.read_text()
    lines = [json.loads(line) for line in printed.splitlines()]
    assert any(CANARY in line.decode() for line in mail_server.asked)
    assert [word for word in (CANARY, token, site.session, site.csrf) if word in printed] == []
    routes = {(line["route"], line["status"]) for line in lines if line["logger"] == "coaching.access"}
    assert routes >= {("accept-invitation", 410), ("invite-client", 302), (None, 404), (None, 400)}
    assert all("request" in line for line in lines if line["logger"].startswith(("coaching.access", "django.")))
    failed = [line for line in lines if line.get("job_name") == "clients.send_mail"]
    assert failed
    assert all(line["job"] for line in failed)
    assert any(line["message"].startswith("Listening at: …") for line in lines)
    assert {"gunicorn.error", "celery.beat", "jobs.running", "coaching.management.commands.serve"} <= {
        line["logger"] for line in lines
    }
