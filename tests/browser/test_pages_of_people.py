"""Every page from a stranger's enquiry to a safe start and beyond: axe in light and dark, and no sideways scrolling."""

import datetime

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone

from clients.choices import Area, Ceiling, EnquiryState, ItemKind, ReadKind
from clients.domain.tokens import new_token, token_hash
from clients.library.intake import STEPS
from tests import factories as f
from tests.browser.test_accounts import confirm, phones, sign_in, turn_app_on_here

__all__ = ["phones"]
pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.django_db(transaction=True)]
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}
DAY = datetime.timedelta(days=1)
# Nothing to break at: a page that gives way to this gives way to names in any script.
LONG = "Donaudampfschifffahrtsgesellschaftskapitaenswitwe"


def problems(page):
    """What axe finds at 360 px, by scheme, and whether the page is wider than a phone of 320 px."""
    found = []
    for scheme in ["light", "dark"]:
        page.emulate_media(color_scheme=scheme)
        # Colours of buttons change softly: axe is to see the last one.
        page.evaluate("document.getAnimations().forEach((one) => one instanceof CSSTransition && one.finish())")
        violations = Axe().run(page, options=RULES).response["violations"]
        found += [(scheme, rule["id"], rule["nodes"][0]["html"][:200]) for rule in violations]
    page.set_viewport_size({"width": 320, "height": 800})
    width = page.evaluate("document.documentElement.scrollWidth")
    page.set_viewport_size({"width": 360, "height": 800})
    return found if width <= 320 else [*found, ("320 px", "sideways", width)]


def walk(page, base, addresses):
    """What is wrong on each page, where anything is. Each opens at its own address, not at one it sends us to."""
    wrong = {}
    for path in addresses:
        answer = page.goto(base + path)
        assert (answer.status, page.url.removeprefix(base)) == (200, path)
        if found := problems(page):
            wrong[path] = found
    return wrong


@pytest.fixture
def things(cast):
    """Something to show on every page, with words that do not fit easily."""
    client, now = cast.client, timezone.now()
    today = timezone.localdate()
    client.practice.takes_enquiries = True
    client.practice.save()
    client.name = LONG
    client.save()
    f.ConsentFactory(client=client)
    intake = f.IntakeFactory(client=client)
    f.IntakeAnswerFactory(intake=intake, client=client, value=f"{LONG} {LONG}")
    f.ScreeningFactory(client=client, code="R2", outcome="moderate", ceiling=Ceiling.MODERATE)
    f.ClearanceFactory(client=client, limits=f"No heavy {LONG}.", recorded_by=cast.coach)
    f.ProtectedAreaFactory(client=client, area=Area.SHOULDER, why=LONG)
    f.GoalFactory(client=client, words=LONG)
    note = f.NoteFactory(client=client, text=LONG, by=cast.coach)
    f.PinnedLineFactory(client=client, text=LONG, by=cast.coach)
    f.AccessRecordFactory(client=client, reader=cast.coach, kind=ReadKind.SCREENING, at=now)
    f.DataCopyFactory(client=client, asked_at=now)
    f.AbsenceFactory(practice=cast.practice, coach=cast.coach_membership, until_at=now + 7 * DAY, message=LONG)
    place = f.PlaceFactory(client=client, name=LONG)
    done = f.EquipmentItemFactory(place=place, set_up_checked_on=today)
    f.SetUpCheckFactory(item=done, client=client, checked_on=today)
    due = f.EquipmentItemFactory(place=place, kind=ItemKind.RINGS, set_up_checked_on=today - 200 * DAY)
    f.EquipmentItemFactory(place=place, kind=ItemKind.CHAIR, set_up_checked_on=None)
    new = f.EnquiryFactory(practice=cast.practice, name=LONG, goal=LONG)
    answered = f.EnquiryFactory(
        practice=cast.practice, state=EnquiryState.ANSWERED, decided_by=cast.coach, decided_at=now
    )
    f.EnquiryAnswerFactory(enquiry=answered, text=LONG, by=cast.coach)
    declined = f.EnquiryFactory(
        practice=cast.practice, state=EnquiryState.DECLINED, decided_by=cast.coach, decided_at=now
    )
    f.EnquiryAnswerFactory(enquiry=declined, text=LONG, by=cast.coach)
    return {"note": note, "place": place, "due": due, "enquiries": [new, answered, declined]}


def test_pages_without_a_sign_in_are_usable_by_everybody(phones, live_server, cast, things):
    token = new_token()
    f.GuardianRequestFactory(client=cast.client, name=LONG, token_sha256=token_hash(token))
    letter = new_token()
    invited = f.ClientFactory(practice=cast.practice, user=None, name=LONG, state="invited", email="new@example.test")
    f.InvitationFactory(client=invited, token_sha256=token_hash(letter))
    addresses = [
        reverse("enquire", args=[cast.practice.uuid]),
        reverse("enquiry-sent", args=[cast.practice.uuid]),
        reverse("guardian", args=[token]),
        reverse("accept-invitation", args=[letter]),
        reverse("sign-in"),
        reverse("account_reset_password"),
    ]

    assert walk(phones(), live_server.url, addresses) == {}


def test_pages_of_the_team_are_usable_by_everybody(open_as, live_server, cast, things):
    client = [cast.client.uuid]
    member = [cast.coach_membership.uuid]
    addresses = [
        *(reverse("enquiry", args=[enquiry.uuid]) for enquiry in things["enquiries"]),
        *(reverse(name) for name in ["enquiries", "clients", "invite-client", "practice", "team", "nobody-leads"]),
        *(reverse(name, args=member) for name in ["member", "end-member"]),
        *(reverse(name, args=client) for name in ["client-safety", "client-notes", "client-readers", "client-data"]),
        *(reverse(name, args=client) for name in ["second-coaches", "client-state"]),
        reverse("absences"),
        reverse("note", args=[things["note"].uuid]),
    ]

    assert walk(open_as(cast.owner), live_server.url, addresses) == {}


def test_pages_of_the_client_are_usable_by_everybody(open_as, live_server, cast, things):
    addresses = [
        *(reverse(name) for name in ["consents", "outcome", "my-places", "my-readers", "my-data", "my-body-mass"]),
        reverse("stop-and-seek-care"),
        reverse("my-place", args=[things["place"].uuid]),
        reverse("set-up-check", args=[things["due"].uuid]),
        *(reverse("intake-step", args=[step.slug]) for step in STEPS),
    ]

    assert walk(open_as(cast.client_user), live_server.url, addresses) == {}


def test_page_of_somebody_who_needs_a_guardian_is_usable_by_everybody(open_as, live_server, cast):
    cast.client.needs_guardian = True
    cast.client.save()
    f.ConsentFactory(client=cast.client)
    page, path = open_as(cast.client_user), reverse("guardian-needed")

    assert walk(page, live_server.url, [path]) == {}
    f.GuardianRequestFactory(client=cast.client, name=LONG)
    assert walk(page, live_server.url, [path]) == {}


def test_pages_of_the_account_are_usable_by_everybody(phones, live_server, cast):
    base, page, wrong = live_server.url, phones(), {}
    sign_in(page, base, cast.owner)
    page.goto(base + reverse("account_reauthenticate"))
    wrong["is it you"] = problems(page)
    confirm(page)
    off = ["account", "account_email", "account_change_password", "mfa_activate_totp", "mfa_add_webauthn"]
    wrong |= walk(page, base, [reverse(name) for name in off])
    turn_app_on_here(page)
    wrong["recovery codes, new"] = problems(page)
    on = ["account", "mfa_view_recovery_codes", "mfa_generate_recovery_codes", "mfa_deactivate_totp"]
    wrong |= walk(page, base, [reverse(name) for name in on])

    assert {path: found for path, found in wrong.items() if found} == {}
