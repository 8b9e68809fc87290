"""An account in a real browser: its second factors, its sessions and a passkey, on a phone."""

import datetime

import pytest
from allauth.mfa.totp.internal.auth import format_hotp_value, hotp_value
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from clients.models import OutgoingMail
from tests import factories as f

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.django_db(transaction=True)]
TOUCH = {
    "protocol": "ctap2",
    "transport": "internal",
    "hasResidentKey": True,
    "hasUserVerification": True,
    "isUserVerified": True,
    "automaticPresenceSimulation": True,
}
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}


@pytest.fixture
def person():
    return f.MembershipFactory(user__name="Ada").user


@pytest.fixture
def phones(chromium):
    """Phones of 360 px that nobody has signed in on; errors of scripts fail the test."""
    contexts, errors = [], []

    def open_phone(**options):
        context = chromium.new_context(viewport={"width": 360, "height": 800}, locale="en-GB", **options)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda said: errors.append(said.text) if said.type == "error" else None)
        return page

    yield open_phone
    for context in contexts:
        context.close()
    assert errors == []


def sign_in(page, base, person):
    page.goto(f"{base}/sign-in/")
    page.get_by_label("E-mail address").fill(person.email)
    page.get_by_label("Password", exact=True).fill(f.PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()


def sign_out(page):
    page.get_by_role("button", name="Sign out").click()


def confirm(page):
    """What protects the account asks for the password once more."""
    page.get_by_label("Password", exact=True).fill(f.PASSWORD)
    page.get_by_role("button", name="Go on").click()


def type_code(page, code):
    page.get_by_label("Code from your app, or a recovery code").fill(code)
    page.get_by_role("button", name="Sign in").click()


def code_of(secret, *, at):
    return format_hotp_value(hotp_value(secret, int(at.timestamp()) // 30))


def problems(page):
    """What axe finds, and whether the page is wider than the phone."""
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    return [rule["id"] for rule in Axe().run(page, options=RULES).response["violations"]]


def turn_on_codes(page, base):
    """The secret and a recovery code, both from what the page shows."""
    page.goto(f"{base}/account/")
    page.get_by_role("link", name="Turn it on").click()
    confirm(page)
    secret = page.locator("[data-secret]").inner_text()
    page.get_by_label("The six digits").fill(code_of(secret, at=datetime.datetime.now()))
    page.get_by_role("button", name="Turn it on").click()
    codes = page.locator("[data-codes] li").all_inner_texts()
    return secret, codes


def test_codes_from_an_app_guard_the_account_and_a_recovery_code_opens_it_once(phones, live_server, person):
    page = phones()
    sign_in(page, live_server.url, person)
    secret, codes = turn_on_codes(page, live_server.url)
    assert len(codes) == 10
    with page.expect_download() as download:
        page.get_by_role("link", name="Download as text").click()
    assert download.value.path().read_text().split() == codes
    sign_out(page)

    sign_in(page, live_server.url, person)
    expect(page.get_by_role("heading", name="One more step")).to_be_visible()
    later = datetime.datetime.now() + datetime.timedelta(seconds=30)
    type_code(page, code_of(secret, at=later))
    expect(page.get_by_role("heading", name="Desk")).to_be_visible()
    sign_out(page)

    sign_in(page, live_server.url, person)
    type_code(page, codes[0])
    expect(page.get_by_role("heading", name="Desk")).to_be_visible()
    sign_out(page)
    sign_in(page, live_server.url, person)
    type_code(page, codes[0])
    expect(page.get_by_text("This code is not right, or was used already.")).to_be_visible()


def test_another_session_is_ended_from_the_account_page(phones, live_server, person):
    mine, other = phones(), phones()
    sign_in(other, live_server.url, person)
    sign_in(mine, live_server.url, person)
    mine.get_by_role("link", name="Account").click()

    mine.get_by_role("button", name="End it").click()

    expect(mine.get_by_text("That session is ended.")).to_be_visible()
    other.goto(f"{live_server.url}/account/")
    expect(other.get_by_role("heading", name="Sign in")).to_be_visible()


def with_a_touch_sensor(page):
    session = page.context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    session.send("WebAuthn.addVirtualAuthenticator", {"options": TOUCH})
    return session


def test_passkey_is_made_signs_in_by_itself_and_is_removed(phones, live_server, person):
    page = phones()
    with_a_touch_sensor(page)
    sign_in(page, live_server.url, person)
    page.goto(f"{live_server.url}/account/")
    page.get_by_role("link", name="Add a passkey").click()
    confirm(page)
    page.get_by_role("button", name="Add a passkey").click()
    expect(page.get_by_role("heading", name="Recovery codes")).to_be_visible()
    sign_out(page)

    page.get_by_role("button", name="Sign in with a passkey").click()

    expect(page.get_by_role("heading", name="Desk")).to_be_visible()
    page.goto(f"{live_server.url}/account/")
    page.get_by_role("link", name="Remove Passkey 1").click()
    page.get_by_role("link", name="With a passkey").or_(page.get_by_role("button", name="Remove it")).first.click()
    if page.get_by_role("button", name="Use the passkey").is_visible():
        page.get_by_role("button", name="Use the passkey").click()
        page.get_by_role("button", name="Remove it").click()
    expect(page.get_by_text("The passkey is removed.")).to_be_visible()
    told = OutgoingMail.objects.filter(to=person.email).values_list("subject", flat=True)
    assert {"A passkey was added to your account", "A passkey was removed from your account"} <= {*told}


def test_password_and_passkey_together_sign_in(phones, live_server, person):
    page = phones()
    with_a_touch_sensor(page)
    sign_in(page, live_server.url, person)
    page.goto(f"{live_server.url}/account/passkeys/add/")
    confirm(page)
    page.get_by_role("button", name="Add a passkey").click()
    expect(page.get_by_role("heading", name="Recovery codes")).to_be_visible()
    sign_out(page)

    sign_in(page, live_server.url, person)
    page.get_by_role("button", name="Use a passkey").click()

    expect(page.get_by_role("heading", name="Desk")).to_be_visible()


def test_passkey_says_when_the_address_is_a_number(phones, live_server, person):
    page = phones()
    page.goto(live_server.url.replace("localhost", "127.0.0.1") + "/sign-in/")

    page.get_by_role("button", name="Sign in with a passkey").click()

    expect(page.get_by_text("Passkeys need an address with a name")).to_be_visible()


def test_password_is_shown_and_hidden_again(phones, live_server):
    page = phones()
    page.goto(f"{live_server.url}/sign-in/")
    field = page.get_by_label("Password", exact=True)

    page.get_by_role("button", name="Show what is typed").click()
    shown = field.get_attribute("type")
    page.get_by_role("button", name="Show what is typed").click()

    assert (shown, field.get_attribute("type")) == ("text", "password")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_of_the_account_are_usable_by_everybody(phones, live_server, person, scheme):
    page, found = phones(color_scheme=scheme), {}
    for path in ["sign-in", "new-password", "new-password/sent"]:
        page.goto(f"{live_server.url}/{path}/")
        found[path] = problems(page)
    sign_in(page, live_server.url, person)
    page.goto(f"{live_server.url}/account/is-it-you/")
    found["is-it-you"] = problems(page)
    confirm(page)
    for path in ["", "address/", "password/", "app/", "passkeys/add/"]:
        page.goto(f"{live_server.url}/account/{path}")
        found[path] = problems(page)
    turn_app_on_here(page)
    found["recovery-codes"] = problems(page)
    for path in ["", "app/off/", "recovery-codes/", "recovery-codes/new/"]:
        page.goto(f"{live_server.url}/account/{path}")
        found[f"on: {path}"] = problems(page)

    assert {path: rules for path, rules in found.items() if rules} == {}


def turn_app_on_here(page):
    page.goto(page.url.replace("passkeys/add", "app"))
    secret = page.locator("[data-secret]").inner_text()
    page.get_by_label("The six digits").fill(code_of(secret, at=datetime.datetime.now()))
    page.get_by_role("button", name="Turn it on").click()


def test_codes_work_without_scripts(phones, live_server, person):
    page = phones(java_script_enabled=False)
    sign_in(page, live_server.url, person)

    secret, codes = turn_on_codes(page, live_server.url)

    assert (len(secret), len(codes)) == (32, 10)


def type_a_note_while_the_sign_in_runs_out(page, base, someone):
    page.goto(f"{base}/clients/{someone.uuid}/notes/")
    page.get_by_label("What to remember").fill("Trains at night this month.")
    page.get_by_label("Day").fill("2026-03-02")
    page.context.clear_cookies(name="sessionid")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()


def sign_in_again(page, person):
    page.get_by_label("E-mail address").fill(person.email)
    page.get_by_label("Password", exact=True).fill(f.PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    expect(page.get_by_role("button", name="Sign out")).to_be_visible()


@pytest.fixture
def someone(person):
    client = f.ClientFactory(practice=person.memberships.get().practice)
    f.AssignmentFactory(client=client, coach=person.memberships.get())
    return client


def test_what_was_typed_is_there_after_signing_in_again(phones, live_server, person, someone):
    page = phones()
    sign_in(page, live_server.url, person)
    type_a_note_while_the_sign_in_runs_out(page, live_server.url, someone)

    sign_in_again(page, person)

    expect(page.get_by_label("What to remember")).to_have_value("Trains at night this month.")
    expect(page.get_by_text("What you typed is here again.")).to_be_visible()


def test_what_was_typed_is_for_nobody_else(phones, live_server, person, someone):
    page, colleague = phones(), f.MembershipFactory(practice=someone.practice, role="owner").user
    sign_in(page, live_server.url, person)
    type_a_note_while_the_sign_in_runs_out(page, live_server.url, someone)

    sign_in_again(page, colleague)

    expect(page.get_by_label("What to remember")).to_have_value("")
    assert page.evaluate("sessionStorage.getItem('typed')") is None


def test_what_was_sent_is_not_put_back(phones, live_server, person, someone):
    page = phones()
    sign_in(page, live_server.url, person)
    page.goto(f"{live_server.url}/clients/{someone.uuid}/notes/")
    page.get_by_label("What to remember").fill("Trains at night this month.")
    page.get_by_label("Day").fill("2026-03-02")
    page.get_by_role("button", name="Keep").click()

    expect(page.get_by_label("What to remember")).to_have_value("")
    assert page.evaluate("sessionStorage.getItem('typed')") is None


def test_signing_out_before_the_page_could_forget_leads_back_to_nothing(phones, live_server, person):
    """On a slow phone the button is pressed before the page's script has seen that the sending was answered."""
    page = phones()
    sign_in(page, live_server.url, person)
    expect(page.get_by_role("heading", name="Desk")).to_be_visible()
    page.evaluate(
        """(who) => {
            const typed = { person: who, page: "/account/app/", search: "", action: "", at: Date.now(),
                            pairs: [["code", "1"]] }
            sessionStorage.setItem("typed", JSON.stringify(typed))
            document.querySelector("form[action$='sign-out/'] button").click()
        }""",
        page.evaluate("document.querySelector('meta[name=person]').content"),
    )
    expect(page.get_by_role("button", name="Sign in", exact=True)).to_be_visible()
    assert page.evaluate("[...document.querySelectorAll('input[name=next]')].map(({ value }) => value).join('')") == ""

    sign_in(page, live_server.url, person)
    expect(page.get_by_role("heading", name="Desk")).to_be_visible()
