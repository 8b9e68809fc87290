"""Each person of the demo is what their written truth says: asked of the derived rows that the real rules made."""

import datetime
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db import transaction
from django.test import Client as Browser
from django.test import override_settings
from django.utils import timezone

from clients.domain.safety import require_start
from clients.errors import ClientsError
from clients.models import Client, Practice, User
from coaching.demo.cast import COACHES, PEOPLE
from coaching.demo.load import load_demo
from coaching.models import AttentionItem, Observation, Suggestion, WeeklyRow
from programs.models import Prescription, TrainingLog

pytestmark = [pytest.mark.slow, pytest.mark.django_db]
PERSON = pytest.mark.parametrize("person", PEOPLE, ids=lambda person: person.name)
DECLINING = {"STALLED", "DECLINING", "REGRESSING", "FALLING"}


@pytest.fixture(scope="module")
def loaded(django_db_setup, django_db_blocker, tmp_path_factory) -> Iterator[datetime.datetime]:
    """Loaded once for the module, in a transaction that is never committed."""
    folder = tmp_path_factory.mktemp("demo")
    with (
        django_db_blocker.unblock(),
        override_settings(MEDIA_ROOT=folder / "media", UPLOAD_ROOT=folder / "uploads", DEMO=True),
        transaction.atomic(),
    ):
        at = timezone.now()
        load_demo(at=at)
        yield at
        transaction.set_rollback(True)


def _client(person) -> Client:
    return Client.objects.get(name=person.name)


def test_there_are_three_coaches_and_at_least_24_clients(loaded):
    assert len(COACHES) == 3
    assert Client.objects.count() == len(PEOPLE) >= 24
    assert Practice.objects.count() == 1


def test_logs_reach_back_fourteen_weeks_and_end_now(loaded):
    days = TrainingLog.objects.order_by("training_day").values_list("training_day", flat=True)

    assert (days[len(days) - 1] - days[0]).days >= 13 * 7
    assert loaded.date() - days[len(days) - 1] <= datetime.timedelta(days=2)


@PERSON
def test_state_and_leave_to_train_are_as_written(loaded, person):
    client = _client(person)
    try:
        start = str(require_start(client, on=timezone.localdate(loaded, timezone=client.zone)).ceiling)
    except ClientsError as error:
        start = type(error).__name__

    assert (client.state, start) == (person.truth.state, person.truth.start)


@PERSON
def test_attention_names_just_the_written_reasons(loaded, person):
    kinds = set(AttentionItem.objects.filter(client__name=person.name).values_list("kind", flat=True))

    assert kinds == set(person.truth.attention) | ({"stall"} if person.truth.false_alarms else set())


@PERSON
def test_trends_are_as_written_and_nobody_else_stalls(loaded, person):
    rows = Observation.objects.filter(client__name=person.name)
    names = Prescription.objects.filter(lineage__in=rows.values("lineage"))
    slugs = dict(names.values_list("lineage", "movement__movement__slug"))
    seen = {slugs[row.lineage]: row.verdict.upper() for row in rows}

    wrong = {slug: seen.get(slug) for slug, fits in person.truth.trends.items() if seen.get(slug) not in fits}
    written = {*person.truth.trends, *person.truth.false_alarms}
    unwritten = {slug: verdict for slug, verdict in seen.items() if slug not in written}
    assert wrong == {}
    assert {slug: verdict for slug, verdict in unwritten.items() if verdict in DECLINING} == {}


@PERSON
def test_rules_that_are_written_have_spoken(loaded, person):
    rows = Suggestion.objects.filter(client__name=person.name)

    assert set(person.truth.rules) - set(rows.values_list("rule", flat=True)) == set()


@PERSON
def test_weeks_are_there_for_whoever_trains(loaded, person):
    rows = WeeklyRow.objects.filter(client__name=person.name)

    assert rows.exists() == (person.plan is not None)


TOUR = Path(__file__).parents[2] / "docs" / "tour.md"


def test_tour_names_pages_that_open_and_people_who_are_there(loaded):
    """Steps up to the client's part as the owner, the rest as the client the tour names."""
    coach, client = TOUR.read_text().split("## As a client", 1)
    tours = {"Mara Quell": re.findall(r"`(/[\w/]+/)`", coach), "Ilse Varga": re.findall(r"`(/[\w/]+/)`", client)}
    names = re.findall(r"^\| ([A-Z]\w+ \w+) \|", client, re.MULTILINE)

    answers = {}
    for name, pages in tours.items():
        browser = Browser()
        browser.force_login(User.objects.get(name=name))
        answers |= {page: browser.get(page).status_code for page in pages}

    assert len(answers) >= 8
    assert set(answers.values()) == {200}
    assert set(names) <= set(Client.objects.values_list("name", flat=True))
    assert len(names) >= 7
