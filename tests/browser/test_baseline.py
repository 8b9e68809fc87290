"""A baseline on a phone: one test after the other, left and gone on with; and what the coach sees of it."""

import datetime
import uuid

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from clients.choices import ItemKind
from programs.choices import LoadKind
from programs.domain import baseline
from programs.models import BaselineRun, BaselineTest, ReferenceMax
from tests import factories as f
from tests.browser.test_pages_of_people import LONG, walk

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def ready(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    place = f.PlaceFactory(client=cast.client)
    for kind in (ItemKind.BAR, ItemKind.RINGS, ItemKind.CHAIR):
        f.EquipmentItemFactory(place=place, kind=kind, set_up_checked_on=timezone.localdate())
    return cast.client


def test_run_on_a_phone_is_left_and_gone_on_with(open_as, live_server, cast, ready):
    baseline.ask_for_baseline(ready, words="Before block two.", by=cast.coach, at=timezone.now())
    page = open_as(cast.client_user, width=360)
    page.goto(live_server.url + reverse("my-home"))
    page.get_by_role("link", name="Do a baseline").click()
    expect(page.get_by_text("Before block two.")).to_be_visible()
    page.get_by_role("button", name="Start").click()

    page.get_by_role("link", name="Push-ups").click()
    page.get_by_label("On the knees").check()
    page.get_by_label("Clean repetitions").fill("11")
    page.get_by_label("With some left, as asked").check()
    page.get_by_label("How many more clean ones were left?").select_option("2")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("11 reps (on the knees, 2 left)")).to_be_visible()

    # Another day, from the first page on.
    page.goto(live_server.url + reverse("my-home"))
    page.get_by_role("link", name="Go on with your baseline").click()
    expect(page.get_by_text("11 reps (on the knees, 2 left)")).to_be_visible()

    page.get_by_role("link", name="Dead hang").click()
    page.get_by_text("Leave it out").first.click()
    page.get_by_label("Too tired today").check()
    page.get_by_role("button", name="Leave it out").click()
    expect(page.get_by_text("left out: too tired today")).to_be_visible()

    page.get_by_role("button", name="Finish").click()
    expect(page.get_by_role("heading", name="Push-ups")).to_be_visible()
    assert BaselineRun.objects.get().finished_at is not None
    page.goto(live_server.url + reverse("my-home"))
    expect(page.get_by_role("link", name="Do a baseline")).to_have_count(0)


def test_clock_writes_the_seconds_of_a_hold(open_as, live_server, cast, ready):
    run = baseline.start_run(ready, uuid=uuid.uuid4(), by=cast.client_user, at=timezone.now())
    page = open_as(cast.client_user, width=360)
    page.clock.install()
    page.goto(live_server.url + reverse("baseline-test", args=[run.uuid, "side-bridge"]))

    page.get_by_role("button", name="Start").click()
    page.clock.run_for(3_000 + 34_500)
    page.get_by_role("button", name="Stop").click()

    expect(page.get_by_label("Seconds")).to_have_value("34")
    page.get_by_label("The form went").check()
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("Left: 34 s")).to_be_visible()
    assert BaselineTest.objects.get().seconds == 34


def test_pain_in_the_chest_ends_it(open_as, live_server, cast, ready):
    run = baseline.start_run(ready, uuid=uuid.uuid4(), by=cast.client_user, at=timezone.now())
    page = open_as(cast.client_user, width=360)
    page.goto(live_server.url + reverse("baseline-test", args=[run.uuid, "push-ups"]))

    page.get_by_label("On the toes").check()
    page.get_by_label("Clean repetitions").fill("4")
    page.get_by_label("Stopped early", exact=True).check()
    page.get_by_text("I stopped early").click()
    page.get_by_label("Pressure, tightness or pain in the chest").check()
    page.get_by_role("button", name="Save", exact=True).click()

    assert page.url == live_server.url + reverse("stop-and-seek-care")
    page.goto(live_server.url + reverse("baseline-run", args=[run.uuid]))
    expect(page.get_by_text("Training is locked", exact=False)).to_be_visible()
    expect(page.get_by_role("link", name="Dead hang")).to_have_count(0)


@pytest.fixture
def told(cast, ready):
    """Two finished runs and one under way, with words that do not fit easily."""
    today = timezone.localdate()
    for days in (90, 20):
        on = today - datetime.timedelta(days=days)
        run = f.BaselineRunFactory(client=ready, started_on=on, finished_at=timezone.now())
        for test, amount in (("push-ups", {"repetitions": 12}), ("side-bridge", {"seconds": 60, "side": "left"})):
            facts = {"repetitions": None, "rir": None, "planned_end": "maximum", "ended_by": "maximum"} | amount
            f.BaselineTestFactory(client=ready, run=run, test=test, on=on, way="toes", note=LONG, **facts)
    f.NormDetailFactory(client=ready, sex="male")
    intake = f.IntakeFactory(client=ready, finished_at=timezone.now())
    f.IntakeAnswerFactory(client=ready, intake=intake, question="born_on", value="1995-01-01")
    f.ReferenceMaxFactory(client=ready, by=cast.coach, note=LONG)
    run = f.BaselineRunFactory(client=ready, started_on=today)
    f.BaselineTestFactory(client=ready, run=run, test="dead-hang", on=today, repetitions=None, rir=None, seconds=30)
    return run


def test_every_page_of_the_client_passes_axe_on_a_phone(open_as, live_server, cast, told):
    page = open_as(cast.client_user, width=360)
    tests = ["push-ups", "sit-to-stand", "side-bridge", "rows", "overhead-reach"]
    addresses = [reverse("my-baseline"), reverse("baseline-run", args=[told.uuid])]
    addresses += [reverse("baseline-test", args=[told.uuid, test]) for test in tests]

    assert walk(page, live_server.url, addresses) == {}


def test_before_a_run_the_list_says_what_is_for_today(open_as, live_server, cast, ready):
    page = open_as(cast.client_user, width=360)

    assert walk(page, live_server.url, [reverse("my-baseline")]) == {}
    page.get_by_text("not for today: why").click()
    expect(page.get_by_text("come first; this is the step below", exact=False)).to_be_visible()


def test_coach_reads_it_and_sets_a_maximum(open_as, live_server, cast, told):
    f.MovementFactory(slug="floor-press", revision__name="Floor press", revision__load_kind=LoadKind.EXTERNAL,
                      revision__share=None, revision__share_basis="", revision__share_source="")  # fmt: skip
    page = open_as(cast.coach, width=360)
    address = reverse("client-baseline", args=[cast.client.uuid])
    assert walk(page, live_server.url, [address]) == {}
    page.set_viewport_size({"width": 1280, "height": 860})
    page.goto(live_server.url + address)
    expect(page.get_by_text("By one table").first).to_be_visible()

    page.get_by_text("Set a maximum").click()
    page.get_by_role("combobox", name="Movement").fill("Floor press")
    page.get_by_role("textbox", name="Load").fill("62.5 kg")
    page.get_by_role("button", name="Set it").click()

    expect(page.get_by_role("heading", name="Floor press")).to_be_visible()
    assert [str(row.load_kg) for row in ReferenceMax.objects.filter(slug="floor-press")] == ["62.500"]
