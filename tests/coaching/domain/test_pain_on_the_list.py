"""Which pain stands on the coach's list, and that nothing told later about another day takes it off."""

import datetime

import pytest

from coaching.domain.attention import _pain
from tests import factories as f

TODAY = f.MONDAY + datetime.timedelta(days=4)
# Each report: how many days ago, how much, what the table answered.
HISTORIES = [
    ("stop, then fine", [(1, 7, "stop_exercise"), (0, 0, "pending")], 7),
    ("open morning, then fine", [(2, 4, "pending"), (0, 0, "pending")], 4),
    ("open morning, then a settled day", [(3, 4, "pending"), (2, 1, "continue")], 4),
    ("open morning, then worse", [(3, 4, "pending"), (1, 8, "stop_exercise")], 8),
    ("stop, then a settled day", [(3, 7, "stop_exercise"), (2, 1, "continue")], None),
    ("told today, morning not over", [(0, 4, "pending")], None),
    ("only fine", [(2, 0, "pending")], None),
]


@pytest.mark.django_db
@pytest.mark.parametrize(("reports", "shown"), [row[1:] for row in HISTORIES], ids=[row[0] for row in HISTORIES])
def test_pain_on_the_list_is_what_still_needs_the_coach(cast, reports, shown):
    for days, during, action in reports:
        f.PainReportFactory(client=cast.client, on=TODAY - datetime.timedelta(days=days), during=during, action=action)

    assert [item["numbers"]["during"] for item in _pain(cast.client, TODAY)] == ([] if shown is None else [shown])


@pytest.mark.django_db
def test_pain_that_came_only_afterwards_is_no_fine_and_its_morning_is_late(cast):
    day = datetime.timedelta(days=1)
    f.PainReportFactory(client=cast.client, on=TODAY - 2 * day, during=0, after=3, action="pending")

    assert [item["numbers"]["after"] for item in _pain(cast.client, TODAY)] == [3]


@pytest.mark.django_db
def test_morning_that_was_told_is_not_late_though_the_table_has_nothing_to_compare_it_with(cast):
    day = TODAY - datetime.timedelta(days=2)
    f.PainReportFactory(client=cast.client, on=day, during=3, after=2, next_morning="usual", action="pending")

    assert list(_pain(cast.client, TODAY)) == []
