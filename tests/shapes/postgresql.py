"""The PostgreSQL that PURLIN_DATABASE_URL names, and databases of a test's own beside it."""

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit

import environ
import psycopg
from psycopg import sql


def connect(url: str) -> psycopg.Connection:
    """To the server's own database: the one that is named need not be there."""
    said = environ.Env.db_url_config(url)
    names = {"host": "HOST", "port": "PORT", "user": "USER", "password": "PASSWORD"}
    where = {name: said[key] for name, key in names.items() if said[key]}
    return psycopg.connect(**where, dbname="postgres", connect_timeout=5, autocommit=True)


@contextmanager
def database_beside(url: str) -> Iterator[str]:
    """An empty database for as long as it is needed; its address."""
    name = f"purlin_test_{secrets.token_hex(4)}"
    with connect(url) as server:
        server.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
    try:
        yield urlsplit(url)._replace(path=f"/{name}").geturl()
    finally:
        with connect(url) as server:
            server.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))
