"""All derived rows of one client, after something about them has changed."""

from collections.abc import Iterator
from pathlib import Path

from django.db import connection

from bench.timing import Row, side_by_side
from clients.models import Client
from coaching.domain.rebuild import rebuild_client
from programs.domain.figures import recompute_sets
from programs.models import SetLog
from tests import factories as f
from tests.coaching import scenario

SETS_PER_SESSION = 60


def measure(folder: Path) -> Iterator[Row]:
    client = trained_client()
    count = SetLog.objects.of(client).count()
    yield side_by_side(
        f"rebuild one client ({count} sets) / fetch those sets",
        lambda: rebuild_client(client, at=scenario.AT),
        lambda: _fetch_sets(client),
        turns=9,
    )


def trained_client() -> Client:
    client = f.ClientFactory()
    trained = scenario.build(client)
    for session, prescription in zip(trained.sessions, trained.prescriptions, strict=True):
        SetLog.objects.bulk_create(
            f.SetLogFactory.build(
                client=client,
                practice=client.practice,
                scheduled=session,
                prescription=prescription,
                lineage=trained.lineage,
                movement=prescription.movement,
                number=number,
                repetitions=8,
                load_entered=40,
                load_unit="kg",
                load_kg=40,
                rir=2,
            )
            for number in range(1, SETS_PER_SESSION + 1)
        )
    recompute_sets(client)
    return client


def _fetch_sets(client: Client) -> list[tuple[object, ...]]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM programs_setlog WHERE client_id = %s", [client.pk])
        return cursor.fetchall()
