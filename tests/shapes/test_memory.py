"""A large clip goes through a process without passing through its memory. The server is another process."""

import json
import os
import socket
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from tests.shapes import s3

pytestmark = pytest.mark.slow
ROOT = Path(__file__).resolve().parents[2]
SIZE = 160 * 1024 * 1024
ASK = """
import json, resource, sys
from pathlib import Path
import django
django.setup()
from django.core.files.storage import storages

storage, clip = storages["default"], Path(sys.argv[1])
storage.client
peaks = {}

def note(step):
    peaks[step] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024

note("before")
storage.put(clip, "clips/large")
note("put")
part = storage.open_part("clips/large", 0, clip.stat().st_size)
while part.read(65536):
    pass
note("play")
storage.fetch("clips/large", clip.with_name("fetched"))
note("fetch")
print(json.dumps(peaks))
"""


@pytest.fixture
def variables():
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "moto.server", "-H", "127.0.0.1", "-p", str(port)]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    named = {"PURLIN_S3_ENDPOINT": f"http://127.0.0.1:{port}", "PURLIN_S3_BUCKET": s3.BUCKET}
    named |= {"PURLIN_S3_KEY": "tests", "PURLIN_S3_SECRET": "tests-only"}
    try:
        wait_for(port)
        s3.client_of(named).create_bucket(Bucket=s3.BUCKET)
        yield named
    finally:
        server.kill()
        server.wait()


def wait_for(port: int) -> None:
    deadline = time.monotonic() + 60
    while time.monotonic() < deadline:
        with suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
            return
        time.sleep(0.2)
    raise TimeoutError("the S3 server did not start")


def test_large_clip_is_put_played_and_fetched_without_passing_through_memory(variables, tmp_path):
    clip = tmp_path / "clip"
    with clip.open("wb") as file:
        file.truncate(SIZE)
    environment = os.environ | variables | {"DJANGO_SETTINGS_MODULE": "coaching.settings.test"}

    run = [sys.executable, "-c", ASK, str(clip)]
    said = subprocess.run(run, cwd=ROOT, env=environment, stdout=subprocess.PIPE, check=True, timeout=300)

    peaks = json.loads(said.stdout)
    assert (tmp_path / "fetched").stat().st_size == SIZE
    # Megabytes above what the process had before. A clip in memory would be 160.
    assert {step: peak - peaks["before"] < 60 for step, peak in peaks.items()} == dict.fromkeys(peaks, True)
