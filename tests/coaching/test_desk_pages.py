"""The attention list by pages: whole, in order, and as quick for many clients as for few."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from clients.models import Membership
from coaching.models import AttentionItem
from coaching.queries import MOST_COUNTED, PAGE, DeskPlace, attention_count, attention_page
from tests import factories as f
from tests.coaching.scenario import TODAY, caseload


def all_pages(user) -> list:
    page = attention_page(user, today=TODAY)
    rows = page.rows
    while page.next is not None:
        page = attention_page(user, today=TODAY, after=page.next)
        rows = rows + page.rows
    return rows


class TestPages(TestCase):
    @given(
        items=st.lists(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 2)), max_size=3), max_size=20),
        away=st.sets(st.integers(0, 59)),
        size=st.integers(1, 5),
    )
    def test_pages_together_hold_each_client_once_by_the_first_reason_that_is_shown(self, items, away, size):
        coach = f.MembershipFactory()
        caseload(coach, items)
        rows = list(AttentionItem.objects.filter(practice=coach.practice).order_by("pk"))
        for n in away & set(range(len(rows))):
            rows[n].put_away_until = datetime.date.max
            rows[n].save()
        expected: dict[int, list[AttentionItem]] = {}
        for item in sorted(rows, key=lambda item: (item.rank, item.since, item.uuid)):
            if item.put_away_until is None:
                expected.setdefault(item.client_id, []).append(item)

        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("coaching.queries.PAGE", size)
            found = all_pages(coach.user)

        assert [(row.client.pk, row.items) for row in found] == list(expected.items())


@pytest.fixture
def coach(db) -> Membership:
    return f.MembershipFactory()


def test_page_goes_on_after_what_was_put_away_in_it(coach):
    people = caseload(coach, [[(0, days)] for days in range(PAGE + 3, 0, -1)])
    first = attention_page(coach.user, today=TODAY)
    AttentionItem.objects.filter(client__in=people[:5]).update(put_away_until=datetime.date.max)

    second = attention_page(coach.user, today=TODAY, after=first.next)

    assert [row.client for row in second.rows] == people[PAGE:]


@pytest.mark.parametrize(("until", "count"), [(TODAY, 1), (TODAY + datetime.timedelta(days=1), 0)])
def test_item_put_away_until_a_day_is_there_on_that_day(coach, until, count):
    caseload(coach, [[(0, 1)]])
    AttentionItem.objects.update(put_away_until=until)

    assert attention_count(coach.user, today=TODAY) == count


def test_count_stops_where_the_desk_says_more_than(coach):
    caseload(coach, [[(0, 1)]] * (MOST_COUNTED + 5))

    assert attention_count(coach.user, today=TODAY) == MOST_COUNTED + 1


def test_desk_says_how_many_need_the_coach_in_all(signed_in, coach):
    caseload(coach, [[(0, 1)]] * (PAGE + 7))

    page = signed_in(coach.user).get(reverse("desk")).content.decode()

    assert f"{PAGE + 7} clients need you." in page
    assert page.count('class="desk-row__who"') == PAGE


def test_next_page_without_script_is_a_link(signed_in, coach):
    caseload(coach, [[(0, 1)]] * (PAGE + 7))
    browser = signed_in(coach.user)
    further = browser.get(reverse("desk")).context["page"].next

    page = browser.get(reverse("desk"), {"after": str(further)}).content.decode()

    assert page.count('class="desk-row__who"') == 7
    assert "Back to the most pressing" in page


def test_next_page_by_htmx_is_the_rows_alone(signed_in, coach):
    caseload(coach, [[(0, 1)]] * (PAGE + 7))
    browser = signed_in(coach.user)
    further = browser.get(reverse("desk")).context["page"].next

    page = browser.get(reverse("desk"), {"after": str(further)}, HTTP_HX_REQUEST="true").content.decode()

    assert page.lstrip().startswith('<ol class="desk-list">')
    assert page.count('class="desk-row__who"') == 7


def test_page_past_the_end_says_so(signed_in, coach):
    page = signed_in(coach.user).get(reverse("desk"), {"after": str(DeskPlace(9, TODAY, coach.uuid))})

    assert "Nobody further down." in page.content.decode()


@pytest.mark.parametrize("nonsense", ["x", "1.2.3", "-1.2026-03-04.x", f"1.2026-13-04.{'0' * 32}", "1", "²." * 3])
def test_nonsense_about_a_place_is_a_bad_request(signed_in, coach, nonsense):
    assert signed_in(coach.user).get(reverse("desk"), {"after": nonsense}).status_code == 400


def test_desk_of_many_clients_asks_as_many_questions_as_of_few(signed_in, coach):
    browser = signed_in(coach.user)
    counts = []
    for more in (3, 2 * PAGE):
        caseload(coach, [[(0, 1), (3, 2)]] * more)
        with CaptureQueriesContext(connection) as queries:
            assert browser.get(reverse("desk")).status_code == 200
        counts.append(len(queries))

    assert counts[0] == counts[1] <= 14


def test_review_of_a_check_in_and_how_they_are_lead_to_each_other(cast, signed_in):
    check_in = f.CheckInFactory(client=cast.client)
    sent = f.SubmissionFactory(client=cast.client, kind="check_in", check_in=check_in)
    review, state = reverse("review", args=[sent.uuid]), reverse("client-state", args=[cast.client.uuid])

    assert f'href="{state}"' in signed_in(cast.coach).get(review).content.decode()
    assert f'href="{review}"' in signed_in(cast.coach).get(state).content.decode()


@pytest.mark.parametrize("wish", [True, False])
def test_coach_pauses_the_letters_and_ends_it_without_touching_the_clients_wish(cast, signed_in, wish):
    client = cast.client
    type(client).objects.filter(pk=client.pk).update(check_in_reminders=wish)
    browser, address = signed_in(cast.coach), reverse("client-reminders", args=[client.uuid])
    seen = []
    for paused in ("yes", "no"):
        page = browser.post(address, {"paused": paused}, follow=True).content.decode()
        client.refresh_from_db()
        seen.append((f"Paused by {cast.coach.name}" in page, client.reminders_paused_by, client.check_in_reminders))

    assert seen == [(True, cast.coach, wish), (False, None, wish)]
