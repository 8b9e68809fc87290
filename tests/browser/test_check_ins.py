"""A check-in on a phone, the coach's reply at the desk, and the client who reads it."""

import datetime

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from clients.models import CheckIn
from tests import factories as f

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}
pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.django_db(transaction=True)]


def test_check_in_goes_from_the_phone_to_the_desk_and_back(open_as, live_server, cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    phone = open_as(cast.client_user)
    phone.goto(live_server.url + reverse("my-home"))
    phone.get_by_role("link", name="Check in").click()
    for question, answer in [("How did you sleep?", "2"), ("How is your mood?", "4")]:
        phone.get_by_role("group", name=question).get_by_text(answer, exact=True).click()
    phone.get_by_label("A question to your coach").fill("Deload?")
    phone.get_by_role("button", name="Send to my coach").click()
    expect(phone.get_by_text("Your check-in is with your coach.")).to_be_visible()
    assert (CheckIn.objects.get().sleep, CheckIn.objects.get().mood) == (2, 4)

    desk = open_as(cast.coach, width=1280)
    desk.goto(live_server.url + reverse("queue"))
    desk.get_by_role("link", name="Read").click()
    expect(desk.get_by_text("Deload?").first).to_be_visible()
    desk.get_by_label("Message").fill("Yes: half the sets.")
    desk.get_by_role("button", name="Send and open the next").click()
    desk.wait_for_url("**" + reverse("queue") + "**")

    phone.goto(live_server.url + reverse("my-home"))
    phone.get_by_role("link", name="Your coach has answered").click()
    expect(phone.get_by_text("Yes: half the sets.")).to_be_visible()


def problems(page):
    """What axe finds, and whether the page is wider than the phone."""
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    return [rule["id"] for rule in Axe().run(page, options=RULES).response["violations"]]


def test_pages_of_check_ins_are_for_everybody_at_320_pixels(open_as, live_server, cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    f.BodyMassFactory(client=cast.client)
    f.PainReportFactory(client=cast.client, on=timezone.localdate())
    for week in range(12):
        monday = f.MONDAY + datetime.timedelta(weeks=week)
        told = f.CheckInFactory(client=cast.client, week=monday, due_on=monday, mood=2 + week % 3, note="A word.")
        sent = f.SubmissionFactory(client=cast.client, kind="check_in", clip=None, check_in=told)
    f.PinnedLineFactory(client=cast.client)

    phone = open_as(cast.client_user, width=320)
    for address in ["my-home", "check-in", "my-check-ins", "my-body-mass"]:
        phone.goto(live_server.url + reverse(address))
        assert (address, problems(phone)) == (address, [])
    desk = open_as(cast.coach, width=320)
    for address, thing in [("client-state", cast.client), ("review", sent)]:
        desk.goto(live_server.url + reverse(address, args=[thing.uuid]))
        assert (address, problems(desk)) == (address, [])


def test_what_is_next_and_the_coach_are_on_one_screen(open_as, live_server, cast):
    """All there can be at once, at 360 by 640."""
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    yesterday = timezone.localdate() - datetime.timedelta(days=1)
    f.PainReportFactory(client=cast.client, on=yesterday)
    scheduled = f.ScheduledSessionFactory(client=cast.client, on=timezone.localdate())
    f.publish(scheduled.session.block)

    phone = open_as(cast.client_user)
    phone.set_viewport_size({"width": 360, "height": 640})
    phone.goto(live_server.url + reverse("my-home"))

    for name in ["Train", "How is it after that night?", "Check in", "Something hurts", "Ask my coach"]:
        expect(phone.locator("main").get_by_role("link", name=name)).to_be_in_viewport(ratio=1)
