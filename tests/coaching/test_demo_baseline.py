"""The baselines of the demo: one repeated after some weeks, one left half-way; told through the verbs of the pages."""

import datetime

import pytest

from clients.models import Client
from coaching.demo.cast import PEOPLE
from programs.domain.baseline import open_request, results_of, run_under_way, sex_for_norms
from programs.domain.baseline_maxima import max_histories
from programs.domain.baseline_page import run_page
from programs.domain.baseline_reading import histories, person_of
from programs.models import BaselineRun
from tests.coaching.demo_house import demo_at

pytestmark = [pytest.mark.slow, pytest.mark.django_db]
AT = datetime.datetime(2026, 3, 25, 14, tzinfo=datetime.UTC)


def one(name):
    return [person for person in PEOPLE if person.name.startswith(name)]


def test_repeated_baseline_has_a_change_a_norm_and_words_where_none_is_known(tmp_path):
    with demo_at(AT, tmp_path, people=one("Ronja")):
        client = Client.objects.get()
        found = {
            (history.code, history.shown[0].row.side): history.shown[0]
            for history in histories(client, person_of(client, sex_for_norms(client) or ""))
        }
        finished = BaselineRun.objects.exclude(finished_at=None).count()
        maxima = [[words for _row, words in history.shown] for history in max_histories(client)]

    assert finished == 2
    # 14.9 s for women on the right, 16.8 s on the left; 21 and 7 s more.
    assert "more than the test's own noise" in found["side-bridge", "left"].change
    assert "within the test's own noise" in found["side-bridge", "right"].change
    assert "unknown" in found["dead-hang", "both"].change
    assert "men on their toes and women on their knees" in found["push-ups", "both"].reading.why_none
    assert found["pull-ups", "both"].reading.norms
    # 70.4 + 22.5 kg after 70 + 15 kg.
    assert [words[:4] for words in maxima[0]] == ["+9.3", ""]


def test_half_way_baseline_waits_where_it_was_left(tmp_path):
    with demo_at(AT, tmp_path, people=one("Ewa")):
        client = Client.objects.get()
        run = run_under_way(client)
        page = run_page(run, on=AT.date())
        told = [row.test for row in results_of(run)]
        asked = open_request(client)

    assert told == ["sit-to-stand", "push-ups", "pull-ups", "side-bridge", "dead-hang"]
    assert "side-bridge" in [row.test.code for row in page.ahead]
    assert "new goal" in asked.words
