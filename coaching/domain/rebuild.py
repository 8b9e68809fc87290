"""Derived rows are computed again from the facts. The same facts give the same rows.

Which clients need it is told by marks, not by clocks. A fact carries the moment it was written, but it is seen only
when its transaction commits: a rebuild in between would read neither the fact nor anything that says it is missing,
and its own moment would be the later one. So the database leaves an UnseenChange in the transaction of each change. A
rebuild takes the marks it sees before it reads; whatever becomes visible later brings its mark along and is found by
the next sweep. Nothing depends on how long a transaction lasts or on two machines' clocks (docs/decisions/speed.md).
"""

import datetime
import json
from typing import Any

from django.db import models, transaction
from django.db.models import Exists, OuterRef, Q

import jobs
from clients.models import Client
from coaching.domain.attention import attention_items
from coaching.domain.deciding import put_away
from coaching.domain.evidence import surroundings
from coaching.domain.observing import observations
from coaching.domain.suggesting import suggestions
from coaching.domain.weekly import weekly_rows, work_sets
from coaching.models import AttentionItem, DeskState, Observation, Suggestion, UnseenChange, WeeklyRow
from programs.domain.figures import figures_are_stale, recompute_sets


def rebuild_client(client: Client, *, at: datetime.datetime) -> None:
    """Compute a client's weekly rows, observations, attention and suggestions again, and note when."""
    today = at.astimezone(client.zone).date()
    with transaction.atomic():
        # One rebuild of a client at a time; a second one waits and finds the same.
        Client.objects.select_for_update().get(pk=client.pk)
        # Before anything is read: each statement sees what was committed until it began.
        UnseenChange.objects.filter(client=client).delete()
        # A body mass that came in meanwhile changes the figures stored beside the sets.
        if figures_are_stale(client):
            recompute_sets(client)
        sets = work_sets(client)
        seen = observations(client, today=today, sets=sets)
        _replace(WeeklyRow, client, weekly_rows(client, today=today))
        _replace(Observation, client, seen)
        _replace(AttentionItem, client, put_away(client, attention_items(client, seen, today=today)))
        _replace(Suggestion, client, suggestions(surroundings(client, today=today, sets=sets)))
        DeskState.objects.update_or_create(
            client=client, defaults={"practice_id": client.practice_id, "rebuilt_at": at, "day": today}
        )


# What names a row among those of its client.
NAMES = {WeeklyRow: "monday", Observation: "lineage", AttentionItem: "key", Suggestion: "key"}
NOT_CONTENT = {"id", "uuid", "created_at"}


def _replace(model: Any, client: Client, rows: list[Any]) -> None:
    """Store these rows instead of those that stand.

    A row that says the same stays, so that a page that is open can still answer to it. One that changed keeps its
    place and gets a new uuid: an answer to what was shown before finds nothing.
    """
    name = NAMES[model]
    standing = {getattr(row, name): row for row in model.objects.filter(client=client)}
    new, changed = [], []
    for row in rows:
        old = standing.pop(getattr(row, name), None)
        if old is None:
            new.append(row)
        elif _content(row) != _content(old):
            row.pk = old.pk
            changed.append(row)
    model.objects.filter(pk__in=[row.pk for row in standing.values()]).delete()
    model.objects.bulk_update(changed, ["uuid", *(field.name for field in _content_fields(model))])
    model.objects.bulk_create(new)


def _content_fields(model: Any) -> list[Any]:
    return [field for field in model._meta.local_concrete_fields if field.name not in NOT_CONTENT]


def _content(row: Any) -> list[Any]:
    return [_as_stored(field, getattr(row, field.attname)) for field in _content_fields(type(row))]


def _as_stored(field: models.Field, value: Any) -> Any:
    return json.loads(json.dumps(value)) if isinstance(field, models.JSONField) else value


def clients_to_rebuild(*, at: datetime.datetime) -> list[Client]:
    """Clients about whom something was written since, who were never computed, or whose rows are of another day."""
    changed = Exists(UnseenChange.objects.filter(client=OuterRef("pk")))
    known = Client.objects.filter(erased_at=None).annotate(day=_day_of_rows())
    return list(known.filter(Q(changed) | Q(day=None) | _other_day(at)).order_by("pk"))


def _day_of_rows() -> models.Subquery:
    return models.Subquery(DeskState.objects.filter(client=OuterRef("pk")).values("day")[:1])


def _other_day(at: datetime.datetime) -> Q:
    """Each client's own calendar turns at another moment."""
    other = Q(pk=None)
    for zone in Client.objects.order_by().values_list("time_zone", flat=True).distinct():
        other |= Q(time_zone=zone) & ~Q(day=at.astimezone(Client(time_zone=zone).zone).date())
    return other


def request_rebuilds(*, at: datetime.datetime) -> int:
    """One job per client that needs it; joins one that still waits."""
    # Of an erased client nothing is computed any more.
    UnseenChange.objects.filter(client__in=Client.objects.exclude(erased_at=None)).delete()
    clients = clients_to_rebuild(at=at)
    for client in clients:
        with transaction.atomic():
            jobs.ensure("coaching.rebuild_client", client.pk, practice=client.practice_id)
    return len(clients)
