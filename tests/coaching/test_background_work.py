"""What was set aside: for the owner of the practice it belongs to, in words, with something to do about it."""

import ast
import datetime
from pathlib import Path

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.choices import Role
from coaching.domain.background_work import label_of, reason_in_words
from jobs import registry
from jobs.choices import JobState
from jobs.models import Job
from jobs.setting_aside import DIED
from tests import factories as f

pytestmark = pytest.mark.django_db

ROOT = Path(__file__).parents[2]
ROOMS = ["clients", "programs", "submissions", "coaching"]
PAGE = "background-work"


@pytest.fixture
def ours(cast) -> Job:
    return f.SetAsideJobFactory(practice_id=cast.practice.pk)


def page_of(browser, **query: object) -> str:
    return browser.get(reverse(PAGE), query).content.decode()


def test_owner_reads_what_failed_why_and_how_often(signed_in, cast, ours):
    page = page_of(signed_in(cast.owner))

    for words in ("Sending a letter", "A file could not be read or written", "Tried 5 times", "OSError at smtp.py:12"):
        assert words in page


def test_page_of_a_practice_where_all_was_done_says_so(signed_in, cast):
    f.SetAsideJobFactory(practice_id=cast.practice.pk, state=JobState.DONE, last_error="")

    assert "Everything was done" in page_of(signed_in(cast.owner))


def test_owner_elsewhere_sees_nothing_of_it(signed_in, cast, ours):
    elsewhere = f.MembershipFactory(practice=cast.other_practice, role=Role.OWNER).user

    page = page_of(signed_in(elsewhere))

    assert (str(ours.uuid) in page, "Everything was done" in page) == (False, True)


@pytest.mark.parametrize("act", ["try-job-again", "job-seen"])
def test_owner_elsewhere_can_do_nothing_about_it(signed_in, cast, ours, act):
    elsewhere = f.MembershipFactory(practice=cast.other_practice, role=Role.OWNER).user

    answer = signed_in(elsewhere).post(reverse(act, args=[ours.uuid]))

    ours.refresh_from_db()
    assert (answer.status_code, ours.state, ours.seen_at) == (404, JobState.FAILED, None)


def test_former_owner_has_no_page(signed_in, cast, ours):
    owner = f.MembershipFactory(practice=cast.practice, role=Role.OWNER, ended_at=timezone.now()).user

    assert signed_in(owner).get(reverse(PAGE)).status_code == 404


def test_job_is_tried_again_once_however_often_the_button_is_pressed(signed_in, cast, ours):
    browser = signed_in(cast.owner)
    where = reverse("try-job-again", args=[ours.uuid])

    first = browser.post(where, follow=True).content.decode()
    Job.objects.update(attempts=1)
    second = browser.post(where, follow=True).content.decode()

    ours.refresh_from_db()
    assert ("It is being tried again" in first, "not set aside any more" in second) == (True, True)
    assert (ours.state, ours.attempts, ours.all_attempts) == (JobState.QUEUED, 1, 6)


def test_job_that_is_seen_stays_on_the_page_and_can_be_tried_again(signed_in, cast, ours):
    browser = signed_in(cast.owner)
    browser.post(reverse("job-seen", args=[ours.uuid]))

    page = page_of(browser)

    assert ("seen " in page, reverse("try-job-again", args=[ours.uuid]) in page) == (True, True)
    assert reverse("job-seen", args=[ours.uuid]) not in page


def test_what_nobody_has_seen_comes_first(signed_in, cast, ours):
    seen = f.SetAsideJobFactory(
        practice_id=cast.practice.pk, finished_at=f.NOON + datetime.timedelta(days=1), seen_at=timezone.now()
    )

    page = page_of(signed_in(cast.owner))

    assert page.index(str(ours.uuid)) < page.index(str(seen.uuid))


def test_long_list_is_paged(signed_in, cast):
    f.SetAsideJobFactory.create_batch(25, practice_id=cast.practice.pk)
    browser = signed_in(cast.owner)

    counts = [page_of(browser, page=number).count('id="job-') for number in (1, 2)]

    assert counts == [20, 5]


def test_page_asks_the_database_as_often_for_many_as_for_one(signed_in, cast, ours, django_assert_max_num_queries):
    browser = signed_in(cast.owner)
    with django_assert_max_num_queries(20) as one:
        page_of(browser)
    f.SetAsideJobFactory.create_batch(3, practice_id=cast.practice.pk)

    with django_assert_max_num_queries(20) as many:
        page_of(browser)

    assert len(many) == len(one)


# Work of the whole installation


def regular(**values: object) -> Job:
    now = timezone.now()
    return f.SetAsideJobFactory(**{"name": "submissions.sweep_files", "args": [], "finished_at": now} | values)


def test_work_for_all_practices_is_told_by_kind_without_details(signed_in, cast):
    regular(period="a")
    failed = regular(period="b")

    page = page_of(signed_in(cast.owner))

    assert "Clearing away files that nothing needs: failed 2 times" in page
    assert (failed.last_error in page, str(failed.uuid) in page) == (False, False)


def test_regular_work_that_was_done_since_is_in_order_again(signed_in, cast):
    now = timezone.now()
    regular(period="a", finished_at=now - datetime.timedelta(hours=1))
    regular(period="b", state=JobState.DONE, last_error="", finished_at=now)

    assert "Clearing away files" not in page_of(signed_in(cast.owner))


def test_owner_cannot_try_work_for_all_practices_again(signed_in, cast):
    assert signed_in(cast.owner).post(reverse("try-job-again", args=[regular().uuid])).status_code == 404


# On the way to the page


def test_navigation_leads_only_owners_there(signed_in, cast):
    pages = [signed_in(user).get(reverse("desk")).content.decode() for user in (cast.owner, cast.coach)]

    assert [reverse(PAGE) in page for page in pages] == [True, False]


def test_desk_of_the_owner_tells_what_was_set_aside_until_it_is_seen(signed_in, cast, ours):
    browser = signed_in(cast.owner)
    before = browser.get(reverse("desk")).content.decode()
    browser.post(reverse("job-seen", args=[ours.uuid]))

    after = browser.get(reverse("desk")).content.decode()

    assert ["could not be done" in page for page in (before, after)] == [True, False]


def test_desk_of_another_coach_tells_nothing_of_it(signed_in, cast, ours):
    assert "could not be done" not in signed_in(cast.coach).get(reverse("desk")).content.decode()


# Words


@pytest.mark.parametrize(
    ("error", "words"),
    [
        ("OSError at smtp.py:12", "A file could not be read or written"),
        ("SMTPRecipientsRefused at smtplib.py:901", "The mail server did not take the letter."),
        ("ZeroDivisionError at load.py:3", "Something went wrong in Purlin itself."),
        ("ZeroDivisionError", "Something went wrong in Purlin itself."),
        (DIED, "The process that worked on it ended each time"),
        ("The clip was taken back.", "The clip was taken back."),
    ],
)
def test_reason_is_told_in_words(error, words):
    assert reason_in_words(error).startswith(words)


def test_work_of_an_earlier_version_has_words_too():
    assert label_of("clients.no_longer_there") == "Work that this version does not know"


def test_every_task_says_what_it_does():
    assert [task.name for task in registry.every_task() if not task.label and not task.name.startswith("test.")] == []


def _requests_without_practice() -> list[str]:
    found = []
    for path in (path for room in ROOMS for path in (ROOT / room).rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text())):
            asks = isinstance(node, ast.Call) and ast.unparse(node.func) in {"jobs.request", "jobs.ensure"}
            if asks and "practice" not in {keyword.arg for keyword in node.keywords}:
                found.append(f"{path.relative_to(ROOT)}:{node.lineno}")
    return found


def test_every_request_for_work_says_whose_business_it_is():
    assert _requests_without_practice() == []
