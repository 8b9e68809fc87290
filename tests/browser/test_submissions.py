"""Filming, review and answer in a real browser: the clip is real, the worker is real, every frame is checked."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

import jobs
from clients.choices import ConsentKind
from submissions.choices import ClipState
from submissions.models import Clip, Review
from tests import factories as f
from tests.submissions.conftest import drawn_clip, filming, folders, storage  # noqa: F401 -- fixtures

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def sent(open_as, live_server, cast, filming, drawn_clip, tmp_path):  # noqa: F811 -- fixtures
    """A clip, sent by the client from a phone-wide page and prepared by the worker."""
    (tmp_path / "set.mp4").write_bytes(drawn_clip)
    scheduled, prescription = filming
    page = open_as(cast.client_user)
    page.goto(live_server.url + reverse("upload-clip", args=[scheduled.uuid, prescription.uuid]))
    page.get_by_label("Which side does the camera see?").select_option("right")
    page.get_by_label("What would you like looked at?").fill("Deep enough?")
    page.locator("input[type=file]").set_input_files(str(tmp_path / "set.mp4"))
    page.get_by_role("button", name="Send clip").click()
    page.wait_for_url("**" + reverse("my-clips"))
    jobs.run_waiting()
    return Clip.objects.get()


def test_clip_sent_from_the_phone_page_is_prepared_with_its_question(sent):
    assert (sent.state, sent.question, sent.camera_side, len(sent.frame_times)) == (
        ClipState.READY,
        "Deep enough?",
        "right",
        60,
    )


def test_coach_works_the_queue_by_keyboard_and_the_client_reads_the_answer(open_as, live_server, cast, sent):
    desk = open_as(cast.coach, width=1280)
    desk.goto(live_server.url + reverse("queue"))
    desk.keyboard.press("j")
    desk.keyboard.press("Enter")
    desk.wait_for_url("**" + reverse("review", args=[sent.submission.uuid]))
    desk.wait_for_function("() => document.querySelector('frame-player').frameCount === 60")
    desk.wait_for_function("() => document.querySelector('video').readyState >= 2")
    for _ in range(12):
        desk.keyboard.press("ArrowRight")
        desk.wait_for_timeout(60)
    assert desk.evaluate("document.querySelector('frame-player').frame") == 12
    desk.keyboard.press("n")
    desk.keyboard.type("Ribs down here.")
    desk.keyboard.press("Enter")
    desk.get_by_label("Adjust one thing, same work").check()
    desk.get_by_label("One cue").fill("Push the floor away.")
    desk.get_by_role("button", name="Send and open the next").click()
    desk.wait_for_url("**" + reverse("queue") + "**")

    review = Review.objects.get()
    assert list(review.notes.values_list("frame", "text")) == [(12, "Ribs down here.")]

    phone = open_as(cast.client_user)
    phone.goto(live_server.url + reverse("my-review", args=[sent.submission.uuid]))
    expect(phone.get_by_text("Push the floor away.")).to_be_visible()
    phone.wait_for_function("() => document.querySelector('frame-player').frameCount === 60")
    phone.locator(".note__moment").click()
    phone.wait_for_function("() => document.querySelector('frame-player').frame === 12")
    phone.wait_for_function("() => !document.querySelector('seen-marker')")
    review.refresh_from_db()
    assert review.seen_at is not None
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360


def test_what_was_typed_survives_a_sign_in_that_ran_out(open_as, live_server, cast, sent):
    desk = open_as(cast.coach, width=1280)
    where = live_server.url + reverse("review", args=[sent.submission.uuid])
    desk.goto(where)
    desk.get_by_label("One cue").fill("Typed for long.")
    desk.get_by_label("Adjust one thing, same work").check()
    desk.on("dialog", lambda dialog: dialog.accept())

    desk.goto(where)

    expect(desk.get_by_label("One cue")).to_have_value("Typed for long.")
    expect(desk.get_by_text("What you typed here before is back.")).to_be_visible()
    desk.get_by_role("button", name="Send and open the next").click()
    desk.wait_for_url("**" + reverse("queue") + "**")
    assert desk.evaluate("Object.keys(localStorage).filter((key) => key.startsWith('draft:')).length") == 0


def test_queue_refreshes_by_itself_and_keeps_the_focus(open_as, live_server, cast, folders):  # noqa: F811 -- fixtures
    first = f.SubmissionFactory(client=cast.client, clip=None, kind="question", text="First?")
    desk = open_as(cast.coach, width=1280)
    desk.goto(live_server.url + reverse("queue"))
    desk.keyboard.press("j")
    f.SubmissionFactory(client=cast.client, clip=None, kind="question", text="Second?")

    desk.evaluate("document.querySelector('refresh-visible').dispatchEvent(new CustomEvent('refresh-due'))")

    expect(desk.get_by_text("Second?")).to_be_visible()
    assert desk.evaluate("document.activeElement.id") == f"open-{first.uuid}"


def test_consent_is_what_the_upload_page_asks_for_first(open_as, live_server, cast, filming):  # noqa: F811 -- fixtures
    f.ConsentFactory(client=cast.client, kind=ConsentKind.VIDEO, action="withdrawn", at="2100-01-01T00:00:00Z")
    scheduled, prescription = filming
    page = open_as(cast.client_user)

    page.goto(live_server.url + reverse("upload-clip", args=[scheduled.uuid, prescription.uuid]))

    expect(page.get_by_role("link", name="Decide about video")).to_be_visible()
