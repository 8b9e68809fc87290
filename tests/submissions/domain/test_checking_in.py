"""An arrived check-in waits for an answer; letters remind whoever has not told, once, on their own clock."""

import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo, available_timezones

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import jobs
from clients.domain.check_ins import latest_due_day, pause_reminders, set_check_in_habits
from clients.models import BodyMass, Client, OutgoingMail
from jobs.models import Job
from methods.wellness import MCLEAN_ITEMS
from submissions.choices import Lane, SubmissionState
from submissions.domain.checking_in import (
    Mass,
    Reminder,
    answer_check_in,
    current_check_in,
    mark_read,
    remind,
    reminder_at,
    request_reminders,
    send_check_in,
)
from submissions.errors import AlreadyReviewed, CheckInChanged, QuestionUnanswered
from submissions.models import Review, Submission
from tests import factories as f

SUNDAY = f.MONDAY + datetime.timedelta(days=6)
DAY = datetime.timedelta(days=1)
HOUR = datetime.timedelta(hours=1)
EVENING = datetime.datetime.combine(SUNDAY, datetime.time(19), datetime.UTC)
NOTHING = dict.fromkeys([*MCLEAN_ITEMS, "confidence"]) | {"activity": "", "note": "", "question": ""}
WORDS = {"verdict": "", "cue": "", "good": "", "message": "Thank you.", "notes": ()}
ZONES = sorted(available_timezones())


@pytest.fixture
def told(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return lambda **kwargs: tell(cast.client, **kwargs)


def tell(client, *, at=EVENING, seen=None, mass=None, **said):
    return send_check_in(client, NOTHING | said, mass=mass, due_on=SUNDAY, seen=seen, on=at.date(), at=at)


def test_arrived_check_in_waits_until_the_practice_promises_an_answer(cast, told):
    told(mood=4, question="Deload?")

    row = Submission.objects.get()
    assert (row.kind, row.lane, row.state, row.text) == ("check_in", Lane.ROUTINE, "waiting", "Deload?")
    assert row.due_at == EVENING + cast.practice.check_in_promise_hours * HOUR


def test_pressed_twice_waits_once(told):
    told(mood=4)
    told(mood=4)

    assert Submission.objects.count() == 1


def test_correction_joins_what_waits(told):
    first = told(mood=4, question="Deload?")

    second = told(at=EVENING + HOUR, seen=first.uuid, mood=2, question="Rest?")

    row = Submission.objects.get()
    assert (row.text, current_check_in(row)) == ("Rest?", second)


def test_correction_after_the_answer_waits_anew(cast, told):
    first = told(mood=4)
    mark_read(Submission.objects.get(), seen=first.uuid, reviewer=cast.coach, at=EVENING + HOUR)

    told(at=EVENING + 2 * HOUR, seen=first.uuid, mood=2)

    assert list(Submission.objects.order_by("pk").values_list("state", flat=True)) == ["answered", "waiting"]


def test_coach_who_marks_it_read_writes_no_letter_and_the_client_sees_when(cast, told):
    cast.client.email = "client@example.test"
    cast.client.save()
    first = told(mood=4)

    mark_read(Submission.objects.get(), seen=first.uuid, reviewer=cast.coach, at=EVENING + HOUR)

    review = Review.objects.get()
    assert (review.has_words, review.reviewer, review.sent_at) == (False, cast.coach, EVENING + HOUR)
    assert Submission.objects.get().state == SubmissionState.ANSWERED
    assert not Review.objects.with_words().exists()
    assert not OutgoingMail.objects.exists()


def test_reply_tells_the_client_without_a_word_of_it(cast, told):
    cast.client.email = "client@example.test"
    cast.client.save()
    first = told(mood=1, note="Cannot sleep.")

    answer_check_in(Submission.objects.get(), seen=first.uuid, reviewer=cast.coach, at=EVENING + HOUR, **WORDS)

    letter = OutgoingMail.objects.get()
    assert "sleep" not in letter.subject + letter.body
    assert "Thank you" not in letter.subject + letter.body


def test_question_wants_words(cast, told):
    first = told(mood=4, question="Deload?")

    with pytest.raises(QuestionUnanswered):
        mark_read(Submission.objects.get(), seen=first.uuid, reviewer=cast.coach, at=EVENING + HOUR)


@pytest.mark.parametrize(
    "answer", [mark_read, lambda *a, **k: answer_check_in(*a, **k, **WORDS)], ids=["read", "reply"]
)
def test_what_was_not_read_is_not_answered(cast, told, answer):
    first = told(mood=4)
    told(at=EVENING + HOUR, seen=first.uuid, mood=1)

    with pytest.raises(CheckInChanged):
        answer(Submission.objects.get(), seen=first.uuid, reviewer=cast.coach, at=EVENING + 2 * HOUR)

    assert Submission.objects.get().state == SubmissionState.WAITING


def test_second_coach_hears_that_it_was_read(cast, told):
    first = told(mood=4)
    row = Submission.objects.get()
    mark_read(row, seen=first.uuid, reviewer=cast.coach, at=EVENING + HOUR)

    with pytest.raises(AlreadyReviewed):
        mark_read(row, seen=first.uuid, reviewer=cast.owner, at=EVENING + HOUR)


@pytest.mark.parametrize(("hidden", "kept"), [(False, 1), (True, 0)])
def test_body_mass_is_kept_unless_the_coach_has_hidden_it(cast, told, hidden, kept):
    cast.client.body_mass_hidden = hidden

    told(mood=4, mass=Mass(Decimal(80), "kg"))

    assert BodyMass.objects.of(cast.client).count() == kept


# Reminders

TABLE = [
    (0, 8, None), (0, 9, Reminder.DUE), (0, 19, Reminder.DUE), (0, 20, None), (1, 12, None),
    (2, 9, Reminder.LATE), (4, 19, Reminder.LATE), (5, 12, None), (6, 12, None),
]  # fmt: skip


@pytest.mark.parametrize(("days", "hour", "kind"), TABLE)
@pytest.mark.parametrize("zone", ["UTC", "Pacific/Kiritimati", "America/St_Johns"])
def test_letters_go_out_by_day_and_at_most_twice(days, hour, kind, zone):
    here = datetime.datetime.combine(SUNDAY + days * DAY, datetime.time(hour, 30), ZoneInfo(zone))

    assert reminder_at(here.astimezone(datetime.UTC), zone=ZoneInfo(zone), weekday=6) == (
        None if kind is None else (SUNDAY, kind)
    )


@given(
    hours=st.integers(0, 24 * 365 * 3),
    zone=st.sampled_from(ZONES),
    weekday=st.integers(0, 6),
)
def test_every_week_of_every_zone_has_its_letters(hours, zone, weekday):
    """Half an hour apart, as the job runs: whatever clocks do, both are due, and each of one check-in day only."""
    start = datetime.datetime(2025, 1, 1, tzinfo=datetime.UTC) + hours * HOUR
    found = [reminder_at(start + n * HOUR / 2, zone=ZoneInfo(zone), weekday=weekday) for n in range(2 * 24 * 15)]
    told = {each for each in found if each}

    assert {kind for _day, kind in told} == set(Reminder)
    assert all(day.weekday() == weekday for day, _kind in told)
    assert len({day for day, _kind in told}) in {2, 3}


@pytest.fixture
def asked(cast):
    """Due today by the clock of the machine, at noon."""
    today = datetime.datetime.now(datetime.UTC).date()
    cast.client.email, cast.client.check_in_weekday = "client@example.test", today.weekday()
    cast.client.save()
    f.ConsentFactory(client=cast.client)
    return datetime.datetime.combine(today, datetime.time(12), datetime.UTC)


def test_reminder_is_written_once_however_often_it_is_asked_for(cast, asked):
    assert [request_reminders(at=asked + n * HOUR) for n in range(3)] == [1, 0, 0]
    for _ in range(2):
        jobs.run_waiting()

    job = Job.objects.get(name="submissions.remind_check_in")
    assert job.practice_id == cast.practice.pk
    assert job.args[1] == (asked.date() - asked.weekday() * DAY).isoformat()


def test_whoever_was_asked_for_or_has_told_costs_no_query_of_their_own(cast, asked, django_assert_max_num_queries):
    for told in (False, False, True):
        client = f.ClientFactory(practice=cast.practice, email="x@example.test", check_in_weekday=asked.weekday())
        f.ConsentFactory(client=client)
        if told:
            _told(client)
    assert request_reminders(at=asked) == 3

    with django_assert_max_num_queries(3):
        assert request_reminders(at=asked + HOUR) == 0


def test_letter_says_no_more_than_that_it_is_time(cast, asked):
    remind(cast.client.pk, asked.date() - asked.weekday() * DAY, at=asked)

    letter = OutgoingMail.objects.get()
    assert letter.to == "client@example.test"
    links = [line for line in letter.body.splitlines() if "http" in line]
    assert [link.rsplit("/", 2)[1] for link in links] == ["check-in", "check-ins"]


def _turned_off(client):
    client.check_in_reminders = False
    client.save()


def _letters_paused(client):
    pause_reminders(client, paused=True, by=f.UserFactory(), at=EVENING)


def _told(client):
    due_on = latest_due_day(datetime.datetime.now(datetime.UTC).date(), client.check_in_weekday)
    f.CheckInFactory(client=client, week=due_on - due_on.weekday() * DAY, due_on=due_on)


def _paused(client):
    client.state = "paused"
    client.save()


@pytest.mark.parametrize("change", [_turned_off, _letters_paused, _told, _paused], ids=["off", "held", "told", "away"])
def test_nobody_is_reminded_who_turned_it_off_is_held_back_has_told_or_is_away(cast, asked, change):
    change(cast.client)

    assert request_reminders(at=asked) == 0
    remind(cast.client.pk, asked.date() - asked.weekday() * DAY, at=asked)
    assert not OutgoingMail.objects.exists()


steps = st.lists(st.tuples(st.sampled_from(["wish", "pause"]), st.booleans()), max_size=5)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps)
def test_a_letter_needs_the_clients_wish_and_no_pause_in_whatever_order(cast, asked, steps):
    with transaction.atomic():
        wish, pause = True, False
        for what, value in steps:
            client = Client.objects.get(pk=cast.client.pk)
            if what == "wish":
                wish = value
                set_check_in_habits(client, weekday=client.check_in_weekday, reminders=value)
            else:
                pause = value
                pause_reminders(client, paused=value, by=cast.coach, at=asked)
        stored = Client.objects.get(pk=cast.client.pk)

        assert (stored.check_in_reminders, stored.reminders_paused_at is not None) == (wish, pause)
        assert stored.gets_check_in_letters == (wish and not pause)
        assert request_reminders(at=asked) == int(wish and not pause)
        transaction.set_rollback(True)


def test_paused_again_keeps_who_did_it_first(cast, asked):
    pause_reminders(cast.client, paused=True, by=cast.coach, at=asked)
    pause_reminders(cast.client, paused=True, by=f.UserFactory(), at=asked + DAY)

    cast.client.refresh_from_db()
    assert (cast.client.reminders_paused_at, cast.client.reminders_paused_by) == (asked, cast.coach)
