"""Alive, and ready."""

import datetime

import pytest
from django.db import DatabaseError
from django.urls import reverse
from django.utils import timezone

from coaching import health
from jobs import guards
from jobs.choices import ProcessKind
from jobs.models import Heartbeat


def beats(age_s: float = 0) -> None:
    for kind in ProcessKind:
        Heartbeat.objects.create(kind=kind, seen_at=timezone.now() - datetime.timedelta(seconds=age_s))


def test_alive_is_said_without_a_database(client):
    assert client.get(reverse("livez")).status_code == 200


@pytest.mark.django_db
def test_ready_when_everything_is(client):
    beats()
    answer = client.get(reverse("readyz"))

    assert (answer.status_code, answer.json()["ready"]) == (200, True)
    assert set(answer.json()["checks"]) == {"database", "migrations", "disk", "sweep", "worker", "guards"}


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["sweep", "worker"])
def test_not_ready_before_anyone_was_seen(client, name):
    answer = client.get(reverse("readyz"))

    assert answer.status_code == 503
    assert answer.json()["checks"][name] == {"ok": False, "why": "never seen"}


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["sweep", "worker"])
def test_not_ready_after_a_minute_of_silence(client, name):
    beats(age_s=61)
    answer = client.get(reverse("readyz"))

    assert answer.status_code == 503
    assert answer.json()["checks"][name] == {"ok": False, "why": "silent for 61 s"}


@pytest.mark.django_db
def test_not_ready_without_a_guard(client):
    beats()
    guards.remove()
    answer = client.get(reverse("readyz"))

    assert answer.status_code == 503
    assert answer.json()["checks"]["guards"]["why"] == f"{len(guards.expected_triggers())} missing"


@pytest.mark.django_db
def test_not_ready_with_a_migration_missing(client, monkeypatch):
    beats()
    # The suite makes its tables without migrations.
    monkeypatch.setattr(health.MigrationExecutor, "migration_plan", lambda executor, targets: ["jobs.0002"])
    answer = client.get(reverse("readyz"))

    assert answer.status_code == 503
    assert answer.json()["checks"]["migrations"]["why"] == "1 not applied"


@pytest.mark.django_db
def test_not_ready_on_a_full_disk(client, monkeypatch):
    beats()
    monkeypatch.setattr(health.shutil, "disk_usage", lambda _: type("Usage", (), {"free": 100 * 1024**2})())
    answer = client.get(reverse("readyz"))

    assert answer.status_code == 503
    assert answer.json()["checks"]["disk"]["why"] == "100 MB free"


@pytest.mark.django_db
def test_unreachable_database_is_an_answer_and_tells_no_details(client, monkeypatch):
    def unreachable() -> str:
        raise DatabaseError("connection to secret-host refused for user purlin")

    monkeypatch.setitem(health.CHECKS, "database", unreachable)
    answer = client.get(reverse("readyz"))

    assert answer.status_code == 503
    assert answer.json()["checks"]["database"] == {"ok": False, "why": "DatabaseError"}
