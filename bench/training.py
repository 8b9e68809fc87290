"""The write path of the phone."""

import json
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path

from django.db import connection, transaction
from django.test import Client as Browser
from django.urls import reverse

from bench.timing import Row, side_by_side
from clients.models import Client
from programs.domain.logging import log_entries
from tests import factories as f
from tests.coaching import scenario

BATCH = 30


def measure(folder: Path) -> Iterator[Row]:
    """A batch of sets against as many bare INSERTs of the same rows. All of it is rolled back each time."""
    client = f.ClientFactory()
    trained = scenario.build(client)
    entries = [_entry(trained, number) for number in range(1, BATCH + 1)]
    with transaction.atomic():
        _log(client, entries)
        rows = _stored(client)
        transaction.set_rollback(True)
    bare = _undone(_bare_inserts(rows))
    one = _undone(_bare_inserts(rows[:1]))
    yield side_by_side(
        f"log {BATCH} sets by the verb / {BATCH} bare INSERTs", _undone(lambda: _log(client, entries)), bare, turns=9
    )
    yield side_by_side(
        f"log {BATCH} sets by the API / {BATCH} bare INSERTs", _undone(_posts(client, entries)), bare, turns=9
    )
    yield side_by_side("log one set by the API / one bare INSERT", _undone(_posts(client, entries[:1])), one, turns=9)


def _entry(trained: scenario.Scenario, number: int) -> dict[str, object]:
    return {
        "uuid": str(uuid.uuid4()),
        "kind": "set",
        "scheduled": str(trained.sessions[0].uuid),
        "prescription": str(trained.prescriptions[0].uuid),
        "number": number,
        "repetitions": 8,
        "load": 40,
        "load_unit": "kg",
        "device_at": f"{trained.sessions[0].on}T18:00:00+00:00",
        "time_zone": "UTC",
    }


def _log(client: Client, entries: list[dict[str, object]]) -> None:
    answers = log_entries(client, entries, at=scenario.AT)
    assert all(answer.is_kept for answer in answers), answers[0]


def _posts(client: Client, entries: list[dict[str, object]]) -> Callable[[], None]:
    """Through all middlewares and the serializer, without a network."""
    phone = Browser(SERVER_NAME="localhost")
    phone.force_login(client.user)
    body = json.dumps({"entries": entries})

    def post() -> None:
        answers = phone.post(reverse("api-log"), body, content_type="application/json").json()["answers"]
        assert all(answer["status"] == "stored" for answer in answers), answers[0]

    return post


def _stored(client: Client) -> list[tuple[object, ...]]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM programs_setlog WHERE client_id = %s", [client.pk])
        rows = cursor.fetchall()
    assert len(rows) == BATCH
    return rows


def _bare_inserts(rows: list[tuple[object, ...]]) -> Callable[[], None]:
    """Into a table with the same columns and neither keys nor indexes nor triggers."""
    places = ", ".join(["%s"] * len(rows[0]))
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE IF NOT EXISTS bench_bare AS SELECT * FROM programs_setlog WHERE 1 = 0")

    def insert() -> None:
        with connection.cursor() as cursor:
            for row in rows:
                cursor.execute(f"INSERT INTO bench_bare VALUES ({places})", row)  # noqa: S608 -- only placeholders

    return insert


def _undone(act: Callable[[], object]) -> Callable[[], None]:
    def run() -> None:
        with transaction.atomic():
            act()
            transaction.set_rollback(True)

    return run
