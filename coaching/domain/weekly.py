"""Weekly rows: sums over facts. Methods computed each fact's figures when it was written."""

import datetime
from collections import defaultdict
from collections.abc import Callable
from decimal import Decimal

from django.db.models import QuerySet

from clients.models import Client, PainReport
from coaching.models import WeeklyRow
from programs.choices import Measure, SessionState, SetKind
from programs.domain.building import monday_of
from programs.models import ScheduledSession, SetLog, TrainingLog

RowFor = Callable[[datetime.date], WeeklyRow]
DONE = {SessionState.AS_PLANNED, SessionState.WITH_NUMBERS}
COUNTED = {
    SessionState.PARTLY: "partly",
    SessionState.SKIPPED: "skipped",
    SessionState.EXCUSED: "excused",
    SessionState.UNKNOWN: "not_recorded",
}


def weekly_rows(client: Client, *, today: datetime.date) -> list[WeeklyRow]:
    """The client's weeks from the first fact to this one, not saved. The same facts give the same rows."""
    rows: dict[datetime.date, WeeklyRow] = {}

    def row(day: datetime.date) -> WeeklyRow:
        monday = monday_of(day)
        if monday not in rows:
            rows[monday] = WeeklyRow(practice_id=client.practice_id, client=client, monday=monday, by_pattern={})
        return rows[monday]

    _count_sessions(client, row, today)
    _add_efforts(client, row)
    _add_sets(client, row)
    _add_pain(client, row)
    return [rows[monday] for monday in sorted(rows)]


def _count_sessions(client: Client, row: RowFor, today: datetime.date) -> None:
    sessions = ScheduledSession.objects.of(client).on_the_plan().filter(on__lt=monday_of(today) + datetime.timedelta(7))
    for session in sessions:
        week, state = row(session.on), session.state_on(today)
        week.planned += 1
        if state in DONE:
            week.done += 1
        elif state in COUNTED:
            setattr(week, COUNTED[state], getattr(week, COUNTED[state]) + 1)


def _add_efforts(client: Client, row: RowFor) -> None:
    for log in TrainingLog.objects.counting().filter(client=client):
        week = row(log.training_day)
        if log.outcome == "skipped":
            continue
        if log.session_load_au is None:
            week.sessions_without_effort += 1
        else:
            week.session_load_au = (week.session_load_au or Decimal(0)) + log.session_load_au


def _add_sets(client: Client, row: RowFor) -> None:
    patterns: dict[datetime.date, dict[str, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    seen: set[tuple] = set()
    for log in work_sets(client).select_related("movement"):
        week = row(log.training_day)
        week.hard_sets += log.hard_set
        patterns[week.monday][log.movement.pattern] += log.hard_set
        key = (log.scheduled_id, log.lineage, log.kind, log.number)
        week.work_sets += key not in seen
        seen.add(key)
        if log.movement.measure == Measure.SECONDS:
            week.hold_s += log.seconds or 0
        if log.volume_load_kg is not None:
            week.volume_load_kg += log.volume_load_kg
        elif log.movement.measure == Measure.REPETITIONS:
            week.sets_without_load += 1
    for monday, amounts in patterns.items():
        row(monday).by_pattern = {pattern: f"{amounts[pattern]:.2f}" for pattern in sorted(amounts)}


def work_sets(client: Client) -> QuerySet[SetLog]:
    """Current sets that count as work."""
    sets = SetLog.objects.counting().filter(client=client)
    return sets.exclude(kind=SetKind.WARM_UP).order_by("training_day", "scheduled", "lineage", "number", "pk")


def _add_pain(client: Client, row: RowFor) -> None:
    for report in PainReport.objects.current().filter(client=client).exclude(during=None):
        week = row(report.on)
        week.pain_max = max(week.pain_max or 0, report.during or 0)
