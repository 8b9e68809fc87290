"""Weeks kept at once are the weeks that the phone would have told one by one."""

import datetime
from typing import Any

import pytest

from coaching.demo.cast import PEOPLE
from coaching.demo.loading import recording
from coaching.demo.loading.days import Now
from programs.domain.logging import ALREADY_STORED, log_entries
from programs.models import Block, ScheduledSession, SetLog, TrainingLog
from tests.coaching.demo_house import demo_at

pytestmark = [pytest.mark.slow, pytest.mark.django_db]
AT = datetime.datetime(2026, 3, 25, 14, tzinfo=datetime.UTC)
# Holds, sides and pounds; nights; sessions skipped, also as ill; one tap; sets that nobody asked for.
TELLING = [
    person
    for person in PEOPLE
    if person.email.partition("@")[0] in {"greta", "desta", "meerav", "mateus", "suha", "kojo"}
]
# What two loads cannot have in common.
OWN = {
    "id",
    "uuid",
    "created_at",
    "sent_sha256",
    "scheduled",
    "prescription",
    "lineage",
    "movement",
    "client",
    "session",
    "practice",
    # How often and when a row changed on the way is no part of where it ended.
    "changes",
    "changed_at",
}
BY_NAME = pytest.mark.parametrize("person", TELLING, ids=lambda person: person.email.partition("@")[0])


def contents(rows: Any, *places: str) -> list[tuple[Any, ...]]:
    """Every column that says something, and where the row belongs."""
    names = sorted(field.name for field in rows.model._meta.local_concrete_fields if field.name not in OWN)
    return sorted(rows.values_list(*places, *names), key=repr)


def told(person: Any, folder: Any, **how: Any) -> dict[str, list[tuple[Any, ...]]]:
    of_set = ("scheduled__on", "scheduled__session__name", "movement__movement__slug")
    with demo_at(AT, folder, people=[person], **how):
        return {
            "sets": contents(SetLog.objects.all(), *of_set),
            "sessions": contents(TrainingLog.objects.all(), "scheduled__on", "scheduled__session__name"),
            "states": contents(ScheduledSession.objects.all(), "session__name"),
        }


@BY_NAME
def test_rows_kept_at_once_equal_those_told_one_by_one(person, tmp_path):
    at_once = told(person, tmp_path)
    one_by_one = told(person, tmp_path, one_by_one=True)

    assert at_once == one_by_one
    assert at_once["sessions"] != []


@BY_NAME
def test_phone_that_tells_it_all_again_hears_that_it_is_stored(person, tmp_path):
    with demo_at(AT, tmp_path, people=[person]):
        answers = []
        for block in Block.objects.filter(state="published").order_by("starts_on"):
            for session in recording.sessions_of(block.client, person, person.plan, block, now=Now(AT)):
                sent = [recording.as_sent(entry) for entry in session.entries]
                answers += log_entries(block.client, sent, at=AT)

    assert {answer.status for answer in answers} == {ALREADY_STORED}
