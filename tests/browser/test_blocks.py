"""The session editor in a real browser: rows by key, a found movement, remarks beside, and the plain form below."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from programs.domain.building import add_session, create_block
from programs.domain.library import load_library
from programs.domain.rows import rows_of
from tests import factories as f

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def session(cast):
    load_library()
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    block = create_block(cast.client, by=cast.coach, title="Spring", starts_on=f.MONDAY.replace(year=2099), weeks=2)
    return add_session(block, version=0, name="Pull day", week=1, weekday=1)


@pytest.fixture
def editor(open_as, live_server, cast, session):
    page = open_as(cast.coach, width=1280)
    page.goto(live_server.url + reverse("block-session", args=[session.block.uuid, session.uuid]))
    return page


def test_session_is_written_with_keys_and_search(editor, session):
    movement = editor.get_by_label("Movement", exact=True)
    movement.first.fill("Push-up")
    editor.keyboard.press("Alt+Enter")
    editor.keyboard.type("Plank")
    editor.keyboard.press("Alt+Shift+ArrowUp")
    editor.get_by_label("Name or pattern").fill("chin")
    editor.get_by_role("button", name="Add Chin-up", exact=True).click()

    expect(editor.locator("#beside")).to_contain_text("Chin-up: Not at this place")
    editor.keyboard.press("Control+Enter")
    editor.wait_for_url("**" + reverse("block", args=[session.block.uuid]))

    assert [row.movement.name for row in rows_of(session)] == ["Plank", "Push-up", "Chin-up"]


def test_bracket_is_drawn_around_a_pair(editor):
    editor.get_by_label("Movement", exact=True).first.fill("Push-up")
    editor.keyboard.press("Alt+Enter")
    editor.keyboard.type("Plank")
    editor.get_by_label("Pair with the next").first.check()

    expect(editor.locator("[data-row]").first).to_have_class("builder-row builder-row--opens-pair")
    expect(editor.locator("[data-row]").nth(1)).to_have_class("builder-row builder-row--closes-pair")
