"""Asking for work."""

import datetime

import pytest
from django.db import transaction

import jobs
from jobs import delivery, requests
from jobs.choices import JobState
from jobs.models import Job


@pytest.mark.django_db
def test_request_outside_a_transaction_is_refused(calls):
    with pytest.raises(jobs.NotInTransaction):
        jobs.request("test.note", 1)


@pytest.mark.django_db
def test_request_of_an_unknown_task_is_refused():
    with transaction.atomic(), pytest.raises(jobs.UnknownTask):
        jobs.request("test.unheard_of")


@pytest.mark.django_db
@pytest.mark.parametrize("argument", [True, 1.5, None, {"name": "Ada"}, ["x"], "x" * 101])
def test_request_takes_nothing_but_ids(calls, argument):
    with transaction.atomic(), pytest.raises(jobs.BadArguments):
        jobs.request("test.note", argument)


@pytest.mark.django_db
def test_request_rolled_back_leaves_no_row(calls):
    def request_and_fail() -> None:
        with transaction.atomic():
            jobs.request("test.note", 1)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        request_and_fail()
    assert not Job.objects.exists()


@pytest.mark.django_db
def test_request_with_a_known_key_gives_the_first_row(calls):
    with transaction.atomic():
        first = jobs.request("test.note", 1, key="note 1")
    with transaction.atomic():
        second = jobs.request("test.note", 1, key="note 1")

    assert (second.pk, Job.objects.count()) == (first.pk, 1)


@pytest.mark.django_db
def test_request_with_a_key_that_is_done_does_not_run_again(calls):
    for _ in range(2):
        with transaction.atomic():
            jobs.request("test.note", 1, key="note 1")
        jobs.run_waiting()

    assert calls == [(1,)]


@pytest.mark.django_db
def test_request_with_another_jobs_key_is_refused(calls):
    with transaction.atomic():
        jobs.request("test.note", 1, key="note 1")
        with pytest.raises(jobs.BadArguments):
            jobs.request("test.note", 2, key="note 1")


@pytest.mark.django_db
def test_ensure_joins_a_run_that_still_waits(calls):
    for _ in range(3):
        with transaction.atomic():
            jobs.ensure("test.note", 7)

    assert Job.objects.count() == 1


@pytest.mark.django_db
def test_ensure_asks_again_once_the_run_has_started(own_tasks):
    def asks_meanwhile(number: int) -> None:
        if Job.objects.count() == 1:
            with transaction.atomic():
                jobs.ensure("test.asks", number)

    jobs.task("test.asks")(asks_meanwhile)
    with transaction.atomic():
        jobs.ensure("test.asks", 7)
    jobs.run_waiting()

    assert list(Job.objects.values_list("state", flat=True)) == [JobState.DONE, JobState.DONE]


@pytest.mark.django_db
@pytest.mark.parametrize("other", [(8,), (7, 8), ("7",), ()])
def test_ensure_does_not_join_a_run_about_something_else(calls, other):
    with transaction.atomic():
        jobs.ensure("test.note", 7)
        jobs.ensure("test.note", *other)

    assert Job.objects.count() == 2


@pytest.mark.django_db
def test_ensure_joins_no_run_that_has_failed_and_waits_for_its_next_try(own_tasks):
    jobs.task("test.fails")(lambda number: 1 / 0)
    with transaction.atomic():
        jobs.ensure("test.fails", 7)
    jobs.run_waiting()
    with transaction.atomic():
        jobs.ensure("test.fails", 7)

    assert list(Job.objects.order_by("pk").values_list("state", "attempts")) == [("queued", 1), ("queued", 0)]


@pytest.mark.django_db
def test_request_keeps_whose_business_it_is(calls):
    with transaction.atomic():
        jobs.request("test.note", 1, practice=3)
        jobs.ensure("test.note", 2, practice=4)
        jobs.request("test.note", 3)

    assert list(Job.objects.order_by("pk").values_list("practice_id", flat=True)) == [3, 4, None]


@pytest.mark.django_db
def test_ensure_for_earlier_moves_the_waiting_run_forward(calls, at):
    with transaction.atomic():
        jobs.ensure("test.note", 7, run_at=at + datetime.timedelta(hours=1))
        jobs.ensure("test.note", 7, run_at=at)

    assert Job.objects.get().run_at == at


@pytest.mark.django_db
def test_hint_is_sent_only_after_the_commit(calls, monkeypatch, django_capture_on_commit_callbacks):
    sent = []
    monkeypatch.setattr(requests, "hint", sent.append)
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        job = jobs.request("test.note", 1)
        before = list(sent)

    assert (before, sent) == ([], [job.pk])


@pytest.mark.django_db
def test_broken_broker_does_not_fail_the_request(calls, monkeypatch, django_capture_on_commit_callbacks):
    def refuse(*_args, **_options):
        raise ConnectionError("the broker is down")

    monkeypatch.setattr(delivery.run_job, "apply_async", refuse)
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        jobs.request("test.note", 1)

    assert Job.objects.get().state == JobState.QUEUED
