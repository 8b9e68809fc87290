"""The library in a real browser on a narrow phone: a picture, and a line of ours made with the keyboard alone."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from playwright.sync_api import expect

from programs.domain.library import load_library
from programs.models import Movement, ProgressionEdge

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


def flaws(page):
    """What axe finds, and whether the page is wider than the phone."""
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": RULES}}).response["violations"]
    wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    return [one["id"] for one in found] + (["too wide"] if wide else [])


def test_pages_of_the_library_fit_a_narrow_phone_and_pass_axe(open_as, live_server, cast):
    load_library()
    page = open_as(cast.coach, width=320)
    shared = Movement.objects.get(slug="pull-up")

    for path in (
        reverse("movements"),
        reverse("movement", args=[shared.uuid]),
        reverse("own-movement", args=[shared.uuid]),
        reverse("lines"),
        reverse("new-line"),
    ):
        page.goto(live_server.url + path)
        assert (path, flaws(page)) == (path, [])


def test_line_is_made_with_the_keyboard_alone(open_as, live_server, cast):
    load_library()
    page = open_as(cast.coach, width=320)
    page.goto(live_server.url + reverse("new-line"))

    page.get_by_label("Name of the line").focus()
    for typed in ("Towel line", "Pull-up", "Towel hang", "3", "5-8", "3", "The grip gives out first."):
        page.keyboard.type(typed)
        page.keyboard.press("Tab")
    page.get_by_label("Name of the line").press("Enter")

    expect(page.get_by_role("link", name="Towel line 1 step")).to_be_visible()
    assert ProgressionEdge.objects.get(line__practice=cast.practice).entry_dose["amount_high"] == 8
