"""The page that every coach opens first."""

import datetime
from collections.abc import Iterator
from pathlib import Path

from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from bench.timing import Row, side_by_side
from clients.models import Membership
from coaching.models import AttentionItem
from coaching.queries import PAGE, DeskPlace, attention_count, attention_page
from tests import factories as f
from tests.coaching.scenario import TODAY, caseload

FEW, MANY = 200, 5000
ITEMS = [(3, 9), (5, 4)]


def measure(folder: Path) -> Iterator[Row]:
    coaches = {clients: coach_of(clients) for clients in (FEW, 300, 1000, MANY)}
    _tell_planner()
    for clients in (300, 1000, MANY):
        yield whole_list(coaches[clients], clients)
    yield first_page(coaches[1000], 1000)
    yield page_of_many(coaches[MANY], coaches[FEW])
    yield deep_page(coaches[MANY])
    yield page_past_what_was_put_away(coaches[MANY])


def coach_of(clients: int) -> Membership:
    """Ranks and days mixed, two reasons a client."""
    coach = f.MembershipFactory()
    caseload(coach, [[(n * 7 % 5, n % 40), (5, n % 9)] for n in range(clients)])
    return coach


def _tell_planner() -> None:
    """PostgreSQL looks for itself within a minute of a large change; a bench does not wait."""
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def whole_list(coach: Membership, clients: int) -> Row:
    remark = "for information" if clients == MANY else ""
    what = f"attention list of {clients:,} clients, all its pages / bare fetchall"
    return side_by_side(what, lambda: _pages(coach), lambda: _fetch(coach, 10**9), turns=5, remark=remark)


def first_page(coach: Membership, clients: int) -> Row:
    what = f"its first page, and how many need the coach, of {clients:,} / bare fetchall"

    def ours() -> None:
        attention_page(coach.user, today=TODAY)
        attention_count(coach.user, today=TODAY)

    return side_by_side(what, ours, lambda: _fetch(coach, PAGE), turns=9)


def _pages(coach: Membership) -> None:
    after = attention_page(coach.user, today=TODAY).next
    while after is not None:
        after = attention_page(coach.user, today=TODAY, after=after).next


def _fetch(coach: Membership, most: int) -> list[tuple[object, ...]]:
    """The same columns of as many rows, by primary key and without asking whose they are."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT item.*, client.* FROM coaching_attentionitem item JOIN clients_client client"
            " ON client.id = item.client_id WHERE item.practice_id = %s LIMIT %s",
            [coach.practice_id, most],
        )
        return cursor.fetchall()


def page_of_many(many: Membership, few: Membership) -> Row:
    questions = [_questions(coach) for coach in (many, few)]
    what = f"desk page of {MANY:,} clients / of {FEW} clients"
    remark = f"{questions[0]} queries against {questions[1]}"
    return side_by_side(what, _opens(many), _opens(few), turns=15, remark=remark)


def deep_page(coach: Membership) -> Row:
    """The hundredth page against the first: a page far down is as near."""
    after = None
    for _ in range(MANY // PAGE - 1):
        after = attention_page(coach.user, today=TODAY, after=after).next
    what = f"desk page {MANY // PAGE} of {MANY:,} clients / its first"
    return side_by_side(what, _opens(coach, after), _opens(coach), turns=15)


def page_past_what_was_put_away(coach: Membership) -> Row:
    """Nine of ten reasons put away, the most pressing ones: as a desk is that was worked through."""
    other = coach_of(MANY)
    items = AttentionItem.objects.filter(practice=other.practice).order_by("rank", "since", "uuid")
    gone = list(items.values_list("pk", flat=True)[: items.count() * 9 // 10])
    for start in range(0, len(gone), 500):
        AttentionItem.objects.filter(pk__in=gone[start : start + 500]).update(put_away_until=datetime.date.max)
    _tell_planner()
    what = f"desk page of {MANY:,} clients, 9 of 10 reasons put away / none"
    return side_by_side(what, _opens(other), _opens(coach), turns=15)


def _opens(coach: Membership, after: DeskPlace | None = None):
    browser = _browser(coach)
    address = reverse("desk") + (f"?after={after}" if after else "")

    def open_page() -> None:
        assert browser.get(address).status_code == 200

    return open_page


def _browser(coach: Membership) -> Browser:
    browser = Browser(SERVER_NAME="localhost")
    browser.force_login(coach.user)
    return browser


def _questions(coach: Membership) -> int:
    browser = _browser(coach)
    browser.get(reverse("desk"))
    with CaptureQueriesContext(connection) as queries:
        browser.get(reverse("desk"))
    return len(queries)
