"""A coach publishes a session for anyone, ends it and brings it back."""

import html
import re

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


def hidden(coach, page):
    """What the page sends beside what is typed: the seal of what was read, and which press this is."""
    text = coach.get(page).content.decode()
    return {name: re.search(rf'name="{name}" value="([^"]+)"', text)[1] for name in ("seen", "key")}


def publish(coach, page, said):
    return coach.post(page, hidden(coach, page) | said)


def prescriptions(public):
    sections = public.document["sessions"][0]["sections"]
    return [told for section in sections for group in section["groups"] for told in group["prescriptions"]]


def test_coach_sees_before_publishing_what_will_be_visible(coach, page):
    text = coach.get(page).content.decode()

    assert "What will be visible" in text
    assert "Cue: Long arms" in text
    assert "stop with 3 reps left" in text


def test_published_session_is_a_copy_at_an_address_of_its_own(cast, coach, session, page, client):
    publish(coach, page, SAID)
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

    publish(coach, page, SAID)

    public = PublicSession.objects.get()
    told = str(public.document)
    assert [(one["movement"], one.get("cue")) for one in prescriptions(public)] == [
        ("push-up", None),
        ("push-up", "Slowly"),
    ]
    left = ("load", "percent", "assistance", "lineage", "reason", "knee", "Pull day", "Spring block", cast.client.name)
    assert [word for word in left if word in told] == []


def test_copy_is_a_block_file(coach, page):
    publish(coach, page, SAID)

    assert list(faults_of(PublicSession.objects.get().document, SCHEMA)) == []


def test_cues_stay_away_when_they_are_not_ticked(coach, page):
    publish(coach, page, SAID | {"with_cues": ""})

    assert [one.get("cue") for one in prescriptions(PublicSession.objects.get())] == [None]


@pytest.mark.parametrize("missing", ["title", "is_free_of_the_client"])
def test_nothing_is_published_without_a_title_and_the_confirmation(coach, page, missing):
    answer = publish(coach, page, SAID | {missing: ""})

    assert (answer.status_code, PublicSession.objects.count()) == (422, 0)


def test_session_that_names_the_client_is_not_published(cast, coach, session, page, movement):
    cast.client.name = "Nele Invented"
    cast.client.save()
    fill(session, Row(movement=movement, cue="Long arms, nele!"))

    shown = coach.get(page).content.decode()
    answers = [publish(coach, page, SAID), publish(coach, page, SAID | {"title": "For Nele", "with_cues": ""})]

    assert "These texts hold the client's name" in shown
    assert [answer.status_code for answer in answers] == [422, 422]
    assert PublicSession.objects.count() == 0


def test_name_counts_as_a_word_and_not_as_a_part_of_one(cast):
    cast.client.name = "Al Pull"

    assert naming(cast.client, ["Pullover", "pull", "also", "Al"]) == ["pull", "Al"]


@pytest.mark.parametrize(("name", "text"), [("Bo Li", "For Bo"), ("Zoë", "For Zoe\u0308 alone")])
def test_short_and_composed_names_count_too(cast, name, text):
    client = f.ClientFactory.build(name=name, practice=cast.practice)

    assert naming(client, [text, "About bow and link"]) == [text]


def test_own_movement_is_checked_shown_and_stays_as_it_was_read(cast, coach, session, page, client):
    said = {"set_up": "Stand at arm's length.", "cues": ["Chest to the wall."], "cautions": ["Not on ice."]}
    own = f.MovementFactory(practice=cast.practice, slug="wall-row", **{f"revision__{k}": v for k, v in said.items()})
    fill(session, Row(movement=own.current))
    text = html.unescape(coach.get(page).content.decode())
    assert [words in text for words in ("Stand at arm's length.", "Chest to the wall.", "Not on ice.")] == [True] * 3
    publish(coach, page, SAID)
    address = reverse("public-session", args=[PublicSession.objects.get().uuid])

    own.current = f.MovementRevisionFactory(movement=own, name="Another row", set_up=f"For {cast.client.name}")
    own.save()

    shown = client.get(address).content.decode()
    assert "<h3>Wall row</h3>" in shown
    assert cast.client.name not in shown
    answer = publish(coach, page, SAID)
    assert answer.status_code == 422
    assert PublicSession.objects.count() == 1


def test_own_version_made_later_is_on_no_public_page(cast, coach, page, client):
    publish(coach, page, SAID)
    public = PublicSession.objects.get()
    f.MovementFactory(
        practice=cast.practice, slug=prescriptions(public)[0]["movement"], revision__name="For one client"
    )

    text = client.get(reverse("public-session", args=[public.uuid])).content.decode()

    assert "<h3>Push up</h3>" in text
    assert "For one client" not in text


def test_session_changed_since_it_was_read_is_shown_again_and_confirmed_again(cast, coach, session, page, movement):
    before = hidden(coach, page)
    fill(session, Row(movement=movement, cue="Mind the scar"))

    answer = coach.post(page, before | SAID)

    assert answer.status_code == 409
    assert b"Mind the scar" in answer.content
    assert not re.search(rb'name="is_free_of_the_client"[^>]*checked', answer.content)
    assert not PublicSession.objects.exists()


def test_pressed_twice_it_is_published_once(coach, page):
    sent = hidden(coach, page) | SAID

    assert [coach.post(page, sent).status_code for _time in range(2)] == [302, 302]
    assert PublicSession.objects.count() == 1


def test_empty_session_is_not_published(cast, coach, session):
    empty = building.add_session(session.block, version=session.block.version, name="Empty", week=1, weekday=2)

    answer = publish(coach, reverse("publish-for-anyone", args=[session.block.uuid, empty.uuid]), SAID)

    assert answer.status_code == 422
    assert "the session needs a movement" in answer.content.decode()


def test_block_page_leads_to_publishing(coach, session, page):
    assert page in coach.get(reverse("block", args=[session.block.uuid])).content.decode()


def test_session_of_a_published_block_can_be_given_out(cast, coach, session, page):
    f.publish(session.block)

    assert publish(coach, page, SAID)["Location"] == LIST


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
