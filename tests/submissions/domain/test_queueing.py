"""Lanes and promises."""

import datetime

import pytest

from clients.choices import Area, NextMorning, Side
from clients.models import PainReport, RedFlagReport
from submissions.choices import Lane, SubmissionKind, SubmissionState
from submissions.domain.queueing import (
    Place,
    Standing,
    due_words,
    lane_for,
    place_in_queue,
    raise_all_lanes,
    raise_place,
    standing_of,
    submit,
)
from submissions.models import Submission
from tests import factories as f
from tests.factories import NOON

FIT = {"regular": True, "symptoms": False, "disease": False, "refer_first": [], "desired": "vigorous"}
HOUR = datetime.timedelta(hours=1)
CLIP, QUESTION, CHECK_IN = SubmissionKind.CLIP, SubmissionKind.QUESTION, SubmissionKind.CHECK_IN


@pytest.mark.parametrize(
    ("kind", "standing", "lane"),
    [
        (QUESTION, Standing(warning_sign=True, worst_pain=9, clearance_problem=True), Lane.RED_FLAG),
        (CLIP, Standing(worst_pain=6), Lane.PAIN_HIGH),
        (CLIP, Standing(clearance_problem=True), Lane.PAIN_HIGH),
        (CLIP, Standing(worst_pain=5), Lane.PAIN_SOME),
        (CLIP, Standing(worst_pain=1), Lane.PAIN_SOME),
        (CLIP, Standing(pain_lingers=True), Lane.PAIN_SOME),
        (CLIP, Standing(is_first_clip=True), Lane.PAIN_SOME),
        (QUESTION, Standing(is_first_clip=True), Lane.FORM),
        (CLIP, Standing(), Lane.FORM),
        (CHECK_IN, Standing(), Lane.ROUTINE),
        (CHECK_IN, Standing(worst_pain=7), Lane.PAIN_HIGH),
    ],
)
def test_lane_follows_the_most_pressing_thing(kind, standing, lane):
    assert lane_for(kind, standing)[0] == lane


@pytest.mark.parametrize(
    ("standing", "promise", "hours"),
    [
        (Standing(), 48, 48),
        (Standing(worst_pain=3), 48, 24),
        (Standing(worst_pain=3), 8, 8),
        (Standing(worst_pain=8), 48, 12),
        (Standing(worst_pain=8), 6, 6),
        (Standing(warning_sign=True), 48, 12),
    ],
)
def test_pressing_lanes_promise_earlier_but_never_later_than_the_practice(standing, promise, hours):
    place = place_in_queue(CLIP, standing, submitted_at=NOON, promised_by=NOON + promise * HOUR)

    assert place.due_at - NOON == hours * HOUR


def test_lane_rises_on_news_and_takes_its_reason():
    risen = raise_place(Place(Lane.FORM, "form", NOON + 48 * HOUR), Place(Lane.PAIN_HIGH, "pain", NOON + 12 * HOUR))

    assert risen == Place(Lane.PAIN_HIGH, "pain", NOON + 12 * HOUR)


def test_lane_never_falls_by_itself():
    current = Place(Lane.PAIN_HIGH, "pain", NOON + 12 * HOUR)

    assert raise_place(current, Place(Lane.FORM, "form", NOON + 48 * HOUR)) == current


def test_earlier_promise_is_kept_when_the_lane_rises():
    risen = raise_place(Place(Lane.FORM, "form", NOON + 2 * HOUR), Place(Lane.PAIN_HIGH, "pain", NOON + 12 * HOUR))

    assert risen.due_at == NOON + 2 * HOUR


@pytest.mark.parametrize(
    ("hours", "words"),
    [(5, "due in 5 h"), (0.5, "due in 30 min"), (-2, "2 h late"), (-0.25, "15 min late"), (72, "due in 3 days")],
)
def test_due_is_said_in_words(hours, words):
    assert due_words(NOON + hours * HOUR, at=NOON) == words


@pytest.fixture
def cleared(cast):
    """The client, with leave to train and an earlier clip."""
    f.ScreeningFactory(client=cast.client, inputs=FIT)
    f.ConsentFactory(client=cast.client)
    f.SubmissionFactory(client=cast.client, state=SubmissionState.ANSWERED, answered_at=NOON)
    return cast.client


def hurt(client, **values):
    given = {"during": 4, "on": NOON.date(), "area": Area.KNEE, "side": Side.LEFT} | values
    return PainReport.objects.create(
        practice=client.practice, client=client, reported_at=NOON, action="watch", action_row=2, **given
    )


def test_standing_of_a_client_with_nothing_to_report_is_calm(cleared):
    assert standing_of(cleared, at=NOON) == Standing()


def test_standing_sees_the_worst_pain_of_the_last_seven_days(cleared):
    hurt(cleared, during=4, on=NOON.date() - datetime.timedelta(days=6))
    hurt(cleared, during=None, after=6, on=NOON.date() - datetime.timedelta(days=2))
    hurt(cleared, during=9, on=NOON.date() - datetime.timedelta(days=7))

    assert standing_of(cleared, at=NOON) == Standing(worst_pain=6)


def test_standing_sees_pain_that_lingers(cleared):
    hurt(cleared, during=0, next_morning=NextMorning.RAISED)

    assert standing_of(cleared, at=NOON) == Standing(pain_lingers=True)


def test_standing_without_leave_to_train_is_a_clearance_problem(cast):
    f.ConsentFactory(client=cast.client)

    assert standing_of(cast.client, at=NOON).clearance_problem


@pytest.mark.parametrize("locks", [True, False])
def test_standing_sees_a_warning_sign_locking_or_not_yet_seen(cleared, locks):
    RedFlagReport.objects.create(
        practice=cleared.practice,
        client=cleared,
        groups=["heart"],
        items=["chest"],
        lane="emergency",
        locks=locks,
        source="pain",
        reported_at=NOON,
        seen_at=NOON if locks else None,
    )

    assert standing_of(cleared, at=NOON).warning_sign


def test_first_clip_is_first_until_another_was_sent(cast):
    before = standing_of(cast.client, at=NOON).is_first_clip
    f.SubmissionFactory(client=cast.client)

    assert (before, standing_of(cast.client, at=NOON).is_first_clip) == (True, False)


def test_a_withdrawn_clip_leaves_the_next_one_the_first(cast):
    f.SubmissionFactory(client=cast.client, state=SubmissionState.WITHDRAWN)

    assert standing_of(cast.client, at=NOON).is_first_clip


def test_question_uses_the_practice_promise_for_questions(cleared):
    cleared.practice.question_promise_hours = 30
    cleared.practice.save()

    asked = submit(cleared, kind=QUESTION, text="How deep?", at=NOON)

    assert asked.due_at == NOON + 30 * HOUR


def test_question_on_friday_is_promised_for_the_working_week(cleared):
    cleared.practice.working_days = [0, 1, 2, 3, 4]
    cleared.practice.save()
    friday = NOON + datetime.timedelta(days=2)

    assert submit(cleared, kind=QUESTION, text="How deep?", at=friday).due_at == friday + 96 * HOUR


def test_pain_does_not_wait_for_the_working_week(cleared):
    cleared.practice.working_days = [0]
    cleared.practice.save()
    hurt(cleared, during=7)

    assert submit(cleared, kind=QUESTION, text="How deep?", at=NOON).due_at == NOON + 12 * HOUR


def test_waiting_submission_rises_after_news_of_pain_and_says_why(cleared):
    waiting = submit(cleared, kind=QUESTION, text="How deep?", at=NOON)
    hurt(cleared, during=7)

    assert raise_all_lanes(at=NOON + HOUR) == 1

    waiting.refresh_from_db()
    assert (waiting.lane, waiting.lane_reason, waiting.due_at) == (
        Lane.PAIN_HIGH,
        "Pain 7 of 10 this week.",
        NOON + 13 * HOUR,
    )


def test_raising_twice_changes_nothing_more(cleared):
    submit(cleared, kind=QUESTION, text="How deep?", at=NOON)
    hurt(cleared, during=7)
    raise_all_lanes(at=NOON + HOUR)

    assert raise_all_lanes(at=NOON + 2 * HOUR) == 0


def test_queue_order_is_warning_signs_then_earliest_promise_whatever_the_lane(cast):
    late_form = f.SubmissionFactory(client=cast.client, lane=Lane.FORM, due_at=NOON - HOUR)
    pain = f.SubmissionFactory(client=cast.client, lane=Lane.PAIN_HIGH, due_at=NOON + HOUR)
    sign = f.SubmissionFactory(client=cast.client, lane=Lane.RED_FLAG, due_at=NOON + 9 * HOUR)

    assert list(Submission.objects.waiting().in_queue_order()) == [sign, late_form, pain]
