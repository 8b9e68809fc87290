"""The list of days and the calendar in a real browser: excuse, move, repeat a week, paper, an address that is ended."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from programs.choices import BlockState, SessionState
from programs.domain.publishing import publish_block
from programs.models import Block, ScheduledSession
from tests import factories as f
from tests.browser.test_pages_of_people import LONG, problems, walk
from tests.programs.domain.test_publishing import draft

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.django_db(transaction=True)]
DAY = datetime.timedelta(days=1)


@pytest.fixture
def block(cast):
    """Two weeks from next Monday on, a session on Tuesday and one on Saturday, with names that do not fit easily."""
    cast.client.name = LONG
    cast.client.save()
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    plan = draft(cast, starts_on=timezone.localdate() + 7 * DAY, name=LONG)
    plan.sessions.update(name=LONG)
    plan.message = LONG
    plan.save()
    return publish_block(plan, by=cast.coach, at=timezone.now(), first_day=plan.starts_on)


def session(block, number):
    return ScheduledSession.objects.filter(session__block__lineage=block.lineage).on_the_plan()[number]


def states(block):
    rows = ScheduledSession.objects.filter(session__block__lineage=block.lineage).on_the_plan()
    return [row.state for row in rows]


def test_client_excuses_days_and_takes_it_back(open_as, live_server, cast, block):
    page = open_as(cast.client_user)
    page.goto(live_server.url + reverse("my-days"))
    page.get_by_text("Excuse days", exact=True).click()
    page.get_by_label("From").fill(session(block, 0).on.isoformat())
    page.get_by_label("Until").fill(session(block, 1).on.isoformat())
    page.get_by_label("Travelling").check()
    page.get_by_role("button", name="Excuse these days").click()

    expect(page.get_by_text("Excused: Travelling")).to_have_count(2)
    assert states(block) == [SessionState.EXCUSED] * 2 + [SessionState.PLANNED] * 2

    page.get_by_role("button", name="Take back").click()
    expect(page.get_by_text("Taken back.")).to_be_visible()
    assert states(block) == [SessionState.PLANNED] * 4


def test_coach_moves_a_session_within_reach(open_as, live_server, cast, block):
    first = session(block, 0)
    to = first.on + DAY
    page = open_as(cast.coach)
    page.goto(live_server.url + reverse("client-days", args=[cast.client.uuid]))
    row = page.locator(f"#day-{first.uuid}")
    row.locator("summary").click()
    row.get_by_label("To which day?").fill(to.isoformat())
    row.get_by_role("button", name="Move the session").click()

    expect(page.get_by_text(f"Moved to {to:%A} {to.day} {to:%B}")).to_be_visible()
    assert session(block, 0).on == to


def test_coach_repeats_a_week_after_a_look_at_what_would_happen(open_as, live_server, cast, block):
    page = open_as(cast.coach)
    page.goto(live_server.url + reverse("block", args=[block.uuid]))
    page.get_by_role("link", name="Repeat a week").click()
    expect(page.get_by_label(f"{LONG} · Block")).to_be_checked()
    page.get_by_label("What changes, and why").fill("We settle first.")
    page.get_by_role("button", name="Look at what would happen").click()

    expect(page.get_by_role("heading", name="This is what would happen")).to_be_visible()
    assert Block.objects.count() == 1
    assert problems(page) == []
    page.get_by_role("button", name="Publish for 1 client").click()

    expect(page.get_by_text(f"Published for {LONG}.")).to_be_visible()
    assert Block.objects.get(state=BlockState.PUBLISHED).weeks == 3
    assert len(states(block)) == 6


def test_client_subscribes_and_ends_the_address(open_as, live_server, cast, block, settings):
    settings.SITE_URL = live_server.url
    page = open_as(cast.client_user)
    page.goto(live_server.url + reverse("my-calendar"))
    page.get_by_role("button", name="Make an address").click()
    address = page.get_by_label("Address of your calendar").input_value()
    expect(page.get_by_role("button", name="Copy")).to_be_visible()
    assert problems(page) == []

    assert str(session(block, 0).lineage) in read(page, address).text()
    page.goto(live_server.url + reverse("my-calendar"))
    expect(page.get_by_label("Address of your calendar")).to_have_count(0)
    expect(page.get_by_text("A calendar last asked about")).to_be_visible()

    page.get_by_role("button", name="End this address").click()
    page.get_by_role("button", name="End it").click()
    expect(page.get_by_text("Calendars that know the address hear nothing more.")).to_be_visible()
    assert read(page, address).status == 404


def read(page, address):
    """As a calendar program does: without a cookie."""
    stranger = page.context.browser.new_context()
    assert stranger.cookies() == []
    return stranger.request.get(address)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_sheet_is_black_on_white_without_navigation_and_fits_the_paper(open_as, live_server, cast, block, paper):
    page = open_as(cast.client_user)
    page.emulate_media(color_scheme="dark")
    page.goto(live_server.url + reverse("my-block-sheet", args=[block.uuid]) + "?week=all")
    expect(page.get_by_role("button", name="Print")).to_be_visible()
    page.emulate_media(media="print", color_scheme="dark")
    # 14 mm of margin on either side, at 96 px to the inch.
    width = {"A4": 210, "Letter": 215.9}[paper] - 28
    page.set_viewport_size({"width": round(width / 25.4 * 96), "height": 900})

    looks = page.evaluate(
        """() => {
          const cell = getComputedStyle(document.querySelector(".sheet__table th"))
          return {ink: cell.color, page: getComputedStyle(document.body).backgroundColor,
                  wide: document.documentElement.scrollWidth > innerWidth}
        }"""
    )
    assert looks["ink"] == "rgb(0, 0, 0)"
    assert looks["page"] in {"rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"}
    assert not looks["wide"]
    for hidden in [".site-header", ".tabs", ".button"]:
        assert page.locator(hidden).locator("visible=true").count() == 0
    assert page.pdf(format=paper).startswith(b"%PDF")


def test_pages_are_usable_by_everybody(open_as, live_server, cast, block):
    first = session(block, 0)
    today = timezone.localdate()
    f.ExcuseFactory(client=cast.client, first_on=today, last_on=first.on, by=cast.coach)
    skipped = session(block, 1)
    f.TrainingLogFactory(client=cast.client, scheduled=skipped, outcome="skipped", skip_reason="time")
    ScheduledSession.objects.filter(pk=skipped.pk).update(state=SessionState.SKIPPED, reason="time")
    f.CalendarFeedFactory(client=cast.client, starts_at=datetime.time(18, 30), time_zone="Asia/Tokyo")
    mine = [reverse("my-days"), reverse("my-calendar"), reverse("train", args=[skipped.uuid])]
    mine += [reverse("my-block-sheet", args=[block.uuid]), reverse("my-block", args=[block.uuid])]
    coachs = [reverse("client-days", args=[cast.client.uuid]), reverse("repeat-week")]
    coachs += [reverse("block-sheet", args=[block.uuid]), reverse("block", args=[block.uuid])]

    assert walk(open_as(cast.client_user), live_server.url, mine) == {}
    assert walk(open_as(cast.coach), live_server.url, coachs) == {}
