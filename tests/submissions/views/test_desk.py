"""The coach's queue and review pages: who sees what, in what order, and what two coaches at once are told."""

import datetime
import json

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.choices import Area, ReadKind, Side
from clients.models import AccessRecord, PainReport, ProtectedArea
from jobs import setting_aside
from jobs.choices import JobState
from jobs.models import Job
from submissions.choices import ClipState, Lane, SubmissionKind, SubmissionState, Verdict
from submissions.domain.reviewing import Note, send_review
from submissions.models import Review, Submission
from tests import factories as f
from tests.factories import NOON

HOUR = datetime.timedelta(hours=1)
PLAYED = {"camera_side": "left", "state": ClipState.READY}


@pytest.fixture
def waiting(cast):
    return f.SubmissionFactory(client=cast.client, text="Is this deep enough?")


def typed(**changes) -> dict[str, str]:
    said = {
        "verdict": Verdict.ADJUST,
        "cue": "Push the floor away.",
        "good": "Steady.",
        "message": "Carry on.",
        "notes": json.dumps([{"frame": 12, "at_s": "0.400", "text": "Ribs down."}]),
    }
    return said | changes


def in_minutes(minutes: float) -> datetime.datetime:
    return timezone.now() + datetime.timedelta(minutes=minutes)


# The queue


def test_queue_shows_what_waits_in_order_with_reason_and_promise(signed_in, cast):
    f.SubmissionFactory(client=cast.client, due_at=in_minutes(-121), lane_reason="A form clip.")
    f.SubmissionFactory(client=cast.client, due_at=in_minutes(305), lane_reason="Pain 4 of 10 this week.")
    f.SubmissionFactory(
        client=cast.client, due_at=in_minutes(900), lane=Lane.RED_FLAG, lane_reason="A warning sign was reported."
    )

    page = signed_in(cast.coach).get(reverse("queue")).content.decode()

    places = [page.index(words) for words in ("A warning sign was", "2 h late", "due in 5 h")]
    assert places == sorted(places)
    assert "Pain 4 of 10 this week." in page


def test_queue_leaves_out_what_is_answered_or_withdrawn(signed_in, cast):
    f.SubmissionFactory(client=cast.client, state=SubmissionState.ANSWERED, answered_at=NOON)
    f.SubmissionFactory(client=cast.client, state=SubmissionState.WITHDRAWN)

    assert "Nothing waits" in signed_in(cast.coach).get(reverse("queue")).content.decode()


def test_queue_of_the_other_coach_does_not_show_it(signed_in, cast, waiting):
    assert str(waiting.uuid) not in signed_in(cast.other_coach).get(reverse("queue")).content.decode()


def test_queue_is_not_there_for_a_client(signed_in, cast, waiting):
    assert signed_in(cast.client_user).get(reverse("queue")).status_code == 404


def test_owner_sees_everyones_and_can_keep_to_those_led(signed_in, cast, waiting):
    browser = signed_in(cast.owner)

    everyones, led = browser.get(reverse("queue")), browser.get(reverse("queue"), {"mine": "1"})

    assert [str(waiting.uuid) in page.content.decode() for page in (everyones, led)] == [True, False]


def test_queue_answers_htmx_with_the_rows_alone(signed_in, cast, waiting):
    page = signed_in(cast.coach).get(reverse("queue"), headers={"HX-Request": "true"}).content.decode()

    assert str(waiting.uuid) in page
    assert "<html" not in page


def test_timer_of_a_signed_out_page_gets_no_sign_in_page(client, db):
    assert client.get(reverse("queue"), headers={"HX-Request": "true"}).status_code == 401


def received(cast) -> Submission:
    """A clip whose preparation was asked for."""
    clip = f.ClipFactory(client=cast.client, state=ClipState.RECEIVED)
    Job.objects.create(name="submissions.process_clip", args=[clip.pk], run_at=NOON)
    return f.SubmissionFactory(client=cast.client, clip=clip)


def prepared_in_vain(cast) -> Submission:
    waiting = received(cast)
    Job.objects.update(state=JobState.FAILED, finished_at=NOON, last_error="OSError at transcode.py:1")
    return waiting


def test_queue_says_what_is_still_being_prepared(signed_in, cast):
    received(cast)

    page = signed_in(cast.coach).get(reverse("queue")).content.decode()

    assert ("being prepared" in page, "failed on our side" in page) == (True, False)


def test_queue_says_whose_preparation_was_set_aside(signed_in, cast):
    prepared_in_vain(cast)

    page = signed_in(cast.coach).get(reverse("queue")).content.decode()

    assert ("being prepared" in page, "failed on our side" in page) == (False, True)


def test_preparation_that_is_tried_again_is_no_longer_said_to_have_failed(signed_in, cast):
    prepared_in_vain(cast)
    setting_aside.try_again(Job.objects.get(), at=NOON)

    assert "failed on our side" not in signed_in(cast.coach).get(reverse("queue")).content.decode()


def test_queue_asks_the_database_as_often_for_many_rows_as_for_one(
    signed_in, cast, waiting, django_assert_max_num_queries
):
    browser = signed_in(cast.coach)
    with django_assert_max_num_queries(50) as one:
        browser.get(reverse("queue"))
    for _ in range(4):
        other = f.ClientFactory(practice=cast.practice)
        f.AssignmentFactory(client=other, coach=cast.coach_membership)
        f.SubmissionFactory(client=other)
        f.SubmissionFactory(client=other, clip=None, kind=SubmissionKind.QUESTION)

    with django_assert_max_num_queries(50) as many:
        browser.get(reverse("queue"))

    assert len(many) == len(one)


# The review


def test_review_page_shows_question_side_and_what_to_keep_in_mind(signed_in, cast, waiting):
    today = timezone.now().date()
    common = {"client": cast.client, "practice": cast.practice}
    ProtectedArea.objects.create(**common, area=Area.KNEE, side=Side.LEFT, why="Old sprain", from_on=today)
    PainReport.objects.create(
        **common,
        on=today,
        area=Area.WRIST,
        side=Side.RIGHT,
        during=3,
        reported_at=NOON,
        action="continue",
        action_row=2,
    )

    page = signed_in(cast.coach).get(reverse("review", args=[waiting.uuid])).content.decode()

    for words in ("Is this deep enough?", "My left side", "Old sprain", "3 of 10 during"):
        assert words in page


def test_review_page_shows_what_was_said_before_about_the_same_movement(signed_in, cast, waiting):
    before = f.SubmissionFactory(client=cast.client, clip__movement=waiting.clip.movement)
    other = f.SubmissionFactory(client=cast.client)
    for submission, cue in ((before, "Ribs down."), (other, "Elsewhere.")):
        said = {"verdict": Verdict.ADJUST, "cue": cue, "good": "", "message": "", "notes": []}
        send_review(submission, reviewer=cast.coach, at=NOON, **said)

    page = signed_in(cast.coach).get(reverse("review", args=[waiting.uuid])).content.decode()

    assert ("Ribs down." in page, "Elsewhere." in page) == (True, False)


@pytest.mark.parametrize("person", ["other_coach", "client_user", "other_client_user", "stranger_coach"])
@pytest.mark.parametrize("method", ["get", "post"])
def test_review_of_somebody_elses_client_is_404(signed_in, cast, waiting, person, method):
    browser = signed_in(getattr(cast, person))

    answer = getattr(browser, method)(reverse("review", args=[waiting.uuid]), typed())

    assert (answer.status_code, Review.objects.count()) == (404, 0)


def test_opening_a_review_is_recorded_once_as_reading_the_clip(signed_in, cast, waiting):
    signed_in(cast.coach).get(reverse("review", args=[waiting.uuid]))

    read = AccessRecord.objects.get(kind=ReadKind.CLIP)
    assert (read.reader, read.client, read.subject_uuid) == (cast.coach, cast.client, waiting.clip.uuid)


def test_sending_answers_and_opens_the_next(signed_in, cast, waiting):
    after = f.SubmissionFactory(client=cast.client, due_at=NOON + 60 * HOUR)
    f.SubmissionFactory(
        client=cast.client, due_at=NOON, clip=f.ClipFactory(client=cast.client, state=ClipState.RECEIVED)
    )

    answer = signed_in(cast.coach).post(reverse("review", args=[waiting.uuid]), typed())

    assert answer["Location"] == f"{reverse('review', args=[after.uuid])}?sent=review-{waiting.uuid}"
    review = Review.objects.get()
    assert (review.submission, review.notes.get().text, review.cue) == (waiting, "Ribs down.", "Push the floor away.")


def test_last_review_leads_back_to_the_queue(signed_in, cast, waiting):
    answer = signed_in(cast.coach).post(reverse("review", args=[waiting.uuid]), typed())

    assert answer["Location"].startswith(reverse("queue"))


def test_second_cue_is_kept_on_its_own_line(signed_in, cast, waiting):
    signed_in(cast.coach).post(reverse("review", args=[waiting.uuid]), typed(second_cue="Breathe out."))

    assert Review.objects.get().cue == "Push the floor away.\nBreathe out."


def test_coach_who_comes_second_is_told_and_keeps_what_was_typed(signed_in, cast, waiting):
    said = {"verdict": Verdict.SOUND, "cue": "", "good": "", "message": "First.", "notes": []}
    send_review(waiting, reviewer=cast.owner, at=NOON, **said)

    answer = signed_in(cast.coach).post(reverse("review", args=[waiting.uuid]), typed(message="Typed for long."))

    page = answer.content.decode()
    assert (answer.status_code, Review.objects.count()) == (409, 1)
    for words in (
        "Someone answered this before you",
        "Typed for long.",
        "Push the floor away.",
        "Ribs down.",
        "First.",
    ):
        assert words in page


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"verdict": ""}, "This field is required"),
        ({"cue": "", "message": ""}, "Say what should change"),
        ({"cue": "", "second_cue": "Two."}, "Start with the first cue"),
        ({"notes": "[{"}, "could not be read"),
        ({"notes": '[{"frame": "12", "text": "x"}]'}, "could not be read"),
        ({"notes": '[{"frame": 12, "text": ""}]'}, "could not be read"),
        ({"notes": '[{"frame": 12, "text": "a\\u0000"}]'}, "could not be read"),
        ({"notes": "7"}, "could not be read"),
        ({"notes": json.dumps([{"frame": 1, "text": "x"}] * 41)}, "At most 40"),
        ({"notes": '[{"frame": 9999, "text": "x"}]'}, "a moment that the clip does not have"),
    ],
)
def test_answer_that_cannot_be_sent_says_why_at_the_field(signed_in, cast, waiting, changes, words):
    answer = signed_in(cast.coach).post(reverse("review", args=[waiting.uuid]), typed(**changes))

    assert (answer.status_code, Review.objects.count()) == (422, 0)
    assert words in answer.content.decode()


def test_sound_form_needs_no_cue(signed_in, cast, waiting):
    signed_in(cast.coach).post(
        reverse("review", args=[waiting.uuid]), typed(verdict=Verdict.SOUND, cue="", message="", notes="")
    )

    assert Review.objects.get().verdict == Verdict.SOUND


def test_question_is_answered_by_the_same_page_without_a_clip(signed_in, cast):
    asked = f.SubmissionFactory(client=cast.client, kind=SubmissionKind.QUESTION, clip=None, text="How deep?")
    browser = signed_in(cast.coach)
    where = reverse("review", args=[asked.uuid])

    page = browser.get(where).content.decode()
    browser.post(where, {"message": "To the box."})

    assert ("frame-player id" in page, "How deep?" in page) == (False, True)
    assert Review.objects.get().message == "To the box."


def test_clip_still_being_prepared_offers_no_form(signed_in, cast):
    page = signed_in(cast.coach).get(reverse("review", args=[received(cast).uuid])).content.decode()

    assert ("being prepared" in page, 'name="verdict"' in page) == (True, False)


def test_clip_whose_preparation_was_set_aside_says_so_and_offers_no_form(signed_in, cast):
    page = signed_in(cast.coach).get(reverse("review", args=[prepared_in_vain(cast).uuid])).content.decode()

    assert ("failed on our side" in page, 'name="verdict"' in page) == (True, False)


def test_review_page_asks_the_database_as_often_with_many_notes(
    signed_in, cast, waiting, django_assert_max_num_queries
):
    browser = signed_in(cast.coach)
    counts = []
    for _ in range(2):
        other = f.SubmissionFactory(client=cast.client, clip__movement=waiting.clip.movement)
        said = {"verdict": Verdict.SOUND, "cue": "", "good": "", "message": "", "notes": [Note(1, "x"), Note(2, "y")]}
        send_review(other, reviewer=cast.coach, at=NOON, **said)
        with django_assert_max_num_queries(50) as asked:
            browser.get(reverse("review", args=[waiting.uuid]))
        counts.append(len(asked))

    assert counts[0] == counts[1]


# Corrections


@pytest.fixture
def answered(cast, waiting):
    said = {"verdict": Verdict.EASIER, "cue": "Slower.", "good": "Calm.", "message": "", "notes": [Note(12, "Here.")]}
    return send_review(waiting, reviewer=cast.coach, at=NOON, **said)


def test_correction_starts_from_what_was_said(signed_in, cast, answered):
    page = signed_in(cast.coach).get(reverse("correct-review", args=[answered.uuid])).content.decode()

    for words in ("Slower.", "Calm.", "Here."):
        assert words in page


def test_correction_replaces_the_answer(signed_in, cast, answered):
    answer = signed_in(cast.coach).post(reverse("correct-review", args=[answered.uuid]), typed(cue="Faster."))

    current = Review.objects.current().get()
    assert (answer.status_code, current.cue, current.replaces) == (302, "Faster.", answered)


def test_correcting_a_version_that_was_replaced_is_refused_and_kept(signed_in, cast, answered):
    browser = signed_in(cast.coach)
    browser.post(reverse("correct-review", args=[answered.uuid]), typed(cue="Faster."))

    answer = browser.post(reverse("correct-review", args=[answered.uuid]), typed(cue="Typed for long."))

    assert answer.status_code == 409
    assert "Typed for long." in answer.content.decode()
    assert Review.objects.current().get().cue == "Faster."


@pytest.mark.parametrize("person", ["other_coach", "client_user", "stranger_coach"])
def test_correction_by_somebody_else_is_404(signed_in, cast, answered, person):
    answer = signed_in(getattr(cast, person)).post(reverse("correct-review", args=[answered.uuid]), typed())

    assert (answer.status_code, Review.objects.count(), Submission.objects.count()) == (404, 1, 1)
