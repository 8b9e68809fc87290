"""The attention list in a real browser: worked by keyboard, page after page, without losing one's place."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from coaching.models import AttentionDecision, AttentionItem
from coaching.queries import PAGE
from tests import factories as f
from tests.coaching.scenario import caseload

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def coach():
    """Leads sixty people, the first of whom has two reasons."""
    coach = f.MembershipFactory()
    caseload(coach, [[(0, 61), (4, 1)], *([(0, days)] for days in range(60, 1, -1))])
    AttentionItem.objects.filter(rank=4).update(reason="Another reason.")
    return coach


@pytest.fixture
def desk(open_as, live_server, coach):
    page = open_as(coach.user, width=1280)
    page.goto(live_server.url + reverse("desk"))
    return page


def who(page) -> list[str]:
    return page.locator(".desk-row__who").all_inner_texts()


def test_row_that_is_put_away_shows_the_next_reason_in_its_place_and_keeps_the_focus(desk):
    row = desk.locator(".desk-row").first
    row.get_by_text("1 more reason, or put it away").click()
    row.get_by_role("button", name="Handled").first.click()

    expect(desk.locator(".desk-row").first).to_contain_text("Another reason.")
    expect(desk.locator(".desk-row__who").first).to_be_focused()
    assert who(desk)[:2] == ["Person 0", "Person 1"]


def test_last_reason_leaves_a_line_in_its_place_and_one_client_less(desk):
    row = desk.locator(".desk-row").nth(1)
    row.get_by_text("Put it away").click()
    row.get_by_role("button", name="In a week").click()

    gone = desk.get_by_text("Person 1: put away.")
    expect(gone).to_be_focused()
    expect(desk.locator("#attention-count")).to_have_text("59 clients need you.")
    assert desk.locator(".desk-row").nth(1).inner_text() == gone.inner_text()


def test_rest_of_the_list_is_added_below_and_the_address_leads_back_to_it(desk):
    desk.get_by_role("link", name="Show who comes next").click()

    expect(desk.locator(".desk-row__who")).to_have_count(60)
    expect(desk.locator(".desk-row__who").nth(PAGE)).to_be_focused()
    desk.reload()
    assert who(desk) == [f"Person {n}" for n in range(PAGE, 60)]


def test_rows_of_all_pages_are_worked_by_keyboard(desk):
    desk.get_by_role("link", name="Show who comes next").click()
    expect(desk.locator(".desk-row__who")).to_have_count(60)
    desk.locator("[data-row-stop]").nth(PAGE - 1).focus()

    desk.keyboard.press("j")
    desk.keyboard.press("Enter")

    desk.wait_for_url("**" + reverse("client", args=[AttentionItem.objects.get(client__name="Person 50").client.uuid]))


def test_list_works_without_script(chromium, live_server, desk, coach):
    context = chromium.new_context(java_script_enabled=False, storage_state=desk.context.storage_state())
    page = context.new_page()
    page.goto(live_server.url + reverse("desk"))
    page.get_by_role("link", name="Show who comes next").click()
    row = page.locator(".desk-row").first
    row.get_by_text("Put it away").click()
    row.get_by_role("button", name="Handled").click()

    page.wait_for_url("**/desk/?after=*#attention")
    assert who(page) == [f"Person {n}" for n in range(PAGE + 1, 60)]
    assert AttentionDecision.objects.get().client.name == f"Person {PAGE}"
    context.close()
