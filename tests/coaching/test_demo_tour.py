"""Every step of docs/tour.md is walked: the page opens for that person and says what the tour quotes."""

import html
import re
from pathlib import Path

import pytest
from django.test import Client as Browser
from django.urls import reverse

from clients.models import Client, User
from coaching.demo.cast import PEOPLE
from tests.coaching.demo_house import loaded

__all__ = ["loaded"]
pytestmark = [pytest.mark.slow, pytest.mark.django_db]
TOUR = (Path(__file__).parents[2] / "docs" / "tour.md").read_text()
PART = re.compile(
    r"^## As (?:a|the) \w+: (?P<who>[\w ]+), \d+ minutes.*?\n(?P<steps>.*?)(?=^## )", re.MULTILINE | re.DOTALL
)
STEP = re.compile(r"^(?P<number>\d+)\. (?P<text>.*?)(?=^\d+\. |\Z)", re.MULTILINE | re.DOTALL)
STEPS = [
    (int(step["number"]), part["who"], " ".join(step["text"].split()))
    for part in PART.finditer(TOUR)
    for step in STEP.finditer(part["steps"])
]


def words_of(page: str) -> str:
    """What a person reads, in one line and in small letters: the page may begin a sentence with a rule's words."""
    page = re.sub(r"<(script|style|svg)\b.*?</\1>", " ", page, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split()).lower()


def address_in(text: str) -> str:
    """The address that a step names, else the page of the client whom it opens."""
    path, name = re.search(r"`(/[\w/-]*)`", text), re.search(r"Open \*\*(.+?)\*\*", text)
    if path is not None:
        return path[1]
    return reverse("client", args=[Client.objects.get(name=name[1]).uuid])


def test_tour_is_in_order_and_speaks_as_coach_client_and_owner():
    assert [number for number, _who, _text in STEPS] == list(range(1, len(STEPS) + 1))
    assert list(dict.fromkeys(who for _number, who, _text in STEPS)) == ["Jonte Abram", "Ilse Varga", "Mara Quell"]
    assert len(STEPS) >= 15


@pytest.mark.parametrize(("number", "who", "text"), STEPS, ids=[str(number) for number, _who, _text in STEPS])
def test_step_opens_and_says_what_is_quoted(loaded, number, who, text):
    browser = Browser()
    browser.force_login(User.objects.get(name=who))

    answer = browser.get(address_in(text))
    seen = words_of(answer.content.decode())

    assert answer.status_code == 200
    assert [quoted for quoted in re.findall(r"“(.+?)”", text) if quoted.lower() not in seen] == []
    assert all(name in {person.name for person in PEOPLE} for name in re.findall(r"\*\*(.+?)\*\*", text))


def test_others_worth_a_look_are_of_the_demo():
    others = TOUR.partition("## Others worth a look")[2]
    known = {person.email.partition("@")[0] for person in PEOPLE}

    named = {word.lower() for word in re.findall(r"[A-Z][a-z]+", others)}

    assert {"pia", "suha", "tomas", "orsolya", "amparo", "kaya", "galini", "desta", "lio", "ewa"} <= named & known
