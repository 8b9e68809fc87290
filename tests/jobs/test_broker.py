"""The hints' way: messages that are whole, in a folder of our own; a scheduler that sweeps by itself."""

import stat
from pathlib import Path

import pytest
from kombu import Connection

from coaching.celery import app, transport_options
from jobs import broker, delivery, sweeping
from jobs.choices import ProcessKind
from jobs.models import Heartbeat
from jobs.pulse import SweepingScheduler


@pytest.fixture
def connection(tmp_path):
    options = transport_options("filesystem://localhost", tmp_path / "broker")
    with Connection("filesystem://localhost", transport_options=options) as connection:
        assert isinstance(connection.transport, broker.Transport)
        yield connection


# kombu remembers a queue's folder for as long as the process lives: each test has a queue of its own.


def test_message_arrives_as_it_was_sent(connection):
    queue = connection.SimpleQueue("first")
    queue.put({"job": 17})

    assert queue.get(timeout=5).payload == {"job": 17}


def test_message_appears_only_when_it_is_whole(connection, tmp_path, monkeypatch):
    seen: list[list[str]] = []
    rename = broker.os.rename

    def look_then_rename(part: Path, target: Path) -> None:
        seen.append([path.name for path in target.parent.glob("*.msg")])
        assert part.read_text().endswith("}")
        rename(part, target)

    monkeypatch.setattr(broker.os, "rename", look_then_rename)
    connection.SimpleQueue("second").put({"job": 17})

    assert seen == [[]]
    assert len(list((tmp_path / "broker" / "waiting").glob("*.second.msg"))) == 1


def test_delivered_message_stays_in_our_folder(connection, tmp_path):
    queue = connection.SimpleQueue("third")
    queue.put({"job": 17})
    queue.get(timeout=5)

    assert len(list((tmp_path / "broker" / "delivered").glob("*.msg"))) == 1


def test_folder_is_for_its_owner_alone(connection, tmp_path):
    for folder in ["broker", "broker/waiting", "broker/delivered", "broker/control"]:
        assert stat.S_IMODE((tmp_path / folder).stat().st_mode) == 0o700


def test_folder_is_looked_at_often_enough_for_short_jobs(connection):
    assert connection.transport.polling_interval == 0.1


def test_celery_speaks_json_only():
    assert (app.conf.accept_content, app.conf.task_serializer) == (["json"], "json")


@pytest.fixture
def scheduler(tmp_path, settings):
    settings.BROKER_FOLDER = tmp_path
    return SweepingScheduler(app)


@pytest.mark.django_db
def test_scheduler_sweeps_in_its_own_process_and_says_so(scheduler, monkeypatch):
    monkeypatch.setattr(delivery, "close_old_connections", lambda: None)
    entry = scheduler.schedule["sweep"]
    scheduler.apply_entry(entry)

    assert Heartbeat.objects.filter(kind=ProcessKind.SCHEDULER).exists()


@pytest.mark.django_db
def test_scheduler_whose_sweep_fails_leaves_no_sign_of_life_and_goes_on(scheduler, monkeypatch, caplog):
    def fail(**_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(delivery, "close_old_connections", lambda: None)
    monkeypatch.setattr(sweeping, "sweep", fail)
    scheduler.apply_entry(scheduler.schedule["sweep"])

    assert not Heartbeat.objects.exists()
    assert "The sweep failed: ZeroDivisionError" in caplog.text
