"""Empty databases for one run."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit


@dataclass(frozen=True)
class Database:
    name: str
    url: str


def sqlite(folder: Path) -> Database:
    return Database("SQLite", f"sqlite:///{folder / 'bench.sqlite3'}")


@contextmanager
def postgresql(server: str) -> Iterator[Database]:
    """A database of our own on the server that an address names, dropped afterwards."""
    import psycopg  # noqa: PLC0415 -- only with PostgreSQL

    name = f"purlin_bench_{os.getpid()}"
    url = urlunsplit(urlsplit(server)._replace(path=f"/{name}"))
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')
        try:
            yield Database("PostgreSQL", url)
        finally:
            connection.execute(f'DROP DATABASE "{name}" WITH (FORCE)')
