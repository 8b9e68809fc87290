"""Weekly rows: the database's sums against plain ones in Python, for one client and for many at once."""

import datetime
from collections import defaultdict
from decimal import Decimal

import pytest
from django.core.management import call_command
from django.db import connection
from django.forms.models import model_to_dict
from django.test.utils import CaptureQueriesContext
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from clients.models import Client, PainReport
from coaching.domain.rebuild import rebuild_client
from coaching.domain.weekly import rebuild_weeks, weekly_rows
from coaching.models import WeeklyRow
from programs.choices import Measure, Pattern, SectionKind, SessionState
from programs.models import ScheduledSession, SetLog, TrainingLog
from tests import factories as f

AT = datetime.datetime(2026, 3, 15, 11, tzinfo=datetime.UTC)  # a Sunday, and Monday already in Kiritimati
FIRST = datetime.date(2026, 3, 2)
SECTIONS = [SectionKind.CORE, SectionKind.MOBILITY]
COUNTED = {"partly": "partly", "skipped": "skipped", "excused": "excused", "unknown": "not_recorded"}


def plain_rows(client: Client) -> list[dict]:
    """What a week is, said without a database's sums."""
    today = AT.astimezone(client.zone).date()
    weeks: dict[datetime.date, dict] = {}

    def week(day: datetime.date) -> dict:
        monday = day - datetime.timedelta(days=day.weekday())
        empty = dict.fromkeys(("planned", "done", *COUNTED.values(), "work_sets", "sets_without_load", "hold_s"), 0)
        empty |= {"session_load_au": None, "sessions_without_effort": 0, "pain_max": None, "volume_load_kg": Decimal(0)}
        return weeks.setdefault(monday, {"monday": monday, **empty, "patterns": defaultdict(Decimal)})

    for session in ScheduledSession.objects.filter(client=client).exclude(state__in=["moved", "withdrawn"]):
        if session.on < today + datetime.timedelta(days=7 - today.weekday()):
            state = "unknown" if session.state == "planned" and session.on < today else session.state
            week(session.on)["planned"] += 1
            week(session.on)["done"] += state in {"as_planned", "with_numbers"}
            if state in COUNTED:
                week(session.on)[COUNTED[state]] += 1
    for log in TrainingLog.objects.filter(client=client, is_current=True, is_withdrawn=False):
        row = week(log.training_day)
        if log.outcome != "skipped" and log.session_load_au is None:
            row["sessions_without_effort"] += 1
        elif log.outcome != "skipped":
            row["session_load_au"] = (row["session_load_au"] or 0) + log.session_load_au
    counted = set()
    sets = SetLog.objects.filter(client=client, is_current=True, is_withdrawn=False).exclude(kind="warm_up")
    for log in sorted(sets.select_related("movement"), key=lambda log: (log.training_day, log.pk)):
        if log.prescription and log.prescription.group.section.kind not in {"strength", "core"}:
            continue
        row = week(log.training_day)
        row["patterns"][log.movement.pattern] += log.hard_set
        same = (log.scheduled_id, log.lineage, log.kind, log.number)
        row["work_sets"] += same not in counted
        counted.add(same)
        row["hold_s"] += (log.seconds or 0) if log.movement.measure == Measure.SECONDS else 0
        row["volume_load_kg"] += log.volume_load_kg or 0
        row["sets_without_load"] += log.volume_load_kg is None and log.movement.measure == Measure.REPETITIONS
    for report in PainReport.objects.filter(client=client, is_current=True).exclude(during=None):
        week(report.on)["pain_max"] = max(week(report.on)["pain_max"] or 0, report.during)
    return [_finished(weeks[monday]) for monday in sorted(weeks)]


def _finished(week: dict) -> dict:
    patterns = week.pop("patterns")
    hard = sum(patterns.values(), Decimal(0)).quantize(Decimal("0.01"))
    volume = week["volume_load_kg"].quantize(Decimal("0.01"))
    by_pattern = {pattern: f"{amount:.2f}" for pattern, amount in patterns.items()}
    return week | {"hard_sets": hard, "volume_load_kg": volume, "by_pattern": by_pattern}


def as_dict(row: WeeklyRow) -> dict:
    return model_to_dict(row, exclude=["id", "uuid", "client", "practice"])


days = st.integers(0, 20).map(lambda n: FIRST + datetime.timedelta(days=n))
amounts = st.none() | st.decimals(0, 500, places=3)
sessions = st.fixed_dictionaries({"on": days, "state": st.sampled_from([str(state) for state in SessionState])})
sets = st.fixed_dictionaries(
    {
        # Nobody asked for it, as work, as a drill.
        "session": st.integers(0, 2),
        "number": st.integers(1, 2),
        "side": st.sampled_from(["left", "right", "both"]),
        "kind": st.sampled_from(["work", "work", "warm_up", "back_off"]),
        "training_day": days,
        "movement": st.integers(0, 2),
        "hard_set": st.decimals(0, 1, places=3),
        "volume_load_kg": amounts,
        "seconds": st.none() | st.integers(0, 90),
        "is_withdrawn": st.sampled_from([False, False, True]),
    }
)
logs = st.fixed_dictionaries(
    {
        "training_day": days,
        "outcome": st.sampled_from(["with_numbers", "partly", "skipped"]),
        "session_load_au": st.none() | st.decimals(0, 900, places=2),
    }
)
pain = st.fixed_dictionaries({"on": days, "during": st.none() | st.integers(0, 10)})


class TestSums(TestCase):
    @classmethod
    def setUpTestData(cls):
        practice = f.PracticeFactory()
        cls.here = f.ClientFactory(practice=practice)
        cls.elsewhere = f.ClientFactory(practice=practice, time_zone="Pacific/Kiritimati")
        kinds = [
            (Pattern.HORIZONTAL_PUSH, Measure.REPETITIONS),
            (Pattern.HORIZONTAL_PUSH, Measure.SECONDS),
            (Pattern.SQUAT, Measure.REPETITIONS),
        ]
        cls.movements = [
            f.MovementFactory(revision__pattern=pattern, revision__measure=measure).current
            for pattern, measure in kinds
        ]

        cls.asked = {
            client.pk: [None, *map(cls.prescription, [client] * 2, SECTIONS)] for client in (cls.here, cls.elsewhere)
        }

    @staticmethod
    def prescription(client: Client, kind: SectionKind):
        session = f.BlockSessionFactory(block=f.BlockFactory(client=client))
        return f.PrescriptionFactory(group=f.GroupFactory(section=f.SectionFactory(session=session, kind=kind)))

    def write(self, client: Client, facts: dict) -> None:
        for session in facts["sessions"]:
            f.ScheduledSessionFactory(
                client=client, on=session["on"], state=session["state"],
                reason="ill" if session["state"] in {"skipped", "excused"} else "",
            )  # fmt: skip
        trained = [f.ScheduledSessionFactory(client=client, on=FIRST, state="withdrawn") for _ in range(3)]
        lineage, seen = f.ScheduledSessionFactory.build().uuid, set()
        for told in facts["sets"]:
            same = (told["session"], told["kind"], told["number"], told["side"])
            if same in seen and not told["is_withdrawn"]:
                continue
            seen.add(same) if not told["is_withdrawn"] else None
            f.SetLogFactory(
                client=client, scheduled=trained[told["session"]], lineage=lineage, repetitions=8,
                movement=self.movements[told["movement"]], prescription=self.asked[client.pk][told["session"]],
                **{name: value for name, value in told.items() if name not in {"session", "movement"}},
            )  # fmt: skip
        for told in facts["logs"]:
            session = f.ScheduledSessionFactory(client=client, on=FIRST, state="withdrawn")
            reason = "ill" if told["outcome"] == "skipped" else ""
            f.TrainingLogFactory(client=client, scheduled=session, skip_reason=reason, **told)
        for told in facts["pain"]:
            f.PainReportFactory(client=client, **told)

    facts = st.fixed_dictionaries(
        {
            "sessions": st.lists(sessions, max_size=4),
            "sets": st.lists(sets, max_size=8),
            "logs": st.lists(logs, max_size=3),
            "pain": st.lists(pain, max_size=2),
        }
    )

    @settings(max_examples=40)
    @given(here=facts, elsewhere=facts)
    def test_one_client_and_many_at_once_give_the_plain_sums(self, here, elsewhere):
        self.write(self.here, here)
        self.write(self.elsewhere, elsewhere)

        rebuild_weeks(Client.objects.all(), at=AT)

        for client in (self.here, self.elsewhere):
            plain = plain_rows(client)
            alone = weekly_rows(client, today=AT.astimezone(client.zone).date())
            assert [as_dict(row) for row in alone] == plain
            assert [as_dict(row) for row in WeeklyRow.objects.filter(client=client)] == plain


@pytest.mark.django_db
def test_rebuild_of_one_and_of_all_store_the_same_rows(cast):
    for client in (cast.client, cast.other_client):
        f.TrainingLogFactory(client=client)
        f.SetLogFactory(client=client, repetitions=8, hard_set=1)
        rebuild_client(client, at=AT)
    alone = [as_dict(row) for row in WeeklyRow.objects.order_by("client", "monday")]

    rebuild_weeks(Client.objects.all(), at=AT)

    assert [as_dict(row) for row in WeeklyRow.objects.order_by("client", "monday")] == alone
    assert len(alone) > 1


@pytest.mark.django_db
def test_weeks_of_a_practice_leave_the_weeks_of_another_alone(cast):
    f.WeeklyRowFactory(client=cast.stranger_client)

    rebuild_weeks(Client.objects.filter(practice=cast.practice), at=AT)

    assert WeeklyRow.objects.filter(client=cast.stranger_client).exists()


@pytest.mark.django_db
def test_number_of_questions_does_not_grow_with_clients_and_weeks(cast):
    counts = []
    for day in (FIRST, FIRST + datetime.timedelta(days=7)):
        for client in (cast.client, cast.other_client):
            f.SetLogFactory(client=client, repetitions=8, training_day=day)
        with CaptureQueriesContext(connection) as queries:
            rebuild_weeks(Client.objects.all(), at=AT)
        counts.append(len(queries))

    assert counts[0] == counts[1]


@pytest.mark.django_db
def test_command_computes_the_weeks_of_one_practice(cast, capsys):
    for client in (cast.client, cast.stranger_client):
        f.SetLogFactory(client=client, repetitions=8, training_day=FIRST)
        WeeklyRow.objects.filter(client=client).delete()

    call_command("rebuild_weeks", practice=str(cast.practice.uuid))

    assert capsys.readouterr().out == "1 weekly rows.\n"
    assert set(WeeklyRow.objects.values_list("client", flat=True)) == {cast.client.pk}
