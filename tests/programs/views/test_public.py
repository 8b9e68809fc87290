"""The page of a public session: the same for everybody, and nothing of anybody in it."""

import base64
import hashlib
import re
import uuid

import pytest
from django.test import Client as Browser
from django.test import override_settings
from django.urls import reverse
from django.utils import timezone

from coaching.middleware import FOR_EVERYBODY
from programs.domain.library import load_library
from programs.library import MOVEMENTS
from tests import factories as f

pytestmark = pytest.mark.django_db


def dose(slug, measure="reps", **more):
    facts = {"movement": slug, "movement_name": slug, "measure": measure, "sets": 3, "amount_low": 8, "amount_high": 12}
    return facts | more


def document(*doses):
    groups = [{"kind": "single", "prescriptions": [one]} for one in doses]
    session = {"week": 1, "weekday": "monday", "name": "x", "sections": [{"kind": "strength", "groups": groups}]}
    return {"format": "purlin-block", "version": 1, "title": "x", "weeks": 1, "sessions": [session]}


@pytest.fixture
def library(db):
    load_library([entry for entry in MOVEMENTS if entry.slug in {"pull-up", "push-up", "inverted-row-low-bar"}], [])


@pytest.fixture
def public(cast, library):
    return f.PublicSessionFactory(
        practice=cast.practice,
        title="Pull and push",
        about="For a free half hour.",
        document=document(dose("pull-up", cue="Long arms first"), dose("push-up")),
        written_by=cast.coach,
    )


@pytest.fixture
def address(public):
    return reverse("public-session", args=[public.uuid])


def test_visitor_reads_the_session_without_a_sign_in(client, address):
    text = client.get(address).content.decode()

    assert "Pull and push" in text
    assert "Long arms first" in text
    assert "not medical advice" in text
    assert "<h3>Pull-up" in text


def test_page_is_the_same_to_the_byte_for_two_visitors_of_whom_one_is_signed_in(cast, signed_in, address):
    first = Browser().get(address)

    second = signed_in(cast.client_user).get(address)

    assert first.content == second.content


@pytest.mark.parametrize("cookie", ["", "sessionid=guess; csrftoken=broken; messages=x"])
@pytest.mark.parametrize("method", ["get", "head", "post", "options"])
def test_no_answer_sets_a_cookie_or_varies_on_one(address, method, cookie):
    answer = getattr(Browser(headers={"Cookie": cookie}), method)(address)

    assert answer.cookies == {}
    assert "Vary" not in answer
    assert not answer.wsgi_request.session.accessed


@pytest.mark.parametrize("state", ["open", "ended", "unknown"])
def test_signed_in_reader_gets_no_cookie_back_either(cast, signed_in, public, address, state):
    if state == "ended":
        public.ended_at = timezone.now()
        public.save()
    browser = signed_in(cast.coach)

    answer = browser.get(address if state != "unknown" else reverse("public-session", args=[uuid.uuid4()]))

    assert (answer.cookies, "Vary" in answer) == ({}, False)
    assert answer["Cache-Control"] == "public, max-age=300"
    assert not answer.wsgi_request.session.accessed


def test_page_asks_the_database_the_same_whatever_is_ticked_and_no_session(
    client, public, address, django_assert_max_num_queries
):
    client.get(address)
    with django_assert_max_num_queries(6) as bare:
        client.get(address)
    public.document = document(*[dose("push-up"), dose("pull-up")] * 10)
    public.save()

    with django_assert_max_num_queries(len(bare.captured_queries)) as asked:
        client.get(address, {"thing": ["bar"] * 30, "protect": ["knee"], "strength": "new"})

    assert not any("django_session" in query["sql"] for query in asked.captured_queries)


def test_page_that_did_not_change_is_not_sent_again(client, address):
    first = client.get(address)

    again = client.get(address, headers={"If-None-Match": first["ETag"]})
    other = client.get(address, {"strength": "new"}, headers={"If-None-Match": first["ETag"]})

    assert (again.status_code, again.content, again["ETag"]) == (304, b"", first["ETag"])
    assert again["Cache-Control"] == "public, max-age=300"
    assert other.status_code == 200


def test_policy_allows_our_scripts_and_the_very_import_map_and_no_nonce(client, address):
    answer = client.get(address)
    policy = dict(part.strip().split(" ", 1) for part in answer["Content-Security-Policy"].split(";"))
    inline = re.findall(r"<script(?![^>]*\bsrc=)[^>]*>(.*?)</script>", answer.content.decode(), re.DOTALL)

    assert len(inline) == 1
    digest = base64.b64encode(hashlib.sha256(inline[0].encode()).digest()).decode()
    assert sorted(policy["script-src"].split()) == ["'self'", f"'sha256-{digest}'"]
    assert "nonce" not in answer["Content-Security-Policy"] + answer.content.decode()
    assert policy["default-src"] == "'none'"


def test_page_holds_no_token_and_asks_nobody_else(client, address):
    text = client.get(address).content.decode()

    assert "csrf" not in text
    assert re.findall(r'(?:src|href)="(?:https?:)?//(?!127\.0\.0\.1:8000/s/)[^"]*"', text) == []


def test_answer_tells_other_pages_nothing_of_what_is_ticked(client, address):
    assert client.get(address)["Referrer-Policy"] == "no-referrer"


def test_link_preview_names_title_and_address(client, public, address):
    text = client.get(address, {"protect": "knee"}).content.decode()

    assert '<meta property="og:title" content="Pull and push">' in text
    assert '<meta property="og:description" content="For a free half hour.">' in text
    assert f'<meta property="og:url" content="http://127.0.0.1:8000{address}">' in text
    assert f'<link rel="canonical" href="http://127.0.0.1:8000{address}">' in text


def test_ended_session_is_gone_and_an_unknown_one_not_there(client, public, address):
    public.ended_at = timezone.now()
    public.save()

    ended, unknown = client.get(address), client.get(reverse("public-session", args=[uuid.uuid4()]))

    assert (ended.status_code, unknown.status_code) == (410, 404)
    assert "Pull and push" not in ended.content.decode()


def test_ticked_things_change_what_is_shown_and_nonsense_is_passed_over(client, address):
    bare = client.get(address, {"strength": "some", "thing": "sofa"}).content.decode()
    ringed = client.get(address, [("thing", "low_bar"), ("strength", "mighty"), ("protect", "heart")]).content.decode()

    assert "<h3>Pull-up" not in bare
    assert "Not at this place" in bare
    assert "<h3>Pull-up" not in ringed


def test_what_was_ticked_is_ticked_on_the_page(client, address):
    text = client.get(address, {"thing": "bar", "strength": "new", "protect": "knee"}).content.decode()

    assert re.findall(r'value="(\w+)" checked', text) == ["bar", "new", "knee"]


@pytest.mark.parametrize("query", ["thing=" + "&thing=".join(["bar"] * 900), "thing=%00%ff&%", "strength[]=new&" * 50])
def test_odd_query_is_answered(client, address, query):
    assert client.get(f"{address}?{query}").status_code == 200


def test_query_with_more_fields_than_anybody_sends_is_refused_plainly(client, address):
    assert client.get(f"{address}?{'thing=bar&' * 2000}").status_code == 400


def test_enquiry_is_offered_where_the_practice_takes_them(client, cast, address):
    enquire = reverse("enquire", args=[cast.practice.uuid])
    closed = client.get(address).content.decode()
    cast.practice.takes_enquiries = True
    cast.practice.save()

    assert enquire not in closed
    assert enquire in client.get(address).content.decode()


def test_page_links_to_no_page_that_wants_a_sign_in(client, cast, address):
    cast.practice.takes_enquiries = True
    cast.practice.save()
    links = re.findall(r'<a [^>]*href="([^"]+)"', client.get(address).content.decode())

    assert set(links) == {"#main", "#session", reverse("enquire", args=[cast.practice.uuid])}


def test_pictures_of_one_page_have_ids_of_their_own(client, public, address):
    public.document = document(dose("push-up"), dose("push-up"))
    public.save()

    ids = re.findall(r' id="([^"]+)"', client.get(address).content.decode())

    assert len(ids) == len(set(ids))
    assert "picture-title-2" in ids


@pytest.mark.parametrize(
    ("times", "clock"),
    [
        ({"kind": "every", "interval_s": 60}, 'seconds="60" rounds="6"'),
        ({"kind": "rounds", "minutes": 12}, 'seconds="720" rounds="1"'),
    ],
)
def test_clock_calls_what_is_done_by_the_clock_and_no_rest_is_offered(client, public, address, times, clock):
    public.document = document()
    public.document["sessions"][0]["sections"][0]["groups"] = [
        times | {"prescriptions": [dose("push-up"), dose("pull-up")]}
    ]
    public.save()

    text = client.get(address).content.decode()

    assert f'<interval-timer class="no-print" {clock}>' in text
    assert "<rest-button" not in text


def test_hidden_movement_is_left_out(client, cast, address):
    hidden = f.HiddenMovementFactory(practice=cast.practice, movement__slug="other").movement
    cast_movement = type(hidden).objects.get(slug="push-up")
    f.HiddenMovementFactory(practice=cast.practice, movement=cast_movement)

    assert "no longer in the library" in client.get(address).content.decode()


def test_pattern_of_the_middleware_is_the_address(public, address):
    assert FOR_EVERYBODY.fullmatch(address)


@override_settings(DEMO=True)
def test_demo_says_that_its_data_are_invented(client, address):
    assert "Invented demo data" in client.get(address).content.decode()
