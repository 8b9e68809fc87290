"""Pain told on a phone to its end and to the next morning, each lane of warning signs, and who is woken when."""

import datetime
import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

import jobs
from clients.domain.pain import report_pain
from clients.domain.screening import report_red_flags
from clients.models import OutgoingMail, PainReport, RedFlagReport
from coaching.domain.rebuild import rebuild_client
from jobs.models import Job
from methods.pain import PainAction
from tests import factories as f
from tests.programs.log import session_with

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}
pytestmark = [pytest.mark.slow, pytest.mark.browser, pytest.mark.django_db(transaction=True)]
DAY = datetime.timedelta(days=1)


@pytest.fixture
def trainee(cast):
    # About noon there, whatever it is here: a clearance a minute from now is still one of today.
    cast.client.time_zone = f"Etc/GMT{timezone.now().hour - 12:+d}"
    cast.client.save(update_fields=["time_zone"])
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client, decided_at=timezone.now() - DAY, expires_on=timezone.localdate() + 300 * DAY)
    return cast.client


@pytest.fixture
def phone(open_as, trainee):
    return open_as(trainee.user)


def tell_where(page, base, *, place, blow="No", point="No"):
    page.goto(base + reverse("report-pain"))
    page.get_by_role("button", name=place).first.click()
    page.get_by_label("Since today").check()
    page.get_by_role("group", name="Did it begin with a blow").get_by_label(blow).check()
    page.get_by_role("group", name="Is it on one point of a bone").get_by_label(point).check()
    go_on(page)


def go_on(page):
    page.get_by_role("button", name="Go on").click()


def rate(page, name, value):
    page.locator(f"input[name={name}][value='{value}']").check(force=True)


# Pain


def test_pain_is_told_page_by_page_and_answered_by_the_table(phone, live_server, trainee):
    tell_where(phone, live_server.url, place="Knee, your left")
    phone.get_by_role("group", name="Is it your usual").get_by_label("No", exact=True).check()
    go_on(phone)
    rate(phone, "during", 4)
    rate(phone, "after", 2)
    phone.get_by_role("button", name="Tell my coach").click()

    expect(phone.get_by_role("heading", name="Go easy, and tell us tomorrow")).to_be_visible()
    assert PainReport.objects.current().get().action == PainAction.PENDING


def test_next_morning_is_asked_on_the_own_page_and_answered_in_two_taps(phone, live_server, trainee):
    yesterday = timezone.now() - DAY
    told = {"area": "knee", "side": "left", "after_blow": False, "pin_point": False, "during": 3, "after": 2}
    for ago in (8 * DAY, DAY):
        at = timezone.now() - ago
        report = report_pain(trainee, **told, on=at.astimezone(trainee.zone).date(), by=trainee.user, at=at)
    assert report.on == yesterday.astimezone(trainee.zone).date()

    phone.goto(live_server.url + reverse("my-home"))
    phone.get_by_role("link", name="How is it after that night?").first.click()
    phone.get_by_label("Back to my usual").check()
    phone.get_by_role("button", name="Save").click()

    expect(phone.get_by_role("heading", name="Go on, but no harder")).to_be_visible()
    newest = PainReport.objects.current().filter(on=report.on).get()
    assert (newest.replaces, newest.action) == (report, PainAction.CONTINUE_NO_PROGRESSION)


@pytest.mark.parametrize(("level", "title"), [(3, "Usual soreness"), (6, "How much does it hurt?")])
def test_soreness_is_soreness_only_within_the_rule(phone, live_server, level, title):
    tell_where(phone, live_server.url, place="Front of the thigh, your right")
    phone.get_by_role("group", name="Is it your usual").get_by_label("Yes").check()
    rate(phone, "level", level)
    for question in ("Is it in a joint?", "Is it sharp"):
        phone.get_by_role("group", name=question).get_by_label("No").check()
    phone.get_by_label("One to two days ago").check()
    go_on(phone)

    expect(phone.get_by_role("heading", name=title)).to_be_visible()
    assert PainReport.objects.current().get().is_soreness is (level <= 5)


def test_whoever_leaves_half_way_finds_the_question_again(phone, live_server):
    tell_where(phone, live_server.url, place="Calf or shin, your left")
    expect(phone.get_by_role("heading", name="Before you go on")).to_be_visible()

    phone.goto(live_server.url + reverse("my-home"))
    phone.get_by_role("link", name="does a warning sign apply?").click()
    expect(phone.get_by_role("group", name="Clot")).to_be_visible()


# Lanes


LANES = [
    ("emergency", {"place": "Chest, your left"}, "Pressure, tightness or pain in the chest"),
    ("urgent", {"place": "Calf or shin, your right"}, "One calf or arm is swollen, warm and tender"),
    ("soon", {"place": "Foot, your left", "point": "Yes"}, "Pain on one point of a bone, worse with impact"),
]


@pytest.mark.parametrize(("lane", "where", "sign"), LANES, ids=[lane for lane, _where, _sign in LANES])
def test_physical_sign_locks_stands_on_top_and_opens_with_a_clearance(
    open_as, phone, live_server, trainee, cast, lane, where, sign
):
    scheduled, _dose = session_with(cast)
    base = live_server.url
    tell_where(phone, base, **where)
    phone.get_by_label(sign, exact=True).check()
    go_on(phone)
    expect(phone.get_by_role("heading", name="Stop and seek medical care")).to_be_visible()
    assert RedFlagReport.objects.locking().get().lane == lane
    phone.goto(base + reverse("train", args=[scheduled.uuid]))
    expect(phone.get_by_text("This session does not open now")).to_be_visible()

    rebuild_client(trainee, at=timezone.now())
    desk = open_as(cast.coach, width=1280)
    desk.goto(base + reverse("desk"))
    first = desk.locator(".desk-row").first
    expect(first).to_contain_text("Ticked a warning sign")
    first.get_by_role("link", name=trainee.name, exact=True).click()
    open_and_clear(desk, base, trainee, sign)

    phone.goto(base + reverse("train", args=[scheduled.uuid]))
    expect(phone.get_by_text("This session does not open now")).to_have_count(0)


def open_and_clear(desk, base, trainee, sign):
    desk.goto(base + reverse("client-safety", args=[trainee.uuid]))
    expect(desk.get_by_text("A warning sign is waiting: open it")).to_be_visible()
    expect(desk.get_by_text(sign)).to_have_count(0)
    assert RedFlagReport.objects.get().seen_at is None
    desk.get_by_role("button", name=re.compile("the warning signs")).click()
    expect(desk.get_by_text(sign).first).to_be_visible()
    assert RedFlagReport.objects.get().seen_at is not None

    # It was ticked a while ago; the professional looked at it since.
    desk.get_by_text("Enter it").click()
    desk.get_by_label("Who gave it?").fill("Physician")
    later = timezone.localtime(timezone.now() + datetime.timedelta(minutes=1), trainee.zone)
    desk.get_by_label("Given on").fill(later.date().isoformat())
    desk.get_by_label("At what time?").fill(f"{later:%H:%M}")
    desk.get_by_label("Good until").fill((later.date() + 90 * DAY).isoformat())
    desk.get_by_label("light effort").check()
    desk.get_by_label("Limits, in their words").fill("None named.")
    desk.get_by_role("button", name="Record", exact=True).click()
    expect(desk.get_by_text("The clearance is recorded.")).to_be_visible()


def test_thoughts_of_harm_show_help_wake_the_coach_and_lock_nothing(open_as, phone, live_server, trainee, cast):
    scheduled, _dose = session_with(cast)
    phone.goto(live_server.url + reverse("warning-signs"))
    phone.get_by_text("Thoughts of self-harm").click()
    phone.get_by_label("Thoughts of harming myself or of not wanting to live").check()
    go_on(phone)
    expect(phone.get_by_role("heading", name="You can talk to someone now")).to_be_visible()
    phone.goto(live_server.url + reverse("train", args=[scheduled.uuid]))
    expect(phone.get_by_text("This session does not open now")).to_have_count(0)

    desk = open_as(cast.coach, width=1280)
    desk.goto(live_server.url + reverse("client-safety", args=[trainee.uuid]))
    desk.get_by_role("button", name=re.compile("the warning signs")).click()
    expect(desk.get_by_text("Thoughts of harming myself").first).to_be_visible()
    assert not RedFlagReport.objects.locking().exists()


# Who is woken


def test_unopened_sign_wakes_the_owner_after_the_settled_time_and_an_opened_one_does_not(
    open_as, live_server, trainee, cast
):
    waited = datetime.timedelta(minutes=cast.practice.warning_sign_wait_minutes)
    long_ago = timezone.now() - waited - datetime.timedelta(minutes=1)
    opened = report_red_flags(trainee, items=["card.chest"], source="pain", at=long_ago)
    desk = open_as(cast.coach)
    desk.goto(live_server.url + reverse("client-safety", args=[trainee.uuid]))
    desk.get_by_role("button", name=re.compile("the warning signs")).click()
    expect(desk.get_by_text("Pressure, tightness or pain in the chest").first).to_be_visible()
    unopened = report_red_flags(trainee, items=["vte.calf"], source="pain", at=long_ago)
    # What is due, as the worker would find it now.
    assert Job.objects.filter(name="clients.tell_owners_of_unopened").count() == 2
    jobs.run_waiting()

    to_owner = OutgoingMail.objects.filter(to=cast.owner.email)
    assert to_owner.count() == 1
    for report in (opened, unopened):
        report.refresh_from_db()
    assert (opened.seen_by, unopened.seen_by) == (cast.coach, None)


# For everybody


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_of_pain_are_for_everybody_at_320_pixels(open_as, live_server, trainee, cast, scheme):
    told = {"client": trainee, "on": timezone.localdate(), "action": "pending", "action_row": 9}
    chest = f.PainReportFactory(**told, area="chest", during=None)
    knee = f.PainReportFactory(**told, during=None)
    elbow = f.PainReportFactory(**told, area="elbow", during=2)
    thigh = f.PainReportFactory(**told, area="thigh_front", during=None, said_soreness=False)
    f.ScheduledSessionFactory(client=trainee)
    page = open_as(trainee.user, width=320)
    page.emulate_media(color_scheme=scheme)
    addresses = [
        reverse("report-pain"),
        reverse("warning-signs"),
        reverse("where-i-am"),
        reverse("pain-warning-signs", args=[chest.uuid]),
        reverse("pain-soreness", args=[knee.uuid]),
        reverse("pain-how-much", args=[thigh.uuid]),
        reverse("pain-told", args=[elbow.uuid]),
        reverse("pain-morning", args=[elbow.uuid]),
        reverse("my-home"),
    ]
    assert {address: problems(page, live_server.url + address) for address in addresses} == {
        address: [] for address in addresses
    }

    report_red_flags(trainee, items=["card.chest", "mind.harm"], source="pain", at=timezone.now())
    assert problems(page, live_server.url + reverse("stop-and-seek-care")) == []
    desk = open_as(cast.coach, width=320)
    desk.emulate_media(color_scheme=scheme)
    for name in ("client-safety", "client-state"):
        assert problems(desk, live_server.url + reverse(name, args=[trainee.uuid])) == []


def problems(page, address):
    """What axe finds, and whether the page is wider than the phone."""
    page.goto(address)
    too_wide = page.evaluate("document.documentElement.scrollWidth > window.innerWidth")
    found = [rule["id"] for rule in Axe().run(page, options=RULES).response["violations"]]
    return found + (["too wide"] if too_wide else [])
