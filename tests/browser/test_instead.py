"""Something else instead of a movement, on a phone; and what a coach sees of it."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from clients.choices import ItemKind
from programs.models import SetLog
from tests import factories as f
from tests.programs.log import session_with

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


@pytest.fixture
def planned(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    place = f.PlaceFactory(client=cast.client)
    for kind in (ItemKind.RINGS, ItemKind.BAR):
        f.EquipmentItemFactory(place=place, kind=kind, set_up_checked_on=timezone.localdate())
    easier = f.MovementFactory(revision__name="Leaning row", revision__equipment=[["rings"]])
    pull = f.MovementFactory(revision__name="Bar pull", revision__equipment=[["bar"]])
    f.ProgressionEdgeFactory(easier=easier, harder=pull)
    scheduled, dose = session_with(cast, movement=pull.current, sets=2)
    scheduled.on = timezone.now().date()
    scheduled.save(update_fields=["on"])
    return scheduled, dose


def flaws(page):
    """What axe finds, and whether the page is wider than the phone."""
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": RULES}}).response["violations"]
    wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    return [one["id"] for one in found] + (["too wide"] if wide else [])


def test_client_looks_for_something_without_the_bar_and_writes_it_down(open_as, live_server, cast, planned):
    page = open_as(cast.client_user, width=320)
    page.goto(live_server.url + reverse("train", args=[planned[0].uuid]))
    page.get_by_role("link", name="Something else Bar pull").click()

    page.get_by_label("A pull-up bar").check()
    page.get_by_role("button", name="Look again without it").click()

    expect(page.get_by_role("heading", name="Leaning row")).to_be_visible()
    assert flaws(page) == []
    expect(page.get_by_role("group", name="Reps you had left (RIR)")).to_have_count(1)
    page.get_by_role("button", name="Done").first.click()
    expect(page.get_by_text("Set 1: Leaning row")).to_be_visible()
    assert SetLog.objects.get().movement.name == "Leaning row"


def test_coach_sees_what_a_client_could_do(open_as, live_server, cast, planned):
    page = open_as(cast.coach, width=1280)

    page.goto(live_server.url + reverse("could-do", args=[cast.client.uuid, planned[1].uuid]))

    expect(page.get_by_role("link", name="Leaning row")).to_be_visible()
    assert flaws(page) == []
