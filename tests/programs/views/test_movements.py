import pytest
from django.urls import reverse

from programs.domain.library import load_library
from programs.models import Movement
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def theirs(cast):
    return f.MovementFactory(slug="secret-row", practice=cast.other_practice)


def test_list_shows_the_shared_library_and_no_other_practice(cast, theirs, signed_in):
    load_library()

    answer = signed_in(cast.client_user).get(reverse("movements"))

    assert b"Chin-up" in answer.content
    assert b"Secret row" not in answer.content


def test_list_is_narrowed_by_pattern_and_words(cast, signed_in):
    load_library()

    answer = signed_in(cast.coach).get(reverse("movements"), {"pattern": "vpull", "q": "weighted"})

    assert b"Weighted pull-up" in answer.content
    assert b"Weighted dip" not in answer.content
    assert b"Chin-up" not in answer.content


def test_list_costs_the_same_for_the_whole_library(cast, signed_in, django_assert_max_num_queries):
    f.MovementFactory()
    browser = signed_in(cast.coach)
    browser.get(reverse("movements"))
    with django_assert_max_num_queries(20) as few:
        browser.get(reverse("movements"))
    most = len(few)
    load_library()

    with django_assert_max_num_queries(most):
        browser.get(reverse("movements"))


def test_movement_page_says_how_and_where_it_leads(cast, signed_in):
    load_library()
    pull_up = Movement.objects.get(slug="pull-up")

    answer = signed_in(cast.client_user).get(reverse("movement", args=[pull_up.uuid]))

    assert b"Drive your elbows to the floor." in answer.content
    assert b"Weighted pull-up" in answer.content
    assert b"A pull-up bar" in answer.content


def test_movement_of_another_practice_is_not_found(cast, theirs, signed_in):
    assert signed_in(cast.coach).get(reverse("movement", args=[theirs.uuid])).status_code == 404
    assert signed_in(cast.stranger_coach).get(reverse("movement", args=[theirs.uuid])).status_code == 200


def test_search_says_what_the_client_can_do_there_and_why_not(cast, signed_in):
    load_library()

    answer = signed_in(cast.coach).get(reverse("movement-search"), {"q": "pull-up", "client": cast.client.uuid})

    assert b"Not at this place: A pull-up bar." in answer.content


def test_search_answers_htmx_with_the_list_only(cast, signed_in):
    load_library()

    answer = signed_in(cast.coach).get(
        reverse("movement-search"), {"q": "plank", "client": cast.client.uuid}, headers={"HX-Request": "true"}
    )

    assert b"<html" not in answer.content
    assert b"can be done there" in answer.content


@pytest.mark.parametrize("whose", ["stranger_client", "other_client"])
def test_search_for_a_client_of_others_is_not_found(cast, signed_in, whose):
    answer = signed_in(cast.coach).get(reverse("movement-search"), {"q": "plank", "client": getattr(cast, whose).uuid})

    assert answer.status_code == 404


@pytest.mark.parametrize("query", [{}, {"q": "x" * 200}, {"q": "%_'\""}, {"q": "plank", "client": "nonsense"}])
def test_odd_searches_are_answered(cast, signed_in, query):
    assert signed_in(cast.coach).get(reverse("movement-search"), query).status_code in {200, 404}


def test_movement_page_draws_the_step_with_a_title(cast, signed_in):
    load_library()

    answer = signed_in(cast.client_user).get(reverse("movement", args=[Movement.objects.get(slug="chin-up").uuid]))

    assert b"Chin-up: start position and end position" in answer.content
    assert b'class="movement-picture__limb"' in answer.content
    assert b"the arms help less" in answer.content
