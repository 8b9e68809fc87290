"""The session editor in a real browser: rows by key and by hand, undo, what saves itself, and two coaches at once."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from programs.domain.building import add_session, create_block, remove_session, save_session
from programs.domain.library import load_library
from programs.domain.publishing import publish_block
from programs.domain.rows import Row, rows_of
from programs.models import Block, MovementRevision
from tests import factories as f
from tests.browser.flaws import flaws

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
    # The page that shows what two people saved is an answer of its own.
    page = open_as(cast.coach, width=1280, expected="409 (Conflict)")
    page.goto(live_server.url + reverse("block-session", args=[session.block.uuid, session.uuid]))
    return page


def names(session):
    return [row.movement.name for row in rows_of(session)]


def typed_names(editor):
    return [cell.input_value() for cell in editor.get_by_label("Movement", exact=True).all()]


def saved(editor):
    expect(editor.locator("[data-saving]")).to_contain_text("Saved at")


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

    assert names(session) == ["Plank", "Push-up", "Chin-up"]


def test_bracket_is_drawn_around_what_is_done_together(editor):
    editor.get_by_label("Movement", exact=True).first.fill("Push-up")
    editor.keyboard.press("Alt+P")
    editor.keyboard.press("Alt+Enter")
    editor.keyboard.type("Plank")
    editor.keyboard.press("Alt+P")
    editor.keyboard.press("Alt+Enter")
    editor.keyboard.type("Chin-up")

    rows = editor.locator("[data-row]")
    for number, kind in enumerate(("opens", "within", "closes")):
        expect(rows.nth(number)).to_have_class(f"builder-row builder-row--{kind}")


def test_page_saves_itself_and_writes_names_out(editor, session):
    editor.get_by_label("Movement", exact=True).first.fill("chi u")
    editor.keyboard.press("Tab")

    saved(editor)
    assert names(session) == ["Chin-up"]
    expect(editor.get_by_label("Movement", exact=True).first).to_have_value("Chin-up")
    editor.get_by_label("Sets").first.fill("5")
    editor.keyboard.press("Tab")
    editor.wait_for_timeout(1300)
    saved(editor)
    assert [(row.sets, row.movement.name) for row in rows_of(session)] == [(5, "Chin-up")]


def test_what_is_wrong_is_said_and_the_last_good_one_stays(editor, session):
    editor.get_by_label("Movement", exact=True).first.fill("Chin-up")
    saved(editor)

    editor.get_by_label("Amount").first.fill("12-8")

    line = editor.locator("[data-saving]")
    expect(line).to_have_text("Not saved yet. Row 1, Amount: The lower number comes first.")
    assert rows_of(session)[0].amount_low == 8


def test_rows_are_copied_cut_pasted_removed_and_brought_back(editor):
    editor.get_by_label("Movement", exact=True).first.fill("Push-up")
    editor.keyboard.press("Alt+Shift+Enter")
    assert typed_names(editor) == ["Push-up", "Push-up"]

    editor.get_by_label("Movement", exact=True).nth(1).fill("Plank")
    editor.keyboard.press("Alt+X")
    assert typed_names(editor) == ["Push-up"]
    editor.keyboard.press("Alt+V")
    assert typed_names(editor) == ["Push-up", "Plank"]

    editor.keyboard.press("Alt+Delete")
    assert typed_names(editor) == ["Push-up"]
    editor.keyboard.press("Alt+Z")
    assert typed_names(editor) == ["Push-up", "Plank"]
    editor.keyboard.press("Alt+Shift+Z")
    assert typed_names(editor) == ["Push-up"]


def test_a_copied_row_is_pasted_into_another_session(editor, session, live_server):
    editor.get_by_label("Movement", exact=True).first.fill("Push-up")
    editor.get_by_label("Sets").first.fill("5")
    editor.keyboard.press("Alt+C")
    saved(editor)
    block = Block.objects.get()
    other = add_session(block, version=block.version, name="Push day", week=1, weekday=3)

    editor.goto(live_server.url + reverse("block-session", args=[block.uuid, other.uuid]))
    editor.get_by_label("Movement", exact=True).first.click()
    editor.keyboard.press("Alt+V")

    assert typed_names(editor) == ["", "Push-up"]
    saved(editor)
    assert [(row.movement.name, row.sets) for row in rows_of(other)] == [("Push-up", 5)]


def test_a_row_is_dragged_to_another_place(editor, session):
    editor.get_by_label("Movement", exact=True).first.fill("Push-up")
    editor.keyboard.press("Alt+Enter")
    editor.keyboard.type("Plank")
    handle = editor.locator("[data-drag]").nth(1).bounding_box()
    target = editor.locator("[data-row]").first.bounding_box()

    editor.mouse.move(handle["x"] + handle["width"] / 2, handle["y"] + handle["height"] / 2)
    editor.mouse.down()
    editor.mouse.move(target["x"] + 20, target["y"] + 4, steps=5)
    editor.mouse.up()

    assert typed_names(editor) == ["Plank", "Push-up"]
    saved(editor)
    assert names(session) == ["Plank", "Push-up"]


def test_second_coach_is_told_and_nothing_of_the_first_is_lost(editor, session, cast):
    editor.get_by_label("Movement", exact=True).first.fill("Chin-up")
    saved(editor)
    block = Block.objects.get()
    plank = MovementRevision.objects.get(name="Plank")
    row = Row(movement=plank)
    save_session(session.__class__.objects.get(), [row], version=block.version, name="Pull day", weekday=1)

    editor.get_by_label("Sets").first.fill("5")

    line = editor.locator("[data-saving]")
    expect(line).to_contain_text("Someone else saved this block meanwhile.")
    assert names(session) == ["Plank"]
    editor.get_by_role("button", name="Show both, and decide").click()
    expect(editor.get_by_role("heading", name="What the other person saved")).to_be_visible()
    assert typed_names(editor)[0] == "Chin-up"
    editor.get_by_role("button", name="Save", exact=True).click()
    editor.wait_for_url(re.compile(reverse("block", args=[block.uuid]) + "$"))
    assert [(row.movement.name, row.sets) for row in rows_of(session)] == [("Chin-up", 5)]


def test_whoever_leaves_at_once_loses_no_change(editor, session, live_server):
    editor.get_by_label("Movement", exact=True).first.fill("Chin-up")
    editor.keyboard.press("Alt+Shift+Enter")
    saved(editor)
    assert names(session) == ["Chin-up", "Chin-up"]

    editor.keyboard.press("Alt+Delete")
    editor.goto(live_server.url + reverse("block", args=[session.block.uuid]))

    for _try in range(50):
        if names(session) == ["Chin-up"]:
            break
        editor.wait_for_timeout(100)
    assert names(session) == ["Chin-up"]


def test_page_behind_a_link_has_what_was_typed_just_before(editor, session):
    editor.get_by_label("Movement", exact=True).first.fill("Chin-up")

    editor.get_by_role("link", name="As the client will see it").click()

    editor.wait_for_url("**" + reverse("preview-block-session", args=[session.block.uuid, session.uuid]))
    expect(editor.get_by_role("heading", name="Chin-up")).to_be_visible()


def test_whoever_writes_on_after_publishing_keeps_what_was_typed(editor, session, cast):
    editor.get_by_label("Movement", exact=True).first.fill("Push-up")
    saved(editor)
    publish_block(Block.objects.get(), by=cast.coach, at=f.NOON, first_day=session.block.starts_on)
    editor.get_by_label("Sets").first.fill("5")

    expect(editor.locator("[data-saving]")).to_contain_text("this block was published meanwhile")
    editor.get_by_role("button", name="Show what can be done").click()

    expect(editor.get_by_role("heading", name="This block was published meanwhile")).to_be_visible()
    assert (typed_names(editor)[0], editor.get_by_label("Sets").first.input_value()) == ("Push-up", "5")
    with editor.expect_popup() as other:
        editor.get_by_role("button", name="Begin a new revision in another tab").click()
    expect(other.value.get_by_text("revision 2")).to_be_visible()
    assert flaws(editor) == []


def test_whoever_writes_in_a_removed_session_is_told_that_it_is_gone(open_as, live_server, cast, session):
    editor = open_as(cast.coach, width=1280, expected="404 (Not Found)")
    editor.goto(live_server.url + reverse("block-session", args=[session.block.uuid, session.uuid]))
    remove_session(session, version=session.block.version)

    editor.get_by_label("Movement", exact=True).first.fill("Push-up")

    expect(editor.locator("[data-saving]")).to_contain_text("somebody removed this session meanwhile")


def test_buttons_of_a_row_name_it_and_the_panel_tells_one_sentence(editor):
    editor.get_by_label("Movement", exact=True).first.fill("Push-up")
    editor.keyboard.press("Alt+Shift+Enter")
    editor.get_by_label("Movement", exact=True).nth(1).fill("Plank")
    editor.keyboard.press("Tab")

    expect(editor.get_by_role("button", name="Remove: row 2, Plank", exact=True)).to_be_visible()
    told = editor.locator("[data-beside-told]")
    expect(told).to_have_text(re.compile(r"^About \d+ minutes\. \d+ remarks?\.$"))


def test_session_without_a_connection_is_saved_later(editor, session):
    # What fetch does without a connection; a context taken off line would also write to the console.
    editor.evaluate("() => { window.kept = window.fetch; window.fetch = () => Promise.reject(new TypeError()) }")
    editor.get_by_label("Movement", exact=True).first.fill("Chin-up")
    expect(editor.locator("[data-saving]")).to_contain_text("Not saved: no connection.")

    editor.evaluate("() => { window.fetch = window.kept }")

    editor.get_by_label("Sets").first.fill("4")
    saved(editor)
    assert [(row.movement.name, row.sets) for row in rows_of(session)] == [("Chin-up", 4)]


@pytest.mark.parametrize("width", [320, 1280])
def test_editor_preview_and_block_are_usable_by_everybody(open_as, live_server, cast, session, width):
    plank, pull = (MovementRevision.objects.get(name=name) for name in ("Plank", "Chin-up"))
    rows = [
        Row(
            movement=pull, joined=True, together="every", interval_s=60, harder=pull, harder_from=8, and_or="Or a walk."
        ),
        Row(movement=pull, kind="cluster", amount_high=6, amount_low=6, cluster_reps=2, rest_within_s=15),
        Row(movement=plank, section="core", step_amount=5),
    ]
    save_session(session, rows, version=session.block.version, name="Pull day", weekday=1)
    page = open_as(cast.coach, width=width)
    for name in ("block-session", "preview-block-session"):
        page.goto(live_server.url + reverse(name, args=[session.block.uuid, session.uuid]))
        page.wait_for_load_state("networkidle")
        assert flaws(page) == [], name
    for name in ("block", "publish-block", "client-blocks"):
        key = session.block.client.uuid if name == "client-blocks" else session.block.uuid
        page.goto(live_server.url + reverse(name, args=[key]))
        assert flaws(page) == [], name
