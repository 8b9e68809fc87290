"""The desk: computing a client's derived rows, and the page that every coach opens first."""

from pathlib import Path

from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from bench.timing import Result, compared, fastest
from clients.models import Assignment, Client, Membership
from coaching.domain.rebuild import rebuild_client
from coaching.models import AttentionItem
from programs.models import SetLog
from tests import factories as f
from tests.coaching import scenario

SETS_PER_SESSION = 60


def rebuild(folder: Path) -> Result:
    """All derived rows of a client against reading the same sets without a model."""
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
                load_entered=40,
                load_unit="kg",
                load_kg=40,
                rir=2,
            )
            for number in range(1, SETS_PER_SESSION + 1)
        )
    ours = fastest(lambda: rebuild_client(client, at=scenario.AT), times=3)
    bare = fastest(lambda: _fetch_sets(client), times=20)
    count = SetLog.objects.of(client).count()
    return compared(f"rebuild one client ({count} sets) / fetch its sets", ours, bare)


def _fetch_sets(client: Client) -> list[tuple[object, ...]]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM programs_setlog WHERE client_id = %s", [client.pk])
        return cursor.fetchall()


def attention_page(folder: Path) -> Result:
    """The desk with 200 clients against 20. The number of queries must not grow."""
    few, few_queries = _desk(clients=20)
    many, many_queries = _desk(clients=200)
    remark = f"{many_queries} queries against {few_queries}"
    return compared("desk of 200 clients / of 20 clients", many, few, remark)


def _desk(*, clients: int) -> tuple[float, int]:
    coach = f.MembershipFactory()
    _caseload(coach, clients)
    browser = Browser(SERVER_NAME="localhost")
    browser.force_login(coach.user)
    browser.get(reverse("desk"))
    with CaptureQueriesContext(connection) as queries:
        assert browser.get(reverse("desk")).status_code == 200
    count = len(queries)
    return fastest(lambda: browser.get(reverse("desk")), times=5), count


def _caseload(coach: Membership, count: int) -> None:
    house = coach.practice
    people = Client.objects.bulk_create(
        Client(practice=house, name=f"Client {n}", state="invited") for n in range(count)
    )
    Assignment.objects.bulk_create(
        Assignment(practice=house, client=person, coach=coach, kind="lead", from_at=f.NOON) for person in people
    )
    AttentionItem.objects.bulk_create(
        f.AttentionItemFactory.build(practice=house, client=person, key=key)
        for person in people
        for key in ("stall", "pain")
    )
