"""The demo loaded once for a module of tests, in a transaction that is never committed."""

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from django.db import transaction
from django.test import override_settings
from django.utils import timezone

from coaching.demo.load import load_demo


@contextmanager
def demo_at(at: datetime.datetime, folder: Path, **options: object) -> Iterator[datetime.datetime]:
    with (
        override_settings(MEDIA_ROOT=folder / "media", UPLOAD_ROOT=folder / "uploads", DEMO=True),
        transaction.atomic(),
    ):
        load_demo(at=at, **options)
        yield at
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def loaded(django_db_setup, django_db_blocker, tmp_path_factory) -> Iterator[datetime.datetime]:
    with django_db_blocker.unblock(), demo_at(timezone.now(), tmp_path_factory.mktemp("demo")) as at:
        yield at
