"""Derived rows: right, complete, and the same when computed again."""

from decimal import Decimal

import pytest
from django.db import connection
from django.forms.models import model_to_dict
from django.test.utils import CaptureQueriesContext

from clients.domain.pain import report_pain
from coaching.domain.rebuild import clients_to_rebuild, rebuild_client
from coaching.models import AttentionItem, Observation, Suggestion, WeeklyRow
from tests import factories as f
from tests.coaching import scenario as s

pytestmark = pytest.mark.django_db
DERIVED = (WeeklyRow, Observation, AttentionItem, Suggestion)


@pytest.fixture
def trained(cast):
    """40 kg against 8 to 10 reps: the last two sessions end two over the top of the range."""
    scenario = s.build(cast.client, load_entered=40, load_unit="kg", load_kg=40)
    s.log_all(scenario, [10, 10, 12])
    return scenario


def rows_of(model):
    return [model_to_dict(row, exclude=["id", "uuid"]) for row in model.objects.order_by("pk")]


def test_rebuild_twice_gives_the_same_rows(trained):
    rebuild_client(trained.client, at=s.AT)
    first = [rows_of(model) for model in DERIVED]

    rebuild_client(trained.client, at=s.AT)

    assert [rows_of(model) for model in DERIVED] == first


def test_week_sums_what_was_logged(trained):
    rebuild_client(trained.client, at=s.AT)

    week = WeeklyRow.objects.get(monday=s.START)
    assert (week.planned, week.done, week.work_sets, week.hard_sets) == (2, 2, 6, Decimal(6))
    assert week.volume_load_kg == 2 * 32 * 40
    assert week.session_load_au == 540


def test_left_and_right_of_one_set_count_as_one_set(cast):
    scenario = s.build(cast.client)
    for side in ("left", "right"):
        f.SetLogFactory(
            client=cast.client, scheduled=scenario.sessions[0], lineage=scenario.lineage, side=side, hard_set="0.5"
        )

    rebuild_client(cast.client, at=s.AT)

    week = WeeklyRow.objects.get(monday=s.START)
    assert (week.work_sets, week.hard_sets) == (1, Decimal(1))


def test_planned_day_that_passed_is_not_recorded_and_not_skipped(cast):
    s.build(cast.client)

    rebuild_client(cast.client, at=s.AT)

    week = WeeklyRow.objects.get(monday=s.START)
    assert (week.not_recorded, week.skipped) == (2, 0)


def test_two_reps_over_in_two_sessions_suggest_more_load(trained):
    rebuild_client(trained.client, at=s.AT)

    suggestion = Suggestion.objects.get()
    assert (suggestion.action, suggestion.rule) == ("harder", "two_for_two")
    assert suggestion.to_dose["load_kg"] == 42.0
    assert suggestion.sources


@pytest.mark.parametrize("kind", ["top", "back_off"])
def test_top_and_back_off_sets_go_up_as_work_sets_do(cast, kind):
    scenario = s.build(cast.client, sets=1, low=3, high=5, load_entered=40, load_unit="kg", load_kg=40, kind=kind)
    s.log_all(scenario, [7])

    rebuild_client(cast.client, at=s.AT)

    suggestion = Suggestion.objects.get()
    assert (suggestion.rule, suggestion.to_dose["load_kg"]) == ("two_for_two", 42.0)


@pytest.mark.parametrize(("kind", "sets"), [("work", 2), ("top", 1)])
def test_top_set_stays_one_set(cast, kind, sets):
    scenario = s.build(cast.client, sets=1, low=4, high=6, scheme="same", kind=kind)
    s.log_all(scenario, [6], load=None)

    rebuild_client(cast.client, at=s.AT)

    assert Suggestion.objects.get().to_dose["sets"] == sets


@pytest.mark.parametrize("kind", ["warm_up", "max_reps", "cluster"])
def test_other_kinds_of_sets_are_the_coachs_alone(cast, kind):
    more = {"cluster_reps": 2, "rest_within_s": 15} if kind == "cluster" else {}
    s.build(cast.client, sets=1, kind=kind, **more)

    rebuild_client(cast.client, at=s.AT)

    assert not Suggestion.objects.exists()


def test_no_progression_under_pain(trained):
    report_pain(trained.client, area="knee", side="left", during=4, on=s.TODAY, by=trained.client.user, at=s.AT)

    rebuild_client(trained.client, at=s.AT)

    suggestion = Suggestion.objects.get()
    assert suggestion.action == "hold_progression"
    assert suggestion.to_dose["load_kg"] == 40.0


def test_strong_pain_asks_for_attention_with_its_reason(trained):
    report_pain(trained.client, area="knee", side="left", during=7, on=s.TODAY, by=trained.client.user, at=s.AT)

    rebuild_client(trained.client, at=s.AT)

    item = AttentionItem.objects.get(kind="pain")
    assert "Knee, left: 7 of 10" in item.reason
    assert item.source


def test_same_reps_every_set_grow_by_a_set(cast):
    scenario = s.build(cast.client, sets=4, low=4, high=6, scheme="same")
    s.log_all(scenario, [6, 6, 6, 6], load=None)

    rebuild_client(cast.client, at=s.AT)

    suggestion = Suggestion.objects.get()
    assert (suggestion.action, suggestion.to_dose["sets"]) == ("harder", 5)


def test_session_without_numbers_holds_the_dose(cast):
    scenario = s.build(cast.client, load_entered=40, load_unit="kg", load_kg=40)
    s.log_all(scenario, [10, 10, 12], upto=scenario.sessions[-2].on)
    f.TrainingLogFactory(client=cast.client, scheduled=scenario.sessions[6], outcome="as_planned")

    rebuild_client(cast.client, at=s.AT)

    assert Suggestion.objects.get().action == "hold_progression"


def test_lock_stops_every_suggestion(trained):
    from clients.domain.screening import report_red_flags  # noqa: PLC0415

    report_red_flags(trained.client, items=["card.chest"], source="pain", at=s.AT)

    rebuild_client(trained.client, at=s.AT)

    assert Suggestion.objects.get().action == "stop_refer"
    assert AttentionItem.objects.order_by("rank").first().kind == "red_flag"


def test_client_with_new_facts_is_found_and_one_without_is_not(trained):
    from django.utils import timezone  # noqa: PLC0415

    now = timezone.now()
    # The first one fills in the figures of sets that were written straight as rows.
    rebuild_client(trained.client, at=now)
    rebuild_client(trained.client, at=now)
    untouched = clients_to_rebuild(at=now)
    report_pain(trained.client, area="knee", side="left", during=1, on=now.date(), by=trained.client.user, at=now)

    assert trained.client not in untouched
    assert trained.client in clients_to_rebuild(at=now)


def test_rebuild_asks_no_more_of_many_sets_than_of_few(trained):
    rebuild_client(trained.client, at=s.AT)
    counts = []
    for number in (4, 5):
        for n in range(6):
            f.SetLogFactory(
                client=trained.client, scheduled=trained.sessions[n], lineage=trained.lineage, number=number,
                movement=trained.prescriptions[n].movement, repetitions=10, load_entered=40, load_kg=40,
            )  # fmt: skip
        with CaptureQueriesContext(connection) as queries:
            rebuild_client(trained.client, at=s.AT)
        counts.append(len(queries))

    assert counts[0] == counts[1]
