"""The coach's answer: once, whole, and corrected by a new version."""

from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from clients.errors import ClientsError
from clients.models import OutgoingMail
from submissions.choices import ClipState, SubmissionKind, SubmissionState, Verdict
from submissions.domain.reviewing import Note, ask_question, correct_review, mark_seen, moment_of, send_review
from submissions.errors import AlreadyReviewed, ClipNotReady, CorrectedMeanwhile, NoSuchMoment, VerdictMissing
from submissions.models import Review, ReviewNote
from tests import factories as f
from tests.factories import NOON

SAID = {
    "verdict": Verdict.ADJUST,
    "cue": "Push the floor away.",
    "good": "Steady all the way.",
    "message": "Your knee looks better.",
    "notes": [Note(60, "Hips first."), Note(12, "Ribs down.")],
}


@pytest.fixture
def waiting(cast):
    cast.client.email = "client@example.test"
    cast.client.save()
    return f.SubmissionFactory(client=cast.client)


@pytest.fixture
def send(cast, waiting):
    def send_it(reviewer=None, **changes):
        return send_review(waiting, reviewer=reviewer or cast.coach, at=NOON, **(SAID | changes))

    return send_it


def test_review_answers_the_submission_and_keeps_what_was_said(cast, waiting, send):
    review = send()

    waiting.refresh_from_db()
    assert (waiting.state, waiting.answered_at) == (SubmissionState.ANSWERED, NOON)
    assert (review.reviewer, review.verdict, review.cue, review.good, review.message) == (
        cast.coach,
        Verdict.ADJUST,
        SAID["cue"],
        SAID["good"],
        SAID["message"],
    )


def test_notes_are_kept_in_the_order_of_the_movement_with_their_moments(send):
    review = send()

    assert list(review.notes.values_list("frame", "at_s", "text")) == [
        (12, Decimal("0.400"), "Ribs down."),
        (60, Decimal("2.000"), "Hips first."),
    ]


def test_letter_to_the_client_says_nothing_of_the_body(send, waiting):
    send()

    letter = OutgoingMail.objects.get()
    assert letter.to == "client@example.test"
    assert str(waiting.uuid) in letter.body
    assert not [word for word in ("knee", "Push", "Ribs", "Adjust") if word in letter.subject + letter.body]


def test_second_review_is_refused_and_changes_nothing(cast, send):
    send()

    with pytest.raises(AlreadyReviewed):
        send(reviewer=cast.owner, message="Second.")

    assert Review.objects.get().message == SAID["message"]
    assert (ReviewNote.objects.count(), OutgoingMail.objects.count()) == (2, 1)


def test_withdrawn_submission_cannot_be_answered(waiting, send):
    waiting.state = SubmissionState.WITHDRAWN
    waiting.save()

    with pytest.raises(AlreadyReviewed):
        send()


def test_clip_that_is_not_ready_cannot_be_reviewed(waiting, send):
    waiting.clip.state = ClipState.RECEIVED
    waiting.clip.save()

    with pytest.raises(ClipNotReady):
        send()


@pytest.mark.parametrize("verdict", ["", "fine"])
def test_clip_needs_a_verdict(send, verdict):
    with pytest.raises(VerdictMissing):
        send(verdict=verdict)


@pytest.mark.parametrize("frame", [-1, 90])
def test_note_at_a_moment_the_clip_does_not_have_sends_nothing(waiting, send, frame):
    with pytest.raises(NoSuchMoment):
        send(notes=[Note(0, "Fine."), Note(frame, "Nowhere.")])

    waiting.refresh_from_db()
    assert (waiting.state, Review.objects.count()) == (SubmissionState.WAITING, 0)


@pytest.mark.parametrize(("frame", "seconds"), [(0, "0.000"), (1, "0.033"), (89, "2.967")])
def test_moment_comes_from_the_frame_times(waiting, frame, seconds):
    assert moment_of(waiting.clip, frame) == Decimal(seconds)


def test_question_is_answered_in_words_alone(cast):
    asked = ask_question(cast.client, text="How deep?", at=NOON)

    review = send_review(
        asked, reviewer=cast.coach, verdict="", cue="", good="", message="To the box.", notes=[], at=NOON
    )

    assert (asked.kind, review.message) == (SubmissionKind.QUESTION, "To the box.")


def test_correction_is_a_new_version_and_the_old_one_stays(cast, send):
    first = send()

    second = correct_review(first, reviewer=cast.owner, at=NOON, **(SAID | {"cue": "Slower.", "notes": []}))

    first.refresh_from_db()
    assert list(Review.objects.current()) == [second]
    assert (second.replaces, first.cue, first.notes.count()) == (first, SAID["cue"], 2)


def test_correction_of_a_version_that_was_corrected_meanwhile_is_refused(cast, send):
    first = send()
    second = correct_review(first, reviewer=cast.owner, at=NOON, **SAID)

    with pytest.raises(CorrectedMeanwhile):
        correct_review(first, reviewer=cast.coach, at=NOON, **(SAID | {"cue": "Mine."}))

    assert list(Review.objects.current()) == [second]
    assert OutgoingMail.objects.count() == 2


def test_correction_with_an_impossible_note_leaves_the_first_version_standing(cast, send):
    first = send()

    with pytest.raises(NoSuchMoment):
        correct_review(first, reviewer=cast.coach, at=NOON, **(SAID | {"notes": [Note(999, "?")]}))

    assert list(Review.objects.current()) == [first]


def test_first_seeing_counts(send):
    review = send()
    mark_seen(review, at=NOON)

    mark_seen(review, at=NOON.replace(hour=20))

    review.refresh_from_db()
    assert review.seen_at == NOON


@pytest.mark.parametrize("changed", [None, NOON.replace(hour=20)])
def test_database_keeps_when_an_answer_was_first_seen(send, changed):
    review = send()
    mark_seen(review, at=NOON)

    with pytest.raises(IntegrityError, match="guard: set once and kept"), transaction.atomic():
        Review.objects.filter(pk=review.pk).update(seen_at=changed)


def test_refusals_are_sentences_for_people():
    assert str(AlreadyReviewed()).endswith("read.")
    assert not issubclass(CorrectedMeanwhile, ClientsError)
