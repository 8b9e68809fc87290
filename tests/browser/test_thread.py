"""The main job, end to end: the product served by its one command, the real worker, a real browser, nine steps.

Nothing here reaches into the process: what people see on pages is all that is asked.
"""

import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from coaching.demo.figures import draw_clip
from tests.shapes import served

pytestmark = [pytest.mark.browser, pytest.mark.slow]
ROOT = Path(__file__).resolve().parents[2]
LINK = re.compile(r"^\s+(?P<who>[^,]+), \w+: (?P<url>http\S+)$", re.MULTILINE)
# The machine may be busy with other tests; the steps wait for what they need and no longer.
PATIENCE_MS = 60_000
START_S = 300


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """The demo loaded and served in an empty folder, as `make run` does it: its address and sign-in links.

    In the scaled shape (python -m tests.shapes) with an empty database and a place of its own in the storage.
    """
    folder = tmp_path_factory.mktemp("house")
    with served.environment(folder) as environment:
        yield from serve_demo(folder, environment | {"DJANGO_SETTINGS_MODULE": "coaching.settings.demo"})


def serve_demo(folder: Path, environment: dict[str, str]) -> Iterator[tuple[str, dict[str, str]]]:
    manage = [sys.executable, str(ROOT / "manage.py")]
    subprocess.run([*manage, "demo", "--if-empty"], env=environment, check=True, timeout=START_S)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    log = folder / "serve.log"
    with log.open("w") as output:
        serving = subprocess.Popen(
            [*manage, "serve", "--demo", "--port", str(port)],
            env=environment | {"PYTHONUNBUFFERED": "1"},
            stdout=output,
            stderr=subprocess.STDOUT,
        )
    deadline = time.monotonic() + START_S
    while not LINK.search(log.read_text()):
        assert serving.poll() is None, log.read_text()
        assert time.monotonic() < deadline, log.read_text()
        time.sleep(0.3)
    time.sleep(1)
    yield f"http://127.0.0.1:{port}", {m["who"]: m["url"] for m in LINK.finditer(log.read_text())}
    serving.send_signal(signal.SIGTERM)
    assert serving.wait(timeout=30) == 0


@pytest.fixture(scope="module")
def browsers(chromium):
    """A desk and two phones, each with its own sign-in; script errors on any of them fail the module."""
    errors: list[str] = []
    contexts = []

    def open_page(width: int) -> Page:
        context = chromium.new_context(viewport={"width": width, "height": 860}, locale="en-GB")
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert errors == []


@pytest.fixture(scope="module")
def desk(browsers, house) -> Page:
    _base, links = house
    page = browsers(1280)
    page.goto(links["Mara Quell"])
    page.get_by_role("main").get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Desk")).to_be_visible()
    return page


@pytest.fixture(scope="module")
def phone(browsers) -> Page:
    return browsers(360)


@pytest.fixture(scope="module")
def other_phone(browsers, house) -> Page:
    _base, links = house
    page = browsers(360)
    page.goto(links["Ilse Varga"])
    page.get_by_role("main").get_by_role("button", name="Sign in").click()
    return page


def go_on(page: Page) -> None:
    page.get_by_role("button", name=re.compile("Save and (go on|finish)")).click()


def fits(page: Page) -> bool:
    return page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_1_coach_invites_a_client_by_mail(desk, house):
    base, _links = house
    desk.goto(f"{base}/clients/invite/")
    desk.get_by_label("Name").fill("Nova Lund")
    desk.get_by_label("E-mail address").fill("nova@client.example")
    desk.get_by_role("button", name="Send the invitation").click()

    desk.goto(f"{base}/mailbox/")

    expect(desk.get_by_text("To nova@client.example")).to_be_visible()


def test_2_client_accepts_consents_and_answers_the_intake(phone, desk):
    letter = desk.locator("article", has_text="nova@client.example")
    phone.goto(letter.get_by_role("link").first.get_attribute("href"))
    phone.get_by_label("Choose a password").fill("rings hang from the beam")
    phone.get_by_role("button", name="Accept").click()
    for agreement in phone.get_by_label("Yes, I agree").all():
        agreement.check()
    go_on(phone)
    phone.get_by_label("When were you born?").fill("1991-05-04")
    phone.get_by_label("Which country are you in now?").select_option("DE")
    phone.get_by_label("Your time zone").select_option("Europe/Berlin")
    go_on(phone)
    phone.get_by_label("Get stronger overall").check()
    phone.get_by_label("Half a year to two years").check()
    go_on(phone)
    phone.get_by_label("How many days a week?").fill("2")
    phone.get_by_label("How many minutes a session, warm-up included?").fill("40")
    go_on(phone)
    phone.get_by_label("Their name").fill("Ada Lund")
    phone.get_by_label("Their phone number").fill("+49 30 555 0100")
    go_on(phone)
    phone.get_by_role("group", name="What is there?").get_by_label("Rings").check()
    phone.get_by_role("group", name="Set-up check").get_by_label("Rings").check()
    go_on(phone)
    phone.get_by_label("Body mass (optional)").fill("70")
    go_on(phone)
    phone.get_by_label("None of these applies to me right now").check()
    phone.get_by_role("group", name="Have you exercised for at least").get_by_label("Yes").check()
    for none in phone.get_by_label("None of these", exact=True).all():
        none.check()
    phone.get_by_label(re.compile("Hard: close to the last rep")).check()
    assert fits(phone)
    go_on(phone)

    expect(phone.get_by_role("heading", name="You can go on")).to_be_visible()
    expect(phone.get_by_text("vigorous effort")).to_be_visible()
    expect(phone.get_by_text("within 48 hours")).to_be_visible()


def todays_date() -> date:
    """Where the client lives: for an hour or two a night that is not this machine's date."""
    return datetime.now(ZoneInfo("Europe/Berlin")).date()


def test_3_coach_writes_and_publishes_a_block(desk, house):
    base, _links = house
    desk.goto(f"{base}/clients/")
    desk.locator("li", has_text="Nova Lund").get_by_role("link", name="Nova Lund", exact=True).click()
    desk.get_by_role("navigation", name="About this client").get_by_role("link", name="Programme").click()
    new = desk.get_by_role("complementary", name="Begin a block")
    new.get_by_label("Name").fill("Start")
    new.get_by_label("First week").fill(str(todays_date()))
    new.get_by_label("Weeks").fill("2")
    new.get_by_role("button", name="Begin").click()
    desk.get_by_role("textbox", name="Session").fill("First rings")
    desk.get_by_role("combobox", name="Day").select_option(str(todays_date().weekday()))
    desk.get_by_role("button", name="Add and fill it").click()
    movement = desk.get_by_label("Movement", exact=True)
    movement.first.fill("Push-up")
    desk.keyboard.press("Alt+Enter")
    desk.keyboard.type("Ring row, leaning 45°")
    desk.get_by_label("RIR").first.fill("2")
    desk.get_by_label("RIR").nth(1).fill("2")
    desk.get_by_role("button", name="Save, and step it through the weeks after").click()
    desk.get_by_role("link", name="Check and publish").click()
    desk.get_by_role("button", name="Publish").click()

    expect(desk.get_by_text("Published").first).to_be_visible()


def test_4_client_trains_from_the_phone(phone, house):
    base, _links = house
    phone.goto(f"{base}/today/")
    phone.get_by_role("link", name="Train").last.click()
    card = phone.locator("article.movement").filter(has_text="Push-up")
    for number in range(3):
        row = card.locator("form.set-row").nth(number)
        if number == 2:
            row.get_by_text("2", exact=True).click()
        row.get_by_role("button", name="Done").click()
        expect(row.locator(".set-row__answer")).to_have_text(re.compile("Saved"))
    whole = phone.locator("#finish")
    whole.get_by_label("Partly done").check()
    whole.locator("input[name=session_rpe][value='6']").check()
    whole.get_by_role("button", name="Save the session").click()
    phone.wait_for_timeout(1500)
    assert fits(phone)

    phone.goto(f"{base}/today/")

    expect(phone.get_by_text("Partly done").first).to_be_visible()


def test_5_and_6_client_sends_a_clip_and_the_worker_prepares_it(phone, house, tmp_path):
    base, _links = house
    draw_clip(tmp_path / "set.mov", movement="push_up", fps=30, seconds=4, size=(360, 640))
    phone.goto(f"{base}/today/")
    phone.get_by_role("link", name="First rings").first.click()
    card = phone.locator("article.movement").filter(has_text="Push-up")
    card.get_by_role("link", name="Film this").click()
    phone.get_by_label("Which side does the camera see?").select_option("right")
    phone.get_by_label("What would you like looked at?").fill("Do I sag?")
    phone.locator("input[type=file]").set_input_files(str(tmp_path / "set.mov"))
    phone.get_by_role("button", name="Send clip").click()
    phone.wait_for_url("**/clips/")

    deadline = time.monotonic() + 120
    while not phone.get_by_text("Your coach answers by").count():
        assert time.monotonic() < deadline, phone.content()
        phone.wait_for_timeout(1000)
        phone.reload()

    expect(phone.get_by_text("Do I sag?")).to_be_visible()


def test_text_file_named_mp4_is_told_in_words_and_the_queue_goes_on(phone, house, tmp_path):
    base, _links = house
    (tmp_path / "notes.mp4").write_text("These are only words. " * 200)
    phone.goto(f"{base}/today/")
    phone.get_by_role("link", name="First rings").first.click()
    phone.locator("article.movement").filter(has_text="Push-up").get_by_role("link", name="Film this").click()
    phone.locator("input[type=file]").set_input_files(str(tmp_path / "notes.mp4"))
    phone.get_by_role("button", name="Send clip").click()
    phone.wait_for_url("**/clips/")

    deadline = time.monotonic() + 60
    while not phone.get_by_text("Could not be used").count():
        assert time.monotonic() < deadline, phone.content()
        phone.wait_for_timeout(1000)
        phone.reload()


def test_7_coach_reviews_frame_by_frame_and_the_client_sees_it(desk, phone, house):
    base, _links = house
    desk.goto(f"{base}/queue/")
    desk.locator("li", has_text="Nova Lund").get_by_role("link", name="Review").first.click()
    desk.wait_for_function("() => document.querySelector('frame-player').frameCount === 120")
    desk.wait_for_function("() => document.querySelector('video').readyState >= 2")
    for frame in range(1, 6):
        desk.keyboard.press("ArrowRight")
        desk.wait_for_function(f"() => document.querySelector('frame-player').frame === {frame}")
    desk.keyboard.press("n")
    desk.keyboard.type("Ribs down from here.")
    desk.keyboard.press("Enter")
    desk.get_by_label("Adjust one thing, same work").check()
    desk.get_by_label("One cue", exact=False).first.fill("Push the floor away.")
    desk.get_by_role("button", name="Send and open the next").click()
    desk.wait_for_url(lambda url: "/queue/" in url)

    phone.goto(f"{base}/me/")
    phone.get_by_role("link", name="Your coach has answered").first.click()

    expect(phone.get_by_text("Push the floor away.")).to_be_visible()
    expect(phone.get_by_text("Ribs down from here.")).to_be_visible()


def test_8_jobs_put_pain_on_the_list_with_its_reason(desk, phone, house):
    base, _links = house
    phone.goto(f"{base}/pain/")
    phone.get_by_role("button", name="Shoulder, your left").first.click()
    phone.get_by_label("Since today").check()
    for question in ("Did it begin with a blow", "Is it on one point of a bone"):
        phone.get_by_role("group", name=question).get_by_label("No").check()
    phone.get_by_role("button", name="Go on").click()
    phone.get_by_label("None of these applies to me right now").check()
    phone.get_by_role("button", name="Go on").click()
    phone.get_by_label("No", exact=True).first.check()
    phone.get_by_role("button", name="Go on").click()
    phone.locator("input[name=during][value='7']").check(force=True)
    phone.get_by_role("button", name="Tell my coach").click()
    expect(phone.get_by_role("heading", name="Stop this movement")).to_be_visible()

    deadline = time.monotonic() + 120
    desk.goto(f"{base}/desk/")
    # She may be on the list for another reason already.
    while not desk.locator("li", has_text="Nova Lund").filter(has_text="Shoulder, left").count():
        assert time.monotonic() < deadline, desk.content()
        desk.wait_for_timeout(1000)
        desk.reload()

    row = desk.locator("li", has_text="Nova Lund").filter(has_text="Shoulder, left")
    expect(row.last).to_contain_text("Shoulder, left: 7 of 10")


def test_9_coach_writes_the_next_block_from_the_evidence_and_the_client_reads_why(desk, other_phone, house):
    base, _links = house
    desk.goto(f"{base}/desk/")
    desk.locator("li", has_text="Ilse Varga").get_by_role("link", name="Ilse Varga", exact=True).click()
    expect(desk.get_by_text("more load").first).to_be_visible()
    desk.get_by_role("button", name=re.compile("Accept the .* undecided")).click()
    desk.get_by_role("button", name="Write the next block from this").click()
    expect(desk.get_by_role("heading", name="Check and publish")).to_be_visible()
    expect(desk.get_by_text("17.5 kg").first).to_be_visible()
    desk.get_by_role("button", name="Publish").click()
    expect(desk.get_by_text("Published").first).to_be_visible()

    other_phone.goto(f"{base}/me/")
    other_phone.get_by_role("link", name="My block").click()

    expect(other_phone.get_by_text("more load").first).to_be_visible()
    assert fits(other_phone)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    ("who", "paths"),
    [
        ("desk", ["/desk/", "/queue/", "/clients/", "/clients/invite/", "/movements/"]),
        (
            "other_phone",
            ["/me/", "/today/", "/clips/", "/me/progress/", "/consents/", "/intake/health/", "/intake/equipment/",
             "/intake/body/", "/intake/outcome/", "/pain/", "/ask/", "/stop/"],
        ),
    ],
)  # fmt: skip
def test_pages_keep_the_accessibility_rules_and_fit(request, chromium, house, who, paths, scheme):
    base, _links = house
    signed_in = request.getfixturevalue(who)
    # The checker is a script of its own, which our pages' policy would refuse.
    context = chromium.new_context(
        storage_state=signed_in.context.storage_state(),
        viewport=signed_in.viewport_size,
        color_scheme=scheme,
        bypass_csp=True,
    )
    page = context.new_page()
    found = []
    for path in paths:
        page.goto(base + path)
        result = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]})
        found += [(path, rule["id"], rule["nodes"][0]["target"]) for rule in result.response["violations"]]
        assert fits(page), path
    context.close()

    assert found == []
