"""All weekly rows of a large practice, beside the engine's own sums."""

import datetime
import os
from collections.abc import Iterator
from pathlib import Path

from django.db import connection
from django.db.models import Sum

from bench.rows import copy_client
from bench.timing import Row, side_by_side
from clients.models import Client, PainReport
from coaching.domain.weekly import rebuild_weeks
from coaching.models import WeeklyRow
from programs.models import Block, BlockSession, ScheduledSession, SetLog, TrainingLog
from tests import factories as f

FULL = bool(os.environ.get("BENCH_FULL"))
CLIENTS = 10_000 if FULL else 500
WEEKS = 52
SETS_A_WEEK = 3
MONDAY = datetime.date(2025, 3, 3)
AT = datetime.datetime(2026, 3, 1, 12, tzinfo=datetime.UTC)


def measure(folder: Path) -> Iterator[Row]:
    practice = f.PracticeFactory()
    client = a_year(f.ClientFactory(practice=practice, state="invited", user=None))
    copy_client(client, [Block, BlockSession, ScheduledSession, TrainingLog, SetLog, PainReport], times=CLIENTS - 1)
    clients = Client.objects.filter(practice=practice)
    sets = f"{CLIENTS:,} clients x {WEEKS} weeks, {CLIENTS * WEEKS * SETS_A_WEEK:,} sets"
    _make_bare_table()
    yield side_by_side(
        f"weekly rows of {sets} / INSERT..SELECT",
        lambda: rebuild_weeks(clients, at=AT),
        lambda: _bare(practice.pk),
        turns=1 if FULL else 3,
        remark="" if FULL else "BENCH_FULL=1 takes 10,000 clients",
        warm=False,
    )
    _require_same_sums(practice.pk)


def a_year(client: Client) -> Client:
    """One session a week with three sets of two movements, rated; one pain report a month."""
    block = f.BlockFactory(client=client, starts_on=MONDAY, weeks=16)
    movements = [f.MovementFactory(revision__pattern=pattern).current for pattern in ("hpush", "squat")]
    for week in range(WEEKS):
        day = MONDAY + datetime.timedelta(weeks=week, days=2)
        session = f.BlockSessionFactory(block=block, week=week % 16 + 1)
        scheduled = f.ScheduledSessionFactory(client=client, session=session, on=day, state="with_numbers")
        f.TrainingLogFactory(client=client, scheduled=scheduled)
        for number in range(1, SETS_A_WEEK + 1):
            f.SetLogFactory(
                client=client, scheduled=scheduled, movement=movements[number % 2], number=number, repetitions=8,
                hard_set="0.5", volume_load_kg="412.125",
            )  # fmt: skip
        if week % 4 == 0:
            f.PainReportFactory(client=client, on=day)
    return client


# What stands in a weekly row, by one statement of the engine: the same sums, into a table without keys.
MONDAY_OF = {
    "sqlite": "date({day}, '-6 days', 'weekday 1')",
    "postgresql": "date_trunc('week', {day})::date",
}
PATTERNS = {"sqlite": "json_group_object(pattern, hard)", "postgresql": "jsonb_object_agg(pattern, hard)::text"}
BARE = """
INSERT INTO bench_weeks
WITH
clients AS (SELECT id FROM clients_client WHERE practice_id = %s),
sessions AS (
  SELECT client_id, {on} AS monday, count(*) AS planned,
    count(*) FILTER (WHERE state IN ('as_planned', 'with_numbers')) AS done,
    count(*) FILTER (WHERE state = 'partly') AS partly, count(*) FILTER (WHERE state = 'skipped') AS skipped,
    count(*) FILTER (WHERE state = 'excused') AS excused,
    count(*) FILTER (WHERE state = 'unknown' OR (state = 'planned' AND "on" < '2026-03-01')) AS not_recorded
  FROM programs_scheduledsession
  WHERE client_id IN (SELECT id FROM clients) AND state NOT IN ('moved', 'withdrawn') AND "on" < '2026-03-02'
  GROUP BY 1, 2),
efforts AS (
  SELECT client_id, {training_day} AS monday,
    sum(session_load_au) FILTER (WHERE outcome <> 'skipped') AS load,
    count(*) FILTER (WHERE outcome <> 'skipped' AND session_load_au IS NULL) AS unrated
  FROM programs_traininglog
  WHERE client_id IN (SELECT id FROM clients) AND is_current AND erased_at IS NULL AND NOT is_withdrawn
  GROUP BY 1, 2),
by_pattern AS (
  SELECT client_id, {training_day} AS monday, pattern, sum(hard_set) AS hard, sum(volume_load_kg) AS volume,
    count(DISTINCT scheduled_id || ' ' || lineage || logged.kind || logged.number) AS sets,
    count(*) FILTER (WHERE volume_load_kg IS NULL AND measure = 'reps') AS without_load,
    sum(seconds) FILTER (WHERE measure = 'seconds') AS held
  FROM programs_setlog logged JOIN programs_movementrevision revision ON revision.id = logged.movement_id
  WHERE client_id IN (SELECT id FROM clients) AND is_current AND erased_at IS NULL AND NOT is_withdrawn
    AND logged.kind <> 'warm_up'
  GROUP BY 1, 2, 3),
sets AS (
  SELECT client_id, monday, sum(sets) AS work_sets, sum(hard) AS hard_sets, sum(volume) AS volume_load_kg,
    sum(without_load) AS without_load, coalesce(sum(held), 0) AS hold_s, {patterns} AS patterns
  FROM by_pattern GROUP BY 1, 2),
pain AS (
  SELECT client_id, {on} AS monday, max(during) AS most FROM clients_painreport
  WHERE client_id IN (SELECT id FROM clients) AND is_current AND erased_at IS NULL AND during IS NOT NULL
  GROUP BY 1, 2)
SELECT sessions.client_id, sessions.monday, planned, done, partly, skipped, excused, not_recorded,
  work_sets, hard_sets, volume_load_kg, without_load, hold_s, load, unrated, most, patterns
FROM sessions
LEFT JOIN efforts ON efforts.client_id = sessions.client_id AND efforts.monday = sessions.monday
LEFT JOIN sets ON sets.client_id = sessions.client_id AND sets.monday = sessions.monday
LEFT JOIN pain ON pain.client_id = sessions.client_id AND pain.monday = sessions.monday
"""
COLUMNS = [
    "client_id bigint", "monday date", "planned int", "done int", "partly int", "skipped int", "excused int",
    "not_recorded int", "work_sets int", "hard_sets decimal", "volume_load_kg decimal", "without_load int",
    "hold_s int", "load decimal", "unrated int", "most int", "patterns text",
]  # fmt: skip


def _make_bare_table() -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE TABLE bench_weeks ({', '.join(COLUMNS)})")


def _bare(practice: int) -> None:
    monday = MONDAY_OF[connection.vendor]
    words = {"on": monday.format(day='"on"'), "training_day": monday.format(day="training_day")}
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM bench_weeks")
        cursor.execute(BARE.format(patterns=PATTERNS[connection.vendor], **words), [practice])


def _require_same_sums(practice: int) -> None:
    """Otherwise the two would not be comparable."""
    ours = WeeklyRow.objects.filter(practice=practice).aggregate(
        *(Sum(name) for name in ("planned", "done", "work_sets", "hard_sets", "session_load_au", "pain_max"))
    )
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT sum(planned), sum(done), sum(work_sets), sum(hard_sets), sum(load), sum(most) FROM bench_weeks"
        )
        bare = cursor.fetchone()
    assert [float(value) for value in ours.values()] == [float(value) for value in bare], (ours, bare)
