"""The body chart by finger, by keyboard and beside its list, down to 320 pixels."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from playwright.sync_api import expect

from clients.models import PainReport
from tests import factories as f

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}
pytestmark = [pytest.mark.slow, pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def pain_page(open_as, live_server, cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    page = open_as(cast.client_user, width=320)
    page.goto(live_server.url + reverse("report-pain"))
    return page


def chosen(page) -> tuple[str, str]:
    return (
        page.get_by_label("Where?").input_value(),
        page.evaluate("document.querySelector('input[name=side]:checked')?.value ?? ''"),
    )


def test_tapping_fills_the_list_and_says_the_own_side_in_words(pain_page):
    left, right = (pain_page.get_by_role("button", name=f"Knee, your {side}").first for side in ("left", "right"))
    assert left.bounding_box()["x"] < right.bounding_box()["x"]

    left.click()
    expect(pain_page.locator(".body-chart__chosen")).to_have_text("Knee, your left")
    assert chosen(pain_page) == ("knee", "left")
    # In both pictures.
    expect(pain_page.locator("[data-area=knee][aria-pressed=true]")).to_have_count(2)

    right.click()
    assert chosen(pain_page) == ("knee", "both")
    expect(pain_page.locator(".body-chart__chosen")).to_have_text("Knee, both sides")


def test_keyboard_walks_the_chart_and_chooses(pain_page):
    pain_page.locator("[data-area=head]").first.focus()
    for key in ("ArrowDown", "ArrowDown", "ArrowDown", "Enter"):
        pain_page.keyboard.press(key)

    assert chosen(pain_page) == ("chest", "middle")
    # One stop for Tab in each picture.
    expect(pain_page.locator("body-chart [tabindex='0']")).to_have_count(2)


def test_chart_follows_the_list_and_offers_no_middle_of_two(pain_page):
    pain_page.get_by_label("Where?").select_option("calf")
    pain_page.get_by_label("My right").check()

    expect(pain_page.locator("[data-area=calf][data-side=right][aria-pressed=true]")).to_have_count(2)
    expect(pain_page.locator("[aria-pressed=true]")).to_have_count(2)
    expect(pain_page.get_by_role("radio", name="Middle")).to_be_disabled()


def test_targets_are_large_enough_and_nothing_scrolls_sideways_at_320_pixels(pain_page):
    boxes = pain_page.locator("body-chart [data-area]").evaluate_all(
        "shapes => shapes.map((shape) => shape.getBoundingClientRect()).map(({ width, height }) => [width, height])"
    )
    assert min(min(box) for box in boxes) >= 24
    assert pain_page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert [rule["id"] for rule in Axe().run(pain_page, options=RULES).response["violations"]] == []


def test_without_a_script_the_list_alone_tells_where(chromium, live_server, cast, open_as):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    signed_in = open_as(cast.client_user)
    context = chromium.new_context(java_script_enabled=False, storage_state=signed_in.context.storage_state())
    page = context.new_page()
    page.goto(live_server.url + reverse("report-pain"))
    expect(page.locator("body-chart")).to_be_hidden()
    page.get_by_label("Where?").select_option("knee")
    for label in ("My left", "Since today"):
        page.get_by_label(label).check()
    for question in ("Did it begin with a blow", "Is it on one point of a bone"):
        page.get_by_role("group", name=question).get_by_label("No").check()
    page.get_by_role("button", name="Go on").click()
    expect(page.get_by_role("heading", name="Soreness or pain?")).to_be_visible()
    context.close()

    assert PainReport.objects.get().area == "knee"
