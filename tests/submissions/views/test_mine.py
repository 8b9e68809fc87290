"""What a client has sent, what came back, and asking."""

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.choices import JobState
from jobs.models import Job
from submissions.choices import ClipState, SubmissionKind, SubmissionState, Verdict
from submissions.domain.media.reasons import Reason
from submissions.domain.reviewing import Note, send_review
from submissions.models import Review, Submission
from tests import factories as f
from tests.factories import NOON


@pytest.fixture
def answered(cast):
    sent = f.SubmissionFactory(client=cast.client, text="Deep enough?")
    said = {"verdict": Verdict.ADJUST, "cue": "Push the floor away.", "good": "Calm.", "message": "Keep going."}
    return send_review(sent, reviewer=cast.coach, at=NOON, notes=[Note(12, "Here.")], **said)


def test_answer_is_shown_with_verdict_cue_and_notes(signed_in, cast, answered):
    page = signed_in(cast.client_user).get(reverse("my-review", args=[answered.submission.uuid])).content.decode()

    for words in ("Adjust one thing", "Push the floor away.", "Calm.", "Keep going.", "Here.", "Deep enough?"):
        assert words in page


@pytest.mark.parametrize("person", ["other_client_user", "coach", "other_coach"])
def test_answer_to_somebody_else_is_404(signed_in, cast, answered, person):
    assert (
        signed_in(getattr(cast, person)).get(reverse("my-review", args=[answered.submission.uuid])).status_code == 404
    )


def test_opening_by_get_changes_nothing(signed_in, cast, answered):
    signed_in(cast.client_user).get(reverse("my-review", args=[answered.submission.uuid]))

    assert Review.objects.get().seen_at is None


def test_seen_is_told_by_post(signed_in, cast, answered):
    answer = signed_in(cast.client_user).post(reverse("review-seen", args=[answered.uuid]))

    assert (answer.status_code, Review.objects.get().seen_at is not None) == (302, True)


@pytest.mark.parametrize("person", ["other_client_user", "coach"])
def test_seen_cannot_be_told_by_somebody_else(signed_in, cast, answered, person):
    answer = signed_in(getattr(cast, person)).post(reverse("review-seen", args=[answered.uuid]))

    assert (answer.status_code, Review.objects.get().seen_at) == (404, None)


def test_list_shows_own_clips_and_questions_only(signed_in, cast, answered):
    asked = f.SubmissionFactory(client=cast.client, kind=SubmissionKind.QUESTION, clip=None)
    theirs = f.SubmissionFactory(client=cast.other_client)

    page = signed_in(cast.client_user).get(reverse("my-clips")).content.decode()

    assert [str(sent.uuid) in page for sent in (answered.submission, asked, theirs)] == [True, True, False]


def test_failed_clip_says_why_and_offers_to_film_again(signed_in, cast, filming):
    scheduled, prescription = filming
    clip = f.ClipFactory(
        client=cast.client,
        scheduled=scheduled,
        movement=prescription.movement,
        lineage=prescription.lineage,
        state=ClipState.FAILED,
        failure=Reason.TRUNCATED,
    )
    f.SubmissionFactory(client=cast.client, clip=clip, state=SubmissionState.WITHDRAWN)

    page = signed_in(cast.client_user).get(reverse("my-clips")).content.decode()

    assert "The end of the clip is missing." in page
    assert reverse("upload-clip", args=[scheduled.uuid, prescription.uuid]) in page


def test_unfinished_upload_says_how_to_carry_on(signed_in, cast, begin):
    begin(5000, at=timezone.now())

    assert "not all sent yet" in signed_in(cast.client_user).get(reverse("my-clips")).content.decode()


def test_list_asks_the_database_as_often_for_many_as_for_one(signed_in, cast, answered, django_assert_max_num_queries):
    browser = signed_in(cast.client_user)
    with django_assert_max_num_queries(50) as one:
        browser.get(reverse("my-clips"))
    for _ in range(3):
        sent = f.SubmissionFactory(client=cast.client)
        said = {"verdict": Verdict.SOUND, "cue": "", "good": "", "message": "", "notes": [Note(1, "x")]}
        send_review(sent, reviewer=cast.coach, at=NOON, **said)

    with django_assert_max_num_queries(50) as many:
        browser.get(reverse("my-clips"))

    assert len(many) == len(one)


def test_question_about_a_movement_on_the_plan_reaches_the_queue(signed_in, cast, filming):
    movement = filming[1].movement

    answer = signed_in(cast.client_user).post(reverse("ask"), {"movement": str(movement.uuid), "text": "How deep?"})

    asked = Submission.objects.get()
    assert answer["Location"] == reverse("my-review", args=[asked.uuid])
    assert (asked.kind, asked.movement, asked.text, asked.client) == (
        SubmissionKind.QUESTION,
        movement,
        "How deep?",
        cast.client,
    )


def test_question_in_general_needs_no_movement(signed_in, cast):
    signed_in(cast.client_user).post(reverse("ask"), {"text": "May I train twice a day?"})

    assert Submission.objects.get().movement is None


def test_question_about_a_movement_of_somebody_elses_plan_is_refused(signed_in, cast):
    elsewhere = f.PrescriptionFactory().movement

    answer = signed_in(cast.client_user).post(reverse("ask"), {"movement": str(elsewhere.uuid), "text": "How?"})

    assert (answer.status_code, Submission.objects.count()) == (422, 0)


def test_empty_question_is_refused_at_the_field(signed_in, cast):
    answer = signed_in(cast.client_user).post(reverse("ask"), {"text": "  "})

    assert (answer.status_code, Submission.objects.count()) == (422, 0)


def test_question_box_says_that_nobody_reads_it_at_once(signed_in, cast):
    assert "Nobody reads this at once" in signed_in(cast.client_user).get(reverse("ask")).content.decode()


def test_coach_who_is_no_client_has_nobody_to_ask(signed_in, cast):
    assert signed_in(cast.coach).get(reverse("ask")).status_code == 404


def test_client_reads_that_a_clip_set_aside_need_not_be_sent_again(signed_in, cast):
    clip = f.ClipFactory(client=cast.client, state=ClipState.RECEIVED)
    waiting = f.SubmissionFactory(client=cast.client, clip=clip)
    failed = {"state": JobState.FAILED, "finished_at": NOON, "last_error": "OSError at transcode.py:1"}
    Job.objects.create(name="submissions.process_clip", args=[clip.pk], run_at=NOON, **failed)
    browser = signed_in(cast.client_user)

    pages = [browser.get(reverse("my-clips")), browser.get(reverse("my-review", args=[waiting.uuid]))]

    assert all("need not" in page.content.decode() for page in pages)
