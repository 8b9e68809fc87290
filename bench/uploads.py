"""A clip on its way in: our web process, as served, beside a plain copy of the file and beside the Node tus server."""

import base64
import filecmp
import http.client
import os
import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from django.conf import settings
from django.test import Client as Browser
from django.urls import reverse
from django.utils.crypto import get_random_string

from bench.timing import Row, side_by_side
from clients.choices import ConsentKind
from coaching.management.commands.serve import children
from tests import factories as f

MEGABYTES = 200
# As clip-upload.js cuts a clip.
PIECE = 8 * 1024 * 1024
TURNS = 3
NODE = Path(__file__).with_name("node")
TUS = {"Tus-Resumable": "1.0.0"}


def measure(folder: Path) -> Iterator[Row]:
    source = folder / "clip.mov"
    source.write_bytes(os.urandom(MEGABYTES * 1024 * 1024))
    with our_server() as ours:

        def send() -> None:
            _require_same(source, Path(settings.UPLOAD_ROOT) / f"{ours.send(source)}.part")

        what = f"upload {MEGABYTES} MB by tus"
        yield side_by_side(
            f"{what} / plain copy of the file, fsynced", send, lambda: _copy(source, folder), turns=TURNS
        )
        with node_server(folder / "node") as (theirs, missing):
            if theirs is None:
                yield Row(f"{what} / the Node tus server", remark=missing)
            else:
                kept = folder / "node"

                def send_there() -> None:
                    _require_same(source, kept / theirs.send(source))

                yield side_by_side(f"{what} / the Node tus server", send, send_there, turns=TURNS)


def _copy(source: Path, folder: Path) -> None:
    target = folder / "copy.mov"
    with source.open("rb") as read, target.open("wb") as written:
        shutil.copyfileobj(read, written, PIECE)
        written.flush()
        os.fsync(written.fileno())
    _require_same(source, target)


def _require_same(source: Path, target: Path) -> None:
    """Every byte, every time: on all sides, so that it costs them alike."""
    assert filecmp.cmp(source, target, shallow=False), target
    target.unlink()


@dataclass
class TusServer:
    """One client for both servers: plain HTTP over one connection, in equal pieces."""

    port: int
    path: str
    headers: dict[str, str] = field(default_factory=dict)
    metadata: dict[str, str] = field(default_factory=dict)

    def send(self, source: Path) -> str:
        """The name the server gave to the upload."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        length = source.stat().st_size
        said = ",".join(f"{key} {base64.b64encode(value.encode()).decode()}" for key, value in self.metadata.items())
        # An empty one is refused.
        about = {"Upload-Metadata": said} if said else {}
        created = self._ask(connection, "POST", self.path, {"Upload-Length": str(length)} | about)
        place = created.headers["Location"].removeprefix(f"http://127.0.0.1:{self.port}")
        with source.open("rb") as file:
            while piece := file.read(PIECE):
                offset = str(file.tell() - len(piece))
                patch = {"Upload-Offset": offset, "Content-Type": "application/offset+octet-stream"}
                answer = self._ask(connection, "PATCH", place, patch, piece)
        connection.close()
        assert answer.headers["Upload-Offset"] == str(length)
        return place.rstrip("/").rpartition("/")[2]

    def _ask(
        self, connection: http.client.HTTPConnection, method: str, path: str, headers: dict[str, str], body: bytes = b""
    ) -> http.client.HTTPResponse:
        connection.request(method, path, body, TUS | self.headers | headers | {"Content-Length": str(len(body))})
        answer = connection.getresponse()
        words = answer.read()
        assert answer.status in {201, 204}, (method, answer.status, words[:500])
        return answer


@contextmanager
def our_server() -> Iterator[TusServer]:
    """The web process of `manage.py serve`, with one worker, and a client who may film."""
    client = f.ClientFactory()
    f.ConsentFactory(client=client, kind=ConsentKind.VIDEO)
    scheduled = f.ScheduledSessionFactory(client=client)
    section = f.SectionFactory(session=scheduled.session)
    prescription = f.PrescriptionFactory(group=f.GroupFactory(section=section))
    browser = Browser(SERVER_NAME="localhost")
    browser.force_login(client.user)
    session = browser.cookies[settings.SESSION_COOKIE_NAME].value
    # A form of our own pages would have been given one.
    token = get_random_string(32)
    cookies = {settings.SESSION_COOKIE_NAME: session, settings.CSRF_COOKIE_NAME: token}
    said = "; ".join(f"{name}={value}" for name, value in cookies.items())
    headers = {"Cookie": said, "X-CSRFToken": token}
    port = _free_port()
    metadata = {"scheduled": str(scheduled.uuid), "prescription": str(prescription.uuid), "camera_side": "left"}
    web = children(host="127.0.0.1", port=port, workers=1, jobs=1)[0]
    with _running(web.command, port):
        yield TusServer(port, reverse("uploads"), headers, metadata)


@contextmanager
def node_server(folder: Path) -> Iterator[tuple[TusServer | None, str]]:
    """Installed into bench/node from its lock file when it is not there yet."""
    if shutil.which("npm") is None:
        yield None, "no npm"
        return
    if not (NODE / "node_modules").exists():
        subprocess.run(["npm", "ci", "--silent"], cwd=NODE, check=True)
    folder.mkdir()
    port = _free_port()
    with _running(["node", str(NODE / "server.js"), str(port), str(folder)], port):
        yield TusServer(port, "/files"), ""


@contextmanager
def _running(command: list[str], port: int) -> Iterator[None]:
    # In a group of its own: node may be started by a wrapper, which would leave it behind.
    process = subprocess.Popen(command, start_new_session=True)
    try:
        _wait_for(port, process)
        yield
    finally:
        os.killpg(process.pid, signal.SIGTERM)
        process.wait(timeout=20)


def _wait_for(port: int, process: subprocess.Popen) -> None:
    for _ in range(200):
        assert process.poll() is None, f"{process.args} ended with {process.returncode}"
        with socket.socket() as asked:
            if asked.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    raise TimeoutError(f"nobody answers at port {port}")


def _free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]
