"""A session trained on a phone in a real browser: taps, a lost connection, an edit, two tabs."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from programs.choices import GroupKind, LoadKind, Measure
from programs.models import SetLog, TrainingLog
from tests import factories as f
from tests.programs.log import movement, session_with

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def session(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    f.BodyMassFactory(client=cast.client)
    pull = movement(name="Pull-up", load_kind=LoadKind.BODY_PLUS, share=1)
    kg = {"load_entered": 5, "load_unit": "kg", "load_kg": 5}
    scheduled, dose = session_with(cast, movement=pull, sets=2, amount_low=5, amount_high=8, **kg)
    pair = f.GroupFactory(section=dose.group.section, kind=GroupKind.PAIR, position=1)
    f.PrescriptionFactory(group=pair, movement=movement(name="Push-up"), sets=2)
    plank = movement(name="Plank", measure=Measure.SECONDS, load_kind=LoadKind.LEVER, share=None, share_basis="")
    f.PrescriptionFactory(group=pair, movement=plank, sets=1, amount_low=30, amount_high=40, position=1)
    scheduled.on = timezone.now().date()
    scheduled.save(update_fields=["on"])
    return scheduled


@pytest.fixture
def phone(open_as, live_server, cast, session):
    page = open_as(cast.client_user, width=360)
    page.goto(live_server.url + reverse("train", args=[session.uuid]))
    return page


def row(phone, number, name="Pull-up"):
    card = phone.locator("article.movement").filter(has_text=name)
    return card.locator("form.set-row").nth(number - 1)


def test_set_as_planned_is_one_tap(phone):
    row(phone, 1).get_by_role("button", name="Done").click()

    expect(row(phone, 1).locator(".set-row__answer")).to_have_text(re.compile("Saved"))
    assert list(SetLog.objects.values_list("repetitions", "load_kg")) == [(5, 5)]


def test_last_set_with_its_reserve_is_two_taps(phone):
    row(phone, 2).get_by_text("2", exact=True).click()
    row(phone, 2).get_by_role("button", name="Done").click()

    expect(row(phone, 2).locator(".set-row__answer")).to_have_text(re.compile("Saved"))
    assert SetLog.objects.get().rir == 2


def test_saved_number_is_changed_in_place(phone):
    row(phone, 1).get_by_role("button", name="Done").click()
    expect(row(phone, 1).locator(".set-row__answer")).to_have_text(re.compile("Saved"))

    row(phone, 1).locator("input[name=repetitions]").fill("7")
    row(phone, 1).get_by_role("button").first.click()

    expect(row(phone, 1).locator(".set-row__answer")).to_have_text(re.compile("Saved"))
    assert SetLog.objects.counting().get().repetitions == 7
    assert SetLog.objects.count() == 2


@pytest.fixture
def unwatched(phone):
    """The same page where errors of the network are expected."""

    def page(**options):
        state = phone.context.storage_state()
        context = phone.context.browser.new_context(storage_state=state, viewport=phone.viewport_size, **options)
        opened.append(context)
        copy = context.new_page()
        copy.goto(phone.url)
        return copy

    opened = []
    yield page
    for context in opened:
        context.close()


def test_set_saved_without_a_connection_arrives_once_after_it(unwatched):
    phone = unwatched()
    phone.context.set_offline(True)
    row(phone, 1).get_by_role("button", name="Done").click()
    expect(row(phone, 1)).to_have_attribute("data-state", "waiting")

    phone.context.set_offline(False)

    expect(row(phone, 1)).to_have_attribute("data-state", "stored")
    assert SetLog.objects.count() == 1


def test_impossible_number_is_refused_at_its_row(phone):
    row(phone, 1).locator("input[name=load]").fill("99999")
    row(phone, 1).get_by_role("button", name="Done").click()

    expect(row(phone, 1).locator(".field__error")).to_be_visible()
    assert not SetLog.objects.exists()


def test_session_is_finished_from_the_same_page(phone):
    finish = phone.locator("#finish")
    finish.get_by_text("Partly done").click()
    finish.get_by_text("7 · very hard").click()
    finish.get_by_role("button", name="Save the session").click()

    expect(finish.locator("form")).to_have_attribute("data-state", "stored")
    assert (TrainingLog.objects.get().outcome, TrainingLog.objects.get().session_rpe) == ("partly", 7)


def test_page_fits_a_narrow_phone(phone):
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360


def test_sets_are_saved_without_a_script(unwatched):
    plain = unwatched(java_script_enabled=False)

    row(plain, 1).get_by_role("button", name="Done").click()

    expect(row(plain, 1).get_by_role("button", name="Save change")).to_be_visible()
    assert SetLog.objects.count() == 1
