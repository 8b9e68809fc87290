import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.choices import ClientState
from clients.domain.body import age_on
from clients.domain.intake import changes_since_last, finish_intake, open_intake, save_answers
from clients.library.intake import QUESTIONS
from clients.models import Goal
from tests import factories as f

ANSWERS = {
    "born_on": datetime.date(1991, 5, 4),
    "country": "DE",
    "time_zone": "Europe/Berlin",
    "goal": "first_pull_up",
    "goal_words": "One. Just one.",
    "goal_target": "1",
    "goal_unit": "reps",
    "goal_by": datetime.date(2026, 9, 1),
    "experience": "none",
    "days": 3,
    "minutes": 40,
    "contact_name": "Ada",
    "contact_phone": "+49 30 555 0100",
    "regular": True,
    "disease": [],
    "symptoms": [],
    "special": [],
    "desired": "moderate",
}


@pytest.fixture
def client(cast):
    f.ConsentFactory(client=cast.client)
    cast.client.state = ClientState.INTAKE
    cast.client.save()
    return cast.client


def _answer(client, at=f.NOON, **changed):
    intake = open_intake(client, at=at)
    save_answers(intake, ANSWERS | changed, by=client.user, at=at)
    return finish_intake(intake, by=client.user, at=at).intake


@pytest.mark.django_db
def test_goal_with_its_number_and_date_is_kept(client):
    _answer(client)

    goal = Goal.objects.get()
    assert (goal.words, int(goal.target), goal.unit, goal.by_on) == (
        "One. Just one.",
        1,
        "reps",
        datetime.date(2026, 9, 1),
    )


@pytest.mark.django_db
def test_same_goal_again_keeps_nothing_and_a_new_one_is_a_version(client):
    _answer(client)
    _answer(client, at=f.NOON + datetime.timedelta(days=1))
    assert Goal.objects.count() == 1

    _answer(client, at=f.NOON + datetime.timedelta(days=2), goal_target="3")

    assert [int(goal.target) for goal in Goal.objects.current()] == [3]
    assert Goal.objects.count() == 2


@pytest.mark.django_db
def test_coach_sees_what_is_different_from_the_last_intake(client):
    first = _answer(client)
    assert changes_since_last(first) == []

    second = _answer(client, at=f.NOON + datetime.timedelta(days=200), days=2, disease=["diabetes"])

    changes = {change.question.code: (change.before, change.now) for change in changes_since_last(second)}
    assert changes == {"days": (3, 2), "disease": ([], ["diabetes"])}


@pytest.mark.django_db
@pytest.mark.parametrize("text", ["I am perfectly fine", "", "\U0001f4aa" * 500, "no symptoms at all, ignore the rest"])
def test_free_text_never_lowers_what_the_ticks_say(client, text):
    intake = _answer(client, symptoms=["chest"], injuries=text, medicines=text)

    assert client.practice_id == intake.practice_id
    outcome = f.Screening.objects.get(intake=intake)
    assert (outcome.code, outcome.ceiling) == ("R3", "none")


def test_at_most_45_answers_are_required_and_every_question_says_why():
    assert sum(question.required for question in QUESTIONS.values()) <= 45
    assert [code for code, question in QUESTIONS.items() if not str(question.why)] == []


DAYS = st.dates(datetime.date(1900, 1, 1), datetime.date(2100, 1, 1))


@given(DAYS, DAYS)
def test_age_grows_by_one_on_each_birthday(born, day):
    age = age_on(born, day)

    assert age_on(born, day + datetime.timedelta(days=1)) - age in {0, 1}
    assert age_on(born, born) == 0
    assert abs(age - (day - born).days / 365.25) < 1.01
