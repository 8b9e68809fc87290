"""The sign-in page of the demo: everybody by role, with the truth of each, and a button that signs in."""

import re

import pytest
from django.urls import reverse

from coaching.demo import OFFERED, sign_in_links
from coaching.demo.cast import COACHES, PEOPLE
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def people(settings):
    settings.DEMO = True
    practice = f.PracticeFactory()
    users = {}
    for coach in COACHES.values():
        users[coach.email] = f.UserFactory(email=coach.email, name=coach.name, is_demo=True)
        f.MembershipFactory(practice=practice, user=users[coach.email], role=coach.role)
    for person in PEOPLE:
        if person.accepts:
            users[person.email] = f.UserFactory(email=person.email, name=person.name, is_demo=True)
    return users


def test_sign_in_page_lists_everybody_with_their_truth_under_their_role(client, people):
    page = client.get(reverse("sign-in")).content.decode()

    roles = [page.index(f"<h3>{role}</h3>") for role in ("Owner", "Coaches", "Clients")]
    assert roles == sorted(roles)
    assert roles[0] < page.index("Mara Quell") < roles[1] < page.index("Oda Brask") < roles[2]
    assert all(person.name in page for person in PEOPLE)
    assert all(word in page for word in ("Nobody here exists", "Stalled: the same pull-ups", "Gone quiet"))


def test_sign_in_page_of_a_real_installation_lists_nobody(client, people, settings):
    settings.DEMO = False

    page = client.get(reverse("sign-in")).content.decode()

    assert "Mara Quell" not in page


def test_button_signs_in(client, people):
    answer = client.post(reverse("demo-sign-in", args=[people["noor@client.example"].uuid]))

    assert answer.headers["Location"] == reverse("home")
    assert client.session["_auth_user_id"] == str(people["noor@client.example"].pk)


def test_button_signs_nobody_in_who_is_not_of_the_demo(client, people):
    stranger = f.UserFactory()

    answer = client.post(reverse("demo-sign-in", args=[stranger.uuid]))

    assert answer.status_code == 404
    assert "_auth_user_id" not in client.session


def test_button_is_not_there_in_a_real_installation(client, people, settings):
    settings.DEMO = False

    answer = client.post(reverse("demo-sign-in", args=[people["mara@lintel-lane.example"].uuid]))

    assert answer.status_code == 404


def test_few_links_are_printed_and_the_last_points_to_the_page(people):
    links = sign_in_links()

    assert [label.partition(",")[0] for label, _path in links[:-1]] == [people[email].name for email in OFFERED]
    assert len(links) <= 7
    assert links[-1][1] == reverse("sign-in")
    # Read by programs as "name, role".
    assert not re.search(r", \w+$", links[-1][0])
