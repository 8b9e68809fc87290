import datetime
import re

import pytest
from django.test import Client as Browser
from django.urls import reverse
from django.utils.http import http_date

from clients.domain.limits import GUESSES
from programs.choices import SessionState
from programs.domain.states import refresh_state
from programs.models import CalendarFeed
from tests import factories as f

pytestmark = pytest.mark.django_db
PAGE = "/calendar/"
ADDRESS = re.compile(r'value="[^"]*?(/calendar/[\w-]{43,}/training\.ics)"')


@pytest.fixture
def browser(cast, signed_in):
    return signed_in(cast.client_user)


def make(browser, **sent):
    """The address as the page shows it this once."""
    text = browser.post(PAGE, {"do": "new"} | sent).content.decode()
    return ADDRESS.search(text).group(1)


@pytest.fixture
def calendar():
    """Somebody without a sign-in."""
    return Browser()


def test_address_is_shown_once_and_opens_the_calendar_without_a_sign_in(cast, browser, calendar):
    scheduled = f.ScheduledSessionFactory(client=cast.client, on=datetime.date.today())
    address = make(browser)

    answer = calendar.get(address)

    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert str(scheduled.lineage) in answer.content.decode()
    assert ADDRESS.search(browser.get(PAGE).content.decode()) is None


def test_calendar_sets_no_cookie_and_reads_no_session(browser, calendar, django_assert_max_num_queries):
    address = make(browser)

    with django_assert_max_num_queries(5) as asked:
        answer = calendar.get(address)

    assert answer.cookies == {}
    assert calendar.cookies == {}
    assert not any("django_session" in query["sql"] for query in asked.captured_queries)
    assert answer["Cache-Control"] == "private, no-cache"


def test_new_address_ends_the_old_one(browser, calendar):
    old = make(browser)
    new = make(browser)

    assert [calendar.get(address).status_code for address in (old, new)] == [404, 200]
    assert CalendarFeed.objects.filter(revoked_at=None).count() == 1


def test_ended_address_is_not_there(browser, calendar):
    address = make(browser)

    assert "Ended." in browser.post(PAGE, {"do": "end"}, follow=True).content.decode()
    assert calendar.get(address).status_code == 404


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete", "options"])
def test_calendar_is_only_read(browser, calendar, method):
    assert getattr(calendar, method)(make(browser)).status_code == 405


def test_head_answers_like_get_without_the_body(browser, calendar):
    address = make(browser)
    got, head = calendar.get(address), calendar.head(address)

    assert (head.status_code, head.content) == (200, b"")
    assert (head["ETag"], "Last-Modified" in head) == (got["ETag"], False)


def test_unchanged_calendar_is_not_sent_again_and_a_changed_one_is(cast, browser, calendar):
    scheduled = f.ScheduledSessionFactory(client=cast.client, on=datetime.date.today())
    address = make(browser)
    first = calendar.get(address)

    by_tag = calendar.get(address, headers={"If-None-Match": first["ETag"]})
    # A date alone says nothing of names, or of days that leave the calendar.
    by_time = calendar.get(address, headers={"If-Modified-Since": http_date()})
    assert (by_tag.status_code, by_tag.content, by_time.status_code) == (304, b"", 200)
    assert by_tag["ETag"] == first["ETag"]

    f.ExcuseFactory(client=cast.client, first_on=scheduled.on, last_on=scheduled.on)
    refresh_state(scheduled)
    again = calendar.get(address, headers={"If-None-Match": first["ETag"]})
    scheduled.refresh_from_db()
    assert scheduled.state == SessionState.EXCUSED
    assert again.status_code == 200
    assert b"STATUS:CANCELLED" in again.content


def test_unknown_addresses_run_into_a_limit_that_known_ones_do_not(browser, calendar):
    address = make(browser)
    guess = reverse("calendar", args=["x" * 43])

    answers = [calendar.get(guess).status_code for _unused in range(GUESSES.tries)]
    late = calendar.get(guess)

    assert set(answers) == {404}
    assert late.status_code == 429
    assert int(late["Retry-After"]) > 0
    assert calendar.get(address).status_code == 200


def test_hour_is_asked_for_and_shown(cast, browser, calendar):
    cast.client.time_zone = "Europe/Vienna"
    cast.client.save()
    f.ScheduledSessionFactory(client=cast.client, on=datetime.date.today())

    address = make(browser, starts_at="18:30")

    assert re.search(rb"DTSTART:\d{8}T1[67]3000Z", calendar.get(address).content)
    page = " ".join(browser.get(PAGE).content.decode().split())
    assert "Sessions begin at 18:30 (Europe/Vienna)." in page
    assert "make a new address" not in page
    cast.client.time_zone = "Asia/Tokyo"
    cast.client.save()
    assert "Your time zone is Asia/Tokyo now: make a new address" in browser.get(PAGE).content.decode()


def test_hour_that_is_none_is_refused_and_ends_nothing(browser, calendar):
    address = make(browser)

    assert browser.post(PAGE, {"do": "new", "starts_at": "late"}).status_code == 422
    assert calendar.get(address).status_code == 200


def test_calendar_costs_as_much_for_many_sessions_as_for_one(cast, browser, calendar, django_assert_max_num_queries):
    address = make(browser, starts_at="18:30")
    for days in range(12):
        on = datetime.date.today() + datetime.timedelta(days=days)
        session = f.BlockSessionFactory(block__client=cast.client)
        f.PrescriptionFactory(group__section__session=session)
        f.ScheduledSessionFactory(client=cast.client, session=session, on=on)

    with django_assert_max_num_queries(10):
        calendar.get(address)
