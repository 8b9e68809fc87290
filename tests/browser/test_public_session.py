"""A public session on a visitor's phone, with and without a script; and a coach who publishes one."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from playwright.sync_api import expect

from programs.domain.library import load_library
from programs.models import Movement, PublicSession
from tests import factories as f

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
SETS_OF_THINGS = [(), ("A long loop band",), ("A pull-up bar", "Rings")]


def dose(slug, measure="reps", **more):
    facts = {"movement": slug, "movement_name": slug, "measure": measure, "sets": 3, "amount_low": 8, "amount_high": 12}
    return facts | more


@pytest.fixture
def public(cast):
    load_library()
    cast.practice.takes_enquiries = True
    cast.practice.save()
    pair = [dose("pull-up", cue="Long arms first"), dose("push-up", rest_s=75)]
    groups = [
        {"kind": "pair", "prescriptions": pair},
        {"kind": "single", "prescriptions": [dose("forearm-plank", "seconds", amount_low=20, amount_high=30)]},
    ]
    session = {"week": 1, "weekday": "monday", "name": "x", "sections": [{"kind": "strength", "groups": groups}]}
    return f.PublicSessionFactory(
        practice=cast.practice,
        title="Half an hour in the park",
        about="Pull, push and hold.",
        document={"format": "purlin-block", "version": 1, "title": "x", "weeks": 1, "sessions": [session]},
    )


@pytest.fixture
def visit(chromium, live_server, public):
    """The page as a visitor opens it, with errors of scripts and answers that set a cookie failing the test."""
    contexts, errors = [], []

    def open_page(query="", *, width=360, scheme="light", script=True, is_online=True):
        context = chromium.new_context(
            viewport={"width": width, "height": 800}, color_scheme=scheme, java_script_enabled=script
        )
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda said: errors.append(said.text) if said.type == "error" and is_online else None)
        page.on("response", lambda answer: errors.append(answer.url) if sets_a_cookie(answer) else None)
        page.on(
            "request", lambda asked: errors.append(asked.url) if not asked.url.startswith(live_server.url) else None
        )
        page.goto(live_server.url + reverse("public-session", args=[public.uuid]) + query)
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert errors == []


def sets_a_cookie(answer):
    return "/s/" in answer.url and "set-cookie" in answer.headers


def flaws(page):
    """What axe finds, and whether the page is wider than the phone."""
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": RULES}}).response["violations"]
    wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    return [one["id"] for one in found] + (["too wide"] if wide else [])


def tick_only(page, labels):
    found = set()
    for box in page.get_by_role("group", name="What do you have?").get_by_role("checkbox").all():
        label = box.evaluate("box => box.labels[0].innerText").split("(")[0].strip()
        box.set_checked(label in labels)
        found.add(label)
    assert set(labels) <= found


def asked(page):
    """What the form asks for, as the script sends it."""
    return page.evaluate("() => String(new URLSearchParams(new FormData(document.querySelector('form[method=get]'))))")


def names(page):
    return [heading.inner_text() for heading in page.get_by_role("heading", level=3).all()]


@pytest.mark.parametrize("things", SETS_OF_THINGS)
def test_page_fits_itself_to_three_sets_of_things_with_and_without_a_script(visit, things):
    told = {}
    for script in (True, False):
        page = visit(script=script)
        tick_only(page, things)
        if script:
            # Each tick asks anew; the address changes with the last answer.
            expect(page).to_have_url(re.compile(re.escape(f"?{asked(page)}") + "$"))
        else:
            page.get_by_role("button", name="Show the session").click()
            # Headings are counted as they stand: all of the page has to be there.
            page.wait_for_load_state()
        address, _hash, place = page.url.split("?")[1].partition("#")
        assert place == ("" if script else "session")
        told[script] = (names(page), page.locator("[data-summary]").inner_text(), address)

    assert told[True] == told[False]
    assert ("Pull-up" in told[True][0]) == ("A pull-up bar" in things)
    assert "Push-up" in told[True][0]


def test_tick_changes_the_session_at_once_and_keeps_the_focus(visit):
    page = visit("?thing=bar&strength=some")
    expect(page.get_by_role("heading", name="Pull-up")).to_be_visible()
    bar = page.get_by_label("A pull-up bar")

    bar.focus()
    page.keyboard.press("Space")

    expect(page.get_by_role("heading", name="Pull-up", exact=True)).to_have_count(0)
    expect(page.locator("[data-told]")).to_contain_text("about")
    expect(bar).to_be_focused()
    assert "thing=bar" not in page.url
    page.reload()
    expect(page.get_by_role("heading", name="Pull-up", exact=True)).to_have_count(0)
    expect(page.get_by_label("A pull-up bar")).not_to_be_checked()


def test_button_goes_to_the_session_that_follows_by_itself(visit):
    page = visit("?thing=bar&strength=some")

    page.get_by_role("button", name="Show the session").click()

    expect(page.locator("#session")).to_be_focused()
    expect(page.locator("#session")).to_be_in_viewport()


@pytest.mark.parametrize("height", [640, 256])
def test_rest_bar_covers_no_focused_control(visit, height):
    page = visit("?thing=bar&strength=some")
    page.set_viewport_size({"width": 320, "height": height})
    covered = """() => {
        const { left, right, top, bottom } = document.activeElement.getBoundingClientRect()
        const middle = [(left + right) / 2, (top + bottom) / 2]
        const spots = [[left + 2, top + 2], [right - 2, top + 2], middle, [left + 2, bottom - 2]]
        const hit = spots.map(([x, y]) => document.elementFromPoint(x, y))
        return hit.every((one) => one?.closest(".rest-bar")) && !document.activeElement.closest(".rest-bar")
    }"""

    for _press in range(40):
        page.keyboard.press("Tab")
        assert not page.evaluate(covered), page.evaluate("document.activeElement.outerHTML")


def test_area_to_protect_takes_away_what_stresses_it(visit):
    page = visit()

    page.get_by_text("Areas to protect").click()
    page.get_by_label("Shoulder").check()

    expect(page.get_by_role("heading", name="Not possible here")).to_be_visible()
    expect(page.get_by_text("Loads an area that must not be loaded: Shoulder").first).to_be_visible()


def test_set_done_starts_the_rest_that_belongs_to_it(visit):
    page = visit()

    page.get_by_role("button", name="Set done: rest 75 s: Push-up").click()

    expect(page.locator("rest-timer").get_by_role("button", name="Stop")).to_be_visible()
    expect(page.locator("rest-timer output")).to_have_text(re.compile("1:1[0-5]"))
    expect(page.get_by_role("button", name="Start hold")).to_be_visible()


def test_tick_without_a_connection_says_so(visit):
    page = visit(is_online=False)
    page.route("**/s/**", lambda route: route.abort())
    before = names(page)

    page.get_by_label("Trained").check()

    expect(page.locator("[data-told]")).to_contain_text("could not be asked for")
    expect(page.locator("#session")).to_have_js_property("inert", True)
    told, session = page.locator("[data-told]").bounding_box(), page.locator("#session").bounding_box()
    assert told["y"] < session["y"]
    assert page.locator("#session h3").all_inner_texts() == before


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_page_has_no_flaw_and_fits_the_screen(visit, scheme, width):
    page = visit("?strength=new&protect=elbow", width=width, scheme=scheme)
    for closed in page.locator("details:not([open]) > summary").all():
        closed.click()

    assert flaws(page) == []


def test_visitor_goes_on_to_the_enquiry(visit):
    page = visit()

    page.get_by_role("link", name="Send an enquiry").click()

    expect(page.get_by_role("heading", name="Train with Here?")).to_be_visible()


def test_coach_publishes_a_session_and_looks_at_it(open_as, live_server, cast):
    load_library()
    session = f.BlockSessionFactory(block__client=cast.client, name="Push day")
    movement = Movement.objects.get(slug="push-up").current
    f.PrescriptionFactory(group__section__session=session, movement=movement, cue="Long arms")
    page = open_as(cast.coach, width=320)
    page.goto(live_server.url + reverse("block", args=[session.block.uuid]))
    page.get_by_role("link", name="Publish for anyone to follow Push day").click()
    expect(page.get_by_text("Cue: Long arms")).to_be_visible()
    assert flaws(page) == []

    page.get_by_label("Title").fill("Push for anyone")
    page.get_by_label("I have read what will be visible").check()
    page.get_by_role("button", name="Publish", exact=True).click()

    public = PublicSession.objects.get()
    expect(page.get_by_label("Address of Push for anyone")).to_have_value(f"http://127.0.0.1:8000/s/{public.uuid}/")
    assert flaws(page) == []
    page.get_by_role("link", name="Look at it as a visitor").click()
    expect(page.get_by_role("heading", name="Push for anyone")).to_be_visible()
    page.go_back()
    page.get_by_role("button", name="End it").click()
    expect(page.get_by_text("Ended. Nobody can open it any more.")).to_be_visible()
    assert flaws(page) == []
