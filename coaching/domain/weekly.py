"""Weekly rows: sums over facts. Methods computed each fact's figures when it was written; the database adds them up."""

import datetime
from collections import defaultdict
from collections.abc import Callable, Collection
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Count, Exists, Max, OuterRef, Q, QuerySet, Sum
from django.db.models.functions import TruncWeek

from clients.models import Client, PainReport
from coaching.models import WeeklyRow
from programs.choices import WORK_SECTIONS, Measure, Outcome, SessionState, SetKind
from programs.domain.building import monday_of
from programs.models import ScheduledSession, SetLog, TrainingLog

RowFor = Callable[[dict[str, Any]], WeeklyRow]
DONE = {SessionState.AS_PLANNED, SessionState.WITH_NUMBERS}
# As in a plan (programs.domain.overview): drills and cooling down are no hard sets. What nobody asked for is one.
OF_WORK = Q(prescription=None) | Q(prescription__group__section__kind__in=WORK_SECTIONS)
# So that writers wait no longer than a moment.
CLIENTS_AT_ONCE = 100


def weekly_rows(client: Client, *, today: datetime.date) -> list[WeeklyRow]:
    """The client's weeks from the first fact to this one, not saved. The same facts give the same rows."""
    return weekly_rows_of([client], today=today)


def weekly_rows_of(clients: Collection[Client], *, today: datetime.date) -> list[WeeklyRow]:
    """The weeks of clients whose calendars show the same day, by client and week."""
    known = {client.pk: client for client in clients}
    rows: dict[tuple[int, datetime.date], WeeklyRow] = {}

    def row(sums: dict[str, Any]) -> WeeklyRow:
        key = (sums["client"], sums["monday"])
        if key not in rows:
            client = known[sums["client"]]
            rows[key] = WeeklyRow(
                practice_id=client.practice_id, client=client, monday=sums["monday"], by_pattern={},
                hard_sets=Decimal(0), volume_load_kg=Decimal(0),
            )  # fmt: skip
        return rows[key]

    _count_sessions(known, row, today)
    _add_efforts(known, row)
    _add_sets(known, row)
    _add_pain(known, row)
    return [rows[key] for key in sorted(rows)]


def _by_week(facts: QuerySet, day: str, *groups: str) -> QuerySet:
    weeks = facts.order_by().annotate(monday=TruncWeek(day))
    return weeks.values("client", "monday", *groups)


def _count_sessions(clients: Collection[int], row: RowFor, today: datetime.date) -> None:
    until_sunday = monday_of(today) + datetime.timedelta(7)
    sessions = ScheduledSession.objects.on_the_plan().filter(client__in=clients, on__lt=until_sunday)
    unknown = Q(state=SessionState.UNKNOWN) | Q(state=SessionState.PLANNED, on__lt=today)
    counts = {
        "planned": Count("pk"),
        "done": Count("pk", filter=Q(state__in=DONE)),
        "partly": Count("pk", filter=Q(state=SessionState.PARTLY)),
        "skipped": Count("pk", filter=Q(state=SessionState.SKIPPED)),
        "excused": Count("pk", filter=Q(state=SessionState.EXCUSED)),
        "not_recorded": Count("pk", filter=unknown),
    }
    for sums in _by_week(sessions, "on").annotate(**counts):
        week = row(sums)
        for name in counts:
            setattr(week, name, sums[name])


def _add_efforts(clients: Collection[int], row: RowFor) -> None:
    logs = TrainingLog.objects.counting().filter(client__in=clients)
    trained = ~Q(outcome=Outcome.SKIPPED)
    for sums in _by_week(logs, "training_day").annotate(
        load=Sum("session_load_au", filter=trained),
        unrated=Count("pk", filter=trained & Q(session_load_au=None)),
    ):
        week = row(sums)
        week.session_load_au = None if sums["load"] is None else _to_places(sums["load"])
        week.sessions_without_effort = sums["unrated"]


def _add_sets(clients: Collection[int], row: RowFor) -> None:
    sets = SetLog.objects.counting().filter(OF_WORK, client__in=clients).exclude(kind=SetKind.WARM_UP)
    amounts: dict[tuple[int, datetime.date], dict[str, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    grouped = _by_week(sets, "training_day", "movement__pattern", "movement__measure").annotate(
        hard=Sum("hard_set"),
        volume=Sum("volume_load_kg"),
        without_load=Count("pk", filter=Q(volume_load_kg=None)),
        held=Sum("seconds"),
    )
    for sums in grouped:
        week, measure = row(sums), sums["movement__measure"]
        amounts[sums["client"], sums["monday"]][sums["movement__pattern"]] += _exact(sums["hard"])
        week.volume_load_kg += _exact(sums["volume"] or Decimal(0))
        if measure == Measure.SECONDS:
            week.hold_s += sums["held"] or 0
        if measure == Measure.REPETITIONS:
            week.sets_without_load += sums["without_load"]
    for (client, monday), hard in amounts.items():
        week = row({"client": client, "monday": monday})
        week.hard_sets = _to_places(sum(hard.values(), Decimal(0)))
        week.volume_load_kg = _to_places(week.volume_load_kg)
        week.by_pattern = {pattern: f"{hard[pattern]:.2f}" for pattern in sorted(hard)}
    for sums in _by_week(_first_sides(sets), "training_day").annotate(sets=Count("pk")):
        row(sums).work_sets = sums["sets"]


def _first_sides(sets: QuerySet[SetLog]) -> QuerySet[SetLog]:
    """Left plus right is one set with two sides: the side that was done first stands for it."""
    earlier = Q(training_day__lt=OuterRef("training_day")) | Q(
        training_day=OuterRef("training_day"), pk__lt=OuterRef("pk")
    )
    same_set = SetLog.objects.counting().filter(
        earlier,
        client=OuterRef("client"),
        scheduled=OuterRef("scheduled"),
        lineage=OuterRef("lineage"),
        kind=OuterRef("kind"),
        number=OuterRef("number"),
    )
    return sets.exclude(Exists(same_set))


def _exact(total: Decimal) -> Decimal:
    """SQLite adds decimals as floating point; the columns have three places."""
    return total.quantize(Decimal("0.001"))


def _to_places(total: Decimal) -> Decimal:
    """As a weekly row stores it: the databases would round differently."""
    return _exact(total).quantize(Decimal("0.01"))


def _add_pain(clients: Collection[int], row: RowFor) -> None:
    reports = PainReport.objects.pains().filter(client__in=clients).exclude(during=None)
    for sums in _by_week(reports, "on").annotate(most=Max("during")):
        row(sums).pain_max = sums["most"]


def rebuild_weeks(clients: QuerySet[Client], *, at: datetime.datetime) -> int:
    """Compute the weekly rows of many clients again, some at a time. Gives how many rows there are now.

    The same rows as rebuild_client's; for when the way of counting has changed, and for bringing in old logs.
    """
    count = 0
    keys = list(clients.filter(erased_at=None).order_by("pk").values_list("pk", flat=True))
    for start in range(0, len(keys), CLIENTS_AT_ONCE):
        count += _rebuild_weeks(keys[start : start + CLIENTS_AT_ONCE], at)
    return count


def _rebuild_weeks(keys: list[int], at: datetime.datetime) -> int:
    with transaction.atomic():
        by_day: dict[datetime.date, list[Client]] = defaultdict(list)
        # In one order, so that two of these wait for each other and for a rebuild, and never in a circle.
        for client in Client.objects.select_for_update().filter(pk__in=keys).order_by("pk"):
            by_day[at.astimezone(client.zone).date()].append(client)
        rows = [row for today, several in by_day.items() for row in weekly_rows_of(several, today=today)]
        WeeklyRow.objects.filter(client__in=keys).delete()
        WeeklyRow.objects.bulk_create(rows, batch_size=500)
    return len(rows)


# What the rules look at in a set (observing, evidence); the rest stays in the database.
JUDGED = (
    "client", "scheduled", "prescription", "lineage", "movement", "training_day", "kind", "number",
    "repetitions", "seconds", "metres", "rir", "load_kg", "system_load_kg",
)  # fmt: skip


def work_sets(client: Client) -> list[SetLog]:
    """Current sets that count as work, oldest first, each with its movement."""
    sets = SetLog.objects.counting().filter(client=client).exclude(kind=SetKind.WARM_UP)
    # Few movements, many sets: a join would make each movement anew for every set.
    judged = sets.only(*JUDGED).prefetch_related("movement__movement", "prescription")
    return list(judged.order_by("training_day", "scheduled", "lineage", "number", "pk"))
