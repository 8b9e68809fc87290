"""Derived rows are thrown away and computed again from the facts. The same facts give the same rows."""

import datetime
from typing import Any

from django.db import transaction
from django.db.models import Exists, OuterRef, Q, Subquery

import jobs
from clients.models import BodyMass, Clearance, Client, PainReport, ProtectedArea, RedFlagReport, Screening
from coaching.domain.attention import attention_items
from coaching.domain.evidence import surroundings
from coaching.domain.observing import observations
from coaching.domain.suggesting import suggestions
from coaching.domain.weekly import weekly_rows
from coaching.models import AttentionItem, DeskState, Observation, Suggestion, WeeklyRow
from programs.domain.figures import recompute_sets
from programs.models import Block, ScheduledSession, SetLog, TrainingLog
from submissions.models import Review


def rebuild_client(client: Client, *, at: datetime.datetime) -> None:
    """Compute a client's weekly rows, observations, attention and suggestions again, and note when."""
    today = at.astimezone(client.zone).date()
    with transaction.atomic():
        # One rebuild of a client at a time; a second one waits and finds the same.
        Client.objects.select_for_update().get(pk=client.pk)
        DeskState.objects.update_or_create(
            client=client, defaults={"practice_id": client.practice_id, "rebuilt_at": at, "day": today}
        )
        # A body mass that came in meanwhile changes the figures stored beside the sets.
        recompute_sets(client)
        seen = observations(client, today=today)
        _replace(WeeklyRow, client, weekly_rows(client, today=today))
        _replace(Observation, client, seen)
        _replace(AttentionItem, client, attention_items(client, seen, today=today))
        _replace(Suggestion, client, suggestions(surroundings(client, today=today)))


def _replace(model: Any, client: Client, rows: list[Any]) -> None:
    model.objects.filter(client=client).delete()
    model.objects.bulk_create(rows)


# Facts that a lower room wrote after the last rebuild, by the moment each row was written.
FACTS = (
    SetLog, TrainingLog, PainReport, Review, Screening, Clearance, RedFlagReport, BodyMass, ProtectedArea,
    ScheduledSession, Block,
)  # fmt: skip


def clients_to_rebuild(*, at: datetime.datetime) -> list[Client]:
    """Clients with facts newer than their rows, or whose rows are of another day."""
    state = DeskState.objects.filter(client=OuterRef("pk"))
    known = Client.objects.filter(erased_at=None).annotate(rebuilt_at=Subquery(state.values("rebuilt_at")[:1]))
    newer = Q(rebuilt_at=None)
    for model in FACTS:
        newer |= Q(Exists(model.objects.filter(client=OuterRef("pk"), created_at__gte=OuterRef("rebuilt_at"))))
    found: dict[int, Client] = {client.pk: client for client in known.filter(newer)}
    for desk in DeskState.objects.select_related("client"):
        if desk.day != at.astimezone(desk.client.zone).date():
            found[desk.client_id] = desk.client
    return [found[pk] for pk in sorted(found)]


def request_rebuilds(*, at: datetime.datetime) -> int:
    """One job per client that needs it; joins one that still waits."""
    clients = clients_to_rebuild(at=at)
    for client in clients:
        with transaction.atomic():
            jobs.ensure("coaching.rebuild_client", client.pk)
    return len(clients)
