"""From a stranger's enquiry to a safe start, in a real browser: each page by its labels, on a phone and at a desk."""

import datetime
import re

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

import jobs
from clients.choices import ClientState
from clients.domain.equipment import add_place
from clients.models import Assignment, Client, DataCopy, EquipmentItem, Membership, OutgoingMail, Screening
from tests import factories as f

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.django_db(transaction=True)]

# Regular exercise, known disease, symptoms; the six cells of the published table, and the effort asked for.
OUTCOMES = [
    ("N1", "You can start", False, False, False),
    ("N2", "First a doctor's word", False, True, False),
    ("N3", "First a doctor's word", False, False, True),
    ("R1", "You can go on", True, False, False),
    ("R2", "You can go on, with moderate effort", True, True, False),
    ("R3", "Please stop training for now", True, False, True),
]


def link_in_letter(address: str) -> str:
    body = OutgoingMail.objects.filter(to=address).latest("pk").body
    return re.search(r"https?://[^/]+(/\S+)", body)[1]


def go_on(page):
    page.get_by_role("button", name=re.compile("Save and")).click()


def answer_up_to_health(page, url):
    page.goto(url)
    page.get_by_label("When were you born?").fill("1991-05-04")
    page.get_by_label("Your time zone").select_option("Europe/Berlin")
    go_on(page)
    page.get_by_label("Get stronger overall").check()
    page.get_by_label("Half a year to two years").check()
    go_on(page)
    page.get_by_label("How many days a week?").fill("2")
    page.get_by_label("How many minutes a session").fill("40")
    go_on(page)
    page.get_by_label("Their name").fill("Ada")
    page.get_by_label("Their phone number").fill("+49 30 555 0100")
    go_on(page)


def answer_health(page, *, regular, disease, symptoms):
    page.get_by_label("None of these applies to me right now").check()
    exercised = page.get_by_role("group", name="Have you exercised for at least")
    exercised.get_by_label("Yes" if regular else "No").check()
    told = page.get_by_role("group", name="Has anyone told you")
    told.get_by_label("Diabetes, type 1 or type 2" if disease else "None of these", exact=True).check()
    noticed = page.get_by_role("group", name="Have you noticed")
    noticed.get_by_label("Swollen ankles" if symptoms else "None of these", exact=True).check()
    page.get_by_role("group", name="Does any of these apply").get_by_label("None of these", exact=True).check()
    page.get_by_label(re.compile("Moderate: some effort")).check()
    go_on(page)


@pytest.fixture
def newcomer(cast):
    f.ConsentFactory(client=cast.client)
    cast.client.state = ClientState.INTAKE
    cast.client.save()
    return cast.client


@pytest.mark.parametrize(("code", "title", "regular", "disease", "symptoms"), OUTCOMES)
def test_intake_begun_on_one_device_and_finished_on_another_says_its_outcome(
    open_as, live_server, newcomer, code, title, regular, disease, symptoms
):
    answer_up_to_health(open_as(newcomer.user), live_server.url + reverse("intake"))

    other = open_as(newcomer.user, width=1280)
    other.goto(live_server.url + reverse("intake"))
    expect(other.get_by_role("heading", name="Is it safe to start?")).to_be_visible()
    answer_health(other, regular=regular, disease=disease, symptoms=symptoms)

    expect(other.get_by_role("heading", name=title, exact=True)).to_be_visible()
    assert Screening.objects.get(client=newcomer).code == code


def test_visitor_asks_and_is_invited_in_two_clicks(open_as, live_server, cast, chromium):
    cast.practice.takes_enquiries = True
    cast.practice.save()
    visitor = chromium.new_context(viewport={"width": 360, "height": 800}).new_page()
    visitor.goto(live_server.url + reverse("enquire", args=[cast.practice.uuid]))
    visitor.get_by_label("Your name").fill("Ida שלום")
    visitor.get_by_label("Your e-mail address").fill("ida@visitor.test")
    visitor.get_by_label("What would you like to reach?").fill("A first pull-up")
    visitor.get_by_label("I agree to the lines above").check()
    visitor.wait_for_timeout(3500)  # a person is slower than a program
    visitor.get_by_role("button", name="Send").click()
    expect(visitor.get_by_role("heading", name="Thank you")).to_be_visible()
    visitor.context.close()

    desk = open_as(cast.coach, width=1280)
    desk.goto(live_server.url + reverse("enquiries"))
    desk.get_by_role("link", name="Ida שלום").click()
    desk.get_by_role("button", name="Invite as a client").click()

    expect(desk.get_by_text("is invited.")).to_be_visible()
    assert Client.objects.get(email="ida@visitor.test").state == ClientState.INVITED
    assert "/invitations/" in link_in_letter("ida@visitor.test")


def test_guardian_is_asked_agrees_and_takes_it_back(open_as, live_server, newcomer, chromium):
    phone = open_as(newcomer.user)
    phone.goto(live_server.url + reverse("intake"))
    last_year = timezone.localdate().year - 15
    phone.get_by_label("When were you born?").fill(f"{last_year}-01-15")
    phone.get_by_label("Your time zone").select_option("Europe/Berlin")
    go_on(phone)
    phone.get_by_label("Name of your parent or guardian").fill("Ada")
    phone.get_by_label("Their e-mail address").fill("ada@guardian.test")
    phone.get_by_label("Who they are to you").fill("mother")
    phone.get_by_role("button", name="Send the letter").click()
    expect(phone.get_by_text("Ada was asked on")).to_be_visible()

    guardian = chromium.new_context().new_page()
    guardian.goto(live_server.url + link_in_letter("ada@guardian.test"))
    guardian.get_by_role("button", name="I am the guardian, and I agree").click()
    expect(guardian.get_by_role("status")).to_contain_text("Agreed")
    phone.goto(live_server.url + reverse("intake"))
    expect(phone.get_by_role("heading", name="What you want")).to_be_visible()

    guardian.get_by_role("button", name="Take my consent back").click()
    expect(guardian.get_by_role("status")).to_contain_text("Withdrawn")
    guardian.context.close()
    phone.goto(live_server.url + reverse("intake"))
    expect(phone.get_by_role("heading", name="A guardian is needed")).to_be_visible()


def test_recorded_clearance_opens_training_up_to_its_ceiling(open_as, live_server, newcomer, cast):
    answer_up_to_health(open_as(newcomer.user), live_server.url + reverse("intake"))
    phone = open_as(newcomer.user)
    phone.goto(live_server.url + reverse("intake"))
    answer_health(phone, regular=False, disease=True, symptoms=False)
    desk = open_as(cast.coach, width=1280)
    desk.goto(live_server.url + reverse("client-safety", args=[newcomer.uuid]))
    expect(desk.get_by_text("Not yet.")).to_be_visible()

    desk.get_by_text("Enter it").click()
    desk.get_by_label("Who gave it?").fill("General practitioner")
    desk.get_by_label("Good until").fill((timezone.localdate() + datetime.timedelta(days=90)).isoformat())
    desk.get_by_label("light effort").check()
    desk.get_by_label("Limits, in their words").fill("Nothing above walking pace.")
    desk.get_by_role("button", name="Record", exact=True).click()

    expect(desk.get_by_text("The clearance is recorded.")).to_be_visible()
    expect(desk.get_by_text(re.compile("up to light effort"))).to_be_visible()


def test_owner_hands_a_client_over_and_ends_access(open_as, live_server, cast):
    colleague = Membership.objects.get(user=cast.other_coach)
    owner = open_as(cast.owner, width=1280)
    owner.goto(live_server.url + reverse("member", args=[cast.coach_membership.uuid]))
    owner.get_by_label(cast.client.name).check()
    owner.get_by_label("Who leads them from now on").select_option(label=cast.other_coach.display_name)
    owner.get_by_role("button", name="Hand over").click()
    expect(owner.get_by_text("1 client handed over")).to_be_visible()
    assert Assignment.objects.get(client=cast.client, kind="lead", until_at=None).coach == colleague

    owner.get_by_role("link", name="End access").click()
    owner.get_by_role("button", name="End access").click()

    expect(owner.get_by_text("has no access any more")).to_be_visible()
    assert not Client.objects.coached_by(cast.coach).exists()


def test_coach_is_away_and_the_cover_works_from_now(open_as, live_server, cast):
    desk = open_as(cast.coach, width=360)
    today = timezone.localdate()
    desk.goto(live_server.url + reverse("absences"))
    desk.get_by_label("First day away").fill(today.isoformat())
    desk.get_by_label("Last day away").fill((today + datetime.timedelta(days=3)).isoformat())
    desk.get_by_label("Who covers").select_option(label=cast.other_coach.display_name)
    desk.get_by_role("button", name="Keep").click()

    expect(desk.get_by_text("away now")).to_be_visible()
    cover = open_as(cast.other_coach, width=1280)
    cover.goto(live_server.url + reverse("client-safety", args=[cast.client.uuid]))
    expect(cover.get_by_role("heading", name=cast.client.name, exact=True)).to_be_visible()

    desk.get_by_role("button", name="Back already").click()
    expect(desk.get_by_text("Ended.")).to_be_visible()
    assert not Client.objects.coached_by(cast.other_coach).filter(pk=cast.client.pk).exists()


def test_consent_withdrawn_on_the_phone_closes_training(open_as, live_server, cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    phone = open_as(cast.client_user)
    phone.goto(live_server.url + reverse("consents"))
    for no in phone.get_by_role("radio", name="No", exact=True).all():
        no.check()
    phone.locator("form .form__actions button").click()

    phone.goto(live_server.url + reverse("my-home"))

    expect(phone).to_have_url(live_server.url + reverse("consents"))


def test_bar_is_described_checked_and_counts(open_as, live_server, cast):
    f.ConsentFactory(client=cast.client)
    place = add_place(cast.client, name="Garage")
    phone = open_as(cast.client_user)
    phone.goto(live_server.url + reverse("my-place", args=[place.uuid]))
    phone.get_by_label("A pull-up bar").check()
    phone.get_by_text("Details: A pull-up bar").click()
    phone.locator("input[name=bar_height_cm]").fill("230")
    phone.get_by_role("button", name="Keep").click()
    expect(phone.get_by_text("does not count yet")).to_be_visible()

    phone.get_by_role("link", name="Check it").click()
    for tested in phone.get_by_role("group", name="What I tested today").get_by_role("checkbox").all():
        tested.check()
    phone.get_by_role("button", name="Tested: it may be used").click()

    expect(phone.get_by_text(re.compile("counts until"))).to_be_visible()
    assert EquipmentItem.objects.get().attributes == {"height_cm": 230.0}


def test_client_takes_a_copy_of_the_data(open_as, live_server, cast):
    phone = open_as(cast.client_user)
    phone.goto(live_server.url + reverse("my-data"))
    phone.get_by_role("button", name="Make a copy").click()
    jobs.run_waiting()
    phone.reload()

    with phone.expect_download() as download:
        phone.get_by_role("link", name="Download").click()

    assert download.value.suggested_filename.endswith(".zip")
    assert DataCopy.objects.get().size > 0
