"""The write path of the phone."""

import uuid
from collections.abc import Callable
from pathlib import Path

from django.db import connection, transaction

from bench.timing import Result, compared, fastest
from clients.models import Client
from programs.domain.logging import log_entries
from tests import factories as f
from tests.coaching import scenario

BATCH = 30


def log_batch(folder: Path) -> Result:
    """A batch of sets through the log's door against as many bare INSERTs of the same rows."""
    client = f.ClientFactory()
    trained = scenario.build(client)
    entries = [_entry(trained, number) for number in range(1, BATCH + 1)]
    ours = fastest(_undone(lambda: _log(client, entries)), times=5)
    with transaction.atomic():
        _log(client, entries)
    bare = fastest(_undone(_bare_inserts(client)), times=20)
    return compared(f"log {BATCH} sets / {BATCH} bare INSERTs", ours, bare)


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


def _bare_inserts(client: Client) -> Callable[[], None]:
    """Into a table with the same columns and neither keys nor triggers."""
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE bench_bare AS SELECT * FROM programs_setlog WHERE 0")
        cursor.execute("SELECT * FROM programs_setlog WHERE client_id = %s", [client.pk])
        rows = cursor.fetchall()
    assert len(rows) == BATCH
    places = ", ".join(["%s"] * len(rows[0]))

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
