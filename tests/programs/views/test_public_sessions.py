"""A coach publishes a session for anyone, ends it and brings it back."""

import pytest
from django.urls import reverse

from programs.domain import building
from programs.domain.exchange.schema import SCHEMA
from programs.domain.exchange.validating import faults_of
from programs.domain.public_sessions import naming
from programs.domain.rows import Row
from programs.models import PublicSession
from tests import factories as f

pytestmark = pytest.mark.django_db
LIST = "/public-sessions/"
SAID = {"title": "Half an hour", "about": "Pull and push", "with_cues": "on", "is_free_of_the_client": "on"}


@pytest.fixture
def coach(cast, signed_in, ready):
    return signed_in(cast.coach)


@pytest.fixture
def page(session):
    return reverse("publish-for-anyone", args=[session.block.uuid, session.uuid])


def fill(session, *rows):
    version = session.block.version
    building.save_session(session, list(rows), version=version, name=session.name, weekday=1)


def prescriptions(public):
    sections = public.document["sessions"][0]["sections"]
    return [told for section in sections for group in section["groups"] for told in group["prescriptions"]]


def test_coach_sees_before_publishing_what_will_be_visible(coach, page):
    text = coach.get(page).content.decode()

    assert "What will be visible" in text
    assert "Cue: Long arms" in text
    assert "stop with 3 reps left" in text


def test_published_session_is_a_copy_at_an_address_of_its_own(cast, coach, session, page, client):
    coach.post(page, SAID)
    public = PublicSession.objects.get()
    fill(session, Row(movement=f.MovementFactory(slug="other").current))

    text = client.get(reverse("public-session", args=[public.uuid])).content.decode()

    assert (public.title, public.about, public.practice, public.written_by) == (
        "Half an hour",
        "Pull and push",
        cast.practice,
        cast.coach,
    )
    assert "<h3>Push up" in text
    assert "Long arms" in text


def test_copy_holds_no_load_name_day_reason_or_lineage(cast, coach, session, page, movement):
    row = Row(movement=movement, load_entered=40, load_unit="kg", load_kg=40, change_reason="Because of the knee")
    fill(session, row, Row(movement=movement, percent_of_max=80, cue="Slowly"))

    coach.post(page, SAID)

    public = PublicSession.objects.get()
    told = str(public.document)
    assert [(one["movement"], one.get("cue")) for one in prescriptions(public)] == [
        ("push-up", None),
        ("push-up", "Slowly"),
    ]
    left = ("load", "percent", "assistance", "lineage", "reason", "knee", "Pull day", "Spring block", cast.client.name)
    assert [word for word in left if word in told] == []


def test_copy_is_a_block_file(coach, page):
    coach.post(page, SAID)

    assert list(faults_of(PublicSession.objects.get().document, SCHEMA)) == []


def test_cues_stay_away_when_they_are_not_ticked(coach, page):
    coach.post(page, SAID | {"with_cues": ""})

    assert [one.get("cue") for one in prescriptions(PublicSession.objects.get())] == [None]


@pytest.mark.parametrize("missing", ["title", "is_free_of_the_client"])
def test_nothing_is_published_without_a_title_and_the_confirmation(coach, page, missing):
    answer = coach.post(page, SAID | {missing: ""})

    assert (answer.status_code, PublicSession.objects.count()) == (422, 0)


def test_session_that_names_the_client_is_not_published(cast, coach, session, page, movement):
    cast.client.name = "Nele Invented"
    cast.client.save()
    fill(session, Row(movement=movement, cue="Long arms, nele!"))

    shown = coach.get(page).content.decode()
    answers = [coach.post(page, SAID), coach.post(page, SAID | {"title": "For Nele", "with_cues": ""})]

    assert "These cues hold the client's name" in shown
    assert [answer.status_code for answer in answers] == [422, 422]
    assert PublicSession.objects.count() == 0


def test_name_counts_as_a_word_and_not_as_a_part_of_one(cast):
    cast.client.name = "Al Pull"

    assert naming(cast.client, ["Pullover", "pull", "also", "Al"]) == ["pull"]


def test_empty_session_is_not_published(cast, coach, session):
    empty = building.add_session(session.block, version=session.block.version, name="Empty", week=1, weekday=2)

    answer = coach.post(reverse("publish-for-anyone", args=[session.block.uuid, empty.uuid]), SAID)

    assert answer.status_code == 422
    assert "the session needs a movement" in answer.content.decode()


def test_block_page_leads_to_publishing(coach, session, page):
    assert page in coach.get(reverse("block", args=[session.block.uuid])).content.decode()


def test_session_of_a_published_block_can_be_given_out(cast, coach, session, page):
    f.publish(session.block)

    assert coach.post(page, SAID)["Location"] == LIST


def test_coach_of_nobody_here_finds_neither_page_nor_session(cast, signed_in, page, ready):
    public = f.PublicSessionFactory(practice=cast.practice, title="Ours alone")
    stranger = signed_in(cast.stranger_coach)

    assert stranger.get(page).status_code == 404
    assert stranger.post(reverse("end-public-session", args=[public.uuid])).status_code == 404
    assert "Ours alone" not in stranger.get(LIST).content.decode()


def test_team_sees_all_sessions_of_its_practice_with_their_addresses(cast, signed_in):
    public = f.PublicSessionFactory(practice=cast.practice, title="Ours", written_by=cast.owner)

    text = signed_in(cast.other_coach).get(LIST).content.decode()

    assert "Ours" in text
    assert f"http://127.0.0.1:8000/s/{public.uuid}/" in text


def test_client_finds_no_list(cast, signed_in):
    assert signed_in(cast.client_user).get(LIST).status_code == 404


def test_ended_session_is_gone_until_it_is_brought_back(cast, coach):
    public = f.PublicSessionFactory(practice=cast.practice)
    address, end = (reverse(name, args=[public.uuid]) for name in ("public-session", "end-public-session"))

    statuses = [coach.get(address).status_code]
    coach.post(end)
    statuses.append(coach.get(address).status_code)
    coach.post(end, {"bring_back": "1"})
    statuses.append(coach.get(address).status_code)

    assert statuses == [200, 410, 200]


def test_list_asks_the_database_the_same_for_one_and_for_three(cast, coach, django_assert_num_queries):
    f.PublicSessionFactory(practice=cast.practice)
    with django_assert_num_queries(6) as one:
        coach.get(LIST)
    f.PublicSessionFactory.create_batch(2, practice=cast.practice)

    with django_assert_num_queries(len(one.captured_queries)):
        coach.get(LIST)
