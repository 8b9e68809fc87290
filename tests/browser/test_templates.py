"""A block kept as a template, begun by keys for one client and for two with different things, read and published."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from clients.choices import ItemKind
from programs.domain import building
from programs.domain.library import load_library
from programs.domain.rows import Row
from programs.models import Block, Movement
from tests import factories as f
from tests.browser.flaws import flaws

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
DAYS = [("Pull", 0), ("Push", 2), ("Legs", 4)]


def ready(client, *kinds):
    f.ConsentFactory(client=client)
    f.ScreeningFactory(client=client)
    place = f.PlaceFactory(client=client)
    for kind in kinds:
        f.EquipmentItemFactory(place=place, kind=kind, set_up_checked_on=timezone.localdate())
    return client


@pytest.fixture
def with_bar(cast):
    load_library()
    return ready(cast.client, ItemKind.BAR, ItemKind.DUMBBELL)


@pytest.fixture
def with_rings(cast):
    client = f.ClientFactory(practice=cast.practice, name="Rings at home")
    f.AssignmentFactory(client=client, coach=cast.coach_membership)
    return ready(client, ItemKind.RINGS)


@pytest.fixture
def block(cast, with_bar):
    """Four weeks of three sessions: a pull-up that needs a bar, a curl that needs dumbbells, and more."""
    current = {m.slug: m.current for m in Movement.objects.select_related("current")}
    slugs = {"Pull": ["pull-up", "wrist-curl"], "Push": ["push-up"], "Legs": ["split-squat"]}
    draft = building.create_block(with_bar, by=cast.coach, title="Spring", starts_on=timezone.localdate(), weeks=4)
    for name, weekday in DAYS:
        session = building.add_session(draft, version=draft.version, name=name, week=1, weekday=weekday)
        rows = [Row(movement=current[slug], target_rir=2, per_side=current[slug].one_sided) for slug in slugs[name]]
        weeks = range(1, 5)
        building.save_session(
            session, rows, version=session.block.version, name=name, weekday=weekday, also_in_weeks=weeks
        )
        draft.refresh_from_db()
    return draft


def test_template_is_kept_begun_given_to_two_read_and_published(open_as, live_server, cast, block, with_rings):
    page = open_as(cast.coach, width=320, expected="422")
    page.goto(live_server.url + reverse("block", args=[block.uuid]))
    page.get_by_role("link", name="Keep as a template").click()
    assert flaws(page) == []
    page.get_by_label("Name", exact=True).fill("Four weeks, three days")
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("heading", name="Four weeks, three days")).to_be_visible()
    assert flaws(page) == []

    next_monday = building.monday_of(timezone.localdate()) + datetime.timedelta(days=7)
    page.get_by_label("First week").fill(str(next_monday))
    page.get_by_label(block.client.name).check()
    page.get_by_label("Rings at home").check()
    page.get_by_role("button", name="Begin a draft for each").click()
    expect(page.get_by_text("Drafts for")).to_be_visible()
    assert flaws(page) == []

    page.get_by_role("link", name="Rings at home").click()
    changed = page.get_by_role("region", name="What changed for this client")
    expect(changed).to_contain_text("Became Chin-up")
    expect(changed).to_contain_text("Left out")
    expect(changed).to_contain_text("Not at this place: Dumbbells.")
    assert flaws(page) == []

    page.get_by_role("link", name="Check and publish").click()
    page.get_by_role("button", name="Publish").click()
    expect(page.get_by_text("Read what changed for this client first, and say so.").first).to_be_visible()
    assert flaws(page) == []
    page.get_by_label("I have read what changed for this client").check()
    page.get_by_role("button", name="Publish").click()
    expect(page.get_by_text("Published. The client has a letter on the way.")).to_be_visible()

    others = Block.objects.of(block.client).exclude(pk=block.pk).get()
    assert (others.is_draft, others.placed) == (True, [])


def test_filled_draft_is_three_keys_away_from_the_list(open_as, live_server, cast, block):
    page = open_as(cast.coach, width=1280)
    for title in ("Four weeks, three days", "Two days"):
        page.goto(live_server.url + reverse("keep-block", args=[block.uuid]))
        page.get_by_label("Name", exact=True).fill(title)
        page.get_by_role("button", name="Keep it").click()
        expect(page.get_by_text("Kept as a template.")).to_be_visible()

    page.goto(live_server.url + reverse("client-blocks", args=[block.client.uuid]))
    assert flaws(page) == []
    page.keyboard.press("f")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")

    expect(page.get_by_role("heading", name="Four weeks, three days")).to_be_visible()
    draft = Block.objects.get(template__isnull=False)
    assert (draft.weeks, draft.sessions.count()) == (4, 12)


def test_practice_without_templates_is_told_what_to_do(open_as, live_server, cast):
    page = open_as(cast.coach, width=320)
    page.goto(live_server.url + reverse("block-templates"))

    expect(page.get_by_text("No template yet")).to_be_visible()
    assert flaws(page) == []
