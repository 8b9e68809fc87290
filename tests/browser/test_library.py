"""The library in a real browser on a narrow phone: a picture, and a line of ours made with the keyboard alone."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse
from playwright.sync_api import expect

from programs.domain.library import load_library
from programs.models import Movement, ProgressionEdge, ProgressionLine
from submissions.choices import ClipState
from tests import factories as f

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


def flaws(page):
    """What axe finds, and whether the page is wider than the phone."""
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": RULES}}).response["violations"]
    wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    return [one["id"] for one in found] + (["too wide"] if wide else [])


@pytest.mark.slow
def test_pages_of_the_library_fit_a_narrow_phone_and_pass_axe(open_as, live_server, cast):
    load_library()
    page = open_as(cast.coach, width=320)
    shared = Movement.objects.get(slug="pull-up")
    place = f.PlaceFactory(client=cast.client)
    f.ChairPermissionFactory(client=cast.client, place=place, by=cast.coach)

    for path in (
        reverse("movements"),
        reverse("movement", args=[shared.uuid]),
        reverse("own-movement", args=[shared.uuid]),
        reverse("lines"),
        reverse("new-line"),
        reverse("our-line", args=[ProgressionLine.objects.get(slug="row-line").uuid]),
        reverse("demonstration", args=[shared.uuid]),
        reverse("chairs", args=[place.uuid]),
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


def test_step_is_taken_out_of_a_shared_line_with_the_keyboard_alone(open_as, live_server, cast):
    load_library()
    page = open_as(cast.coach, width=320)
    out = Movement.objects.get(slug="ring-row-60deg").current.name
    page.goto(live_server.url + reverse("lines"))

    for words in ("Row line", "Take a step out Row line"):
        page.locator("summary", has_text=re.compile(f"^{words}$")).press("Enter")
    page.get_by_role("link", name=f"Without {out}").press("Enter")
    page.get_by_label("Name of the line").press("Enter")

    expect(page.get_by_text("our version of the shared line")).to_be_visible()
    ours = ProgressionEdge.objects.filter(line__practice=cast.practice)
    assert ours.filter(easier__slug="ring-row-45deg", harder__slug="ring-row-75deg").exists()
    assert not ours.filter(harder__slug="ring-row-60deg").exists()


def test_clip_of_the_practice_comes_beside_the_picture(open_as, live_server, cast):
    load_library()
    shared = Movement.objects.get(slug="pull-up")
    poster = default_storage.save("demonstrations/poster.jpg", ContentFile(b"a picture"))
    of_ours = {"practice": cast.practice, "movement": shared, "by": cast.coach, "poster": poster}
    f.DemonstrationClipFactory(state=ClipState.READY, **of_ours)
    page = open_as(cast.client_user, width=320)

    page.goto(live_server.url + reverse("movement", args=[shared.uuid]))

    expect(page.get_by_text("Two repetitions from the side.")).to_be_visible()
    expect(page.locator("video")).to_have_attribute("preload", "none")
    assert flaws(page) == []
