"""Storages that answer as no working one does, without a wait."""

import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from submissions.domain.storage import s3
from submissions.domain.storage.s3 import S3Storage


@pytest.fixture
def storage_at(monkeypatch):
    """A storage at an address, that asks once and not three times."""
    patient = s3.client_config
    once = {"mode": "standard", "total_max_attempts": 1}
    monkeypatch.setattr(s3, "client_config", lambda **known: patient(**known).merge(s3.Config(retries=once)))

    def make(endpoint: str, bucket: str = "clips") -> S3Storage:
        keys = {"access_key": "the-key", "secret_key": "the-secret", "region_name": "us-east-1", "location": ""}
        return S3Storage(endpoint_url=endpoint, bucket_name=bucket, **keys)

    return make


@pytest.fixture
def answering():
    """A server that gives one answer, to all methods or `only` one: a status, headers, and bytes before it hangs up."""
    servers = []

    def start(status: int, body: bytes = b"", *, only: str = "", **headers: str) -> str:
        class Handler(BaseHTTPRequestHandler):
            def answer(self) -> None:
                self.send_response(status if only in ("", self.command) else 200)
                for name, value in headers.items():
                    self.send_header(name.replace("_", "-"), value)
                self.end_headers()
                if self.command != "HEAD":
                    self.wfile.write(body)

            do_GET = do_HEAD = do_PUT = do_POST = do_DELETE = answer  # noqa: N815

            def log_message(self, *args: object) -> None:
                pass

        server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        threading.Thread(target=server.serve_forever, args=[0.01], daemon=True).start()
        servers.append(server)
        return f"http://127.0.0.1:{server.server_address[1]}"

    yield start
    for server in servers:
        server.shutdown()
        server.server_close()
