import uuid

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from clients.choices import ItemKind
from clients.models import RedFlagReport, Screening
from programs.choices import LoadKind, MaxSource
from programs.domain import baseline
from programs.models import BaselineRequest, BaselineRun, BaselineTest, NormDetail, ReferenceMax
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def browser(ready, cast, signed_in):
    place = f.PlaceFactory(client=ready)
    f.EquipmentItemFactory(place=place, kind=ItemKind.BAR, set_up_checked_on=timezone.localdate())
    intake = f.IntakeFactory(client=ready, finished_at=f.NOON)
    f.IntakeAnswerFactory(client=ready, intake=intake, question="born_on", value="1990-05-06")
    return signed_in(cast.client_user)


@pytest.fixture
def run(browser, ready):
    browser.post(reverse("start-baseline"), {"uuid": str(uuid.uuid4())})
    return BaselineRun.objects.get(client=ready)


def words(response):
    return " ".join(response.content.decode().split())


def url_of(run, code):
    return reverse("baseline-test", args=[run.uuid, code])


def signed_in_apart(user):
    """Beside the browser of somebody else."""
    browser = Browser()
    browser.force_login(user)
    return browser


def tell(browser, run, code="push-ups", **sent):
    told = {"uuid": str(uuid.uuid4()), "amount": "12", "ended_by": "reserve", "rir": "2", "way": "toes"}
    told |= {"planned_end": "reserve"} | sent
    return browser.post(url_of(run, code), {name: value for name, value in told.items() if value is not None})


# The client


def test_start_leads_to_the_list_and_a_second_start_to_the_same(browser, run):
    again = browser.post(reverse("start-baseline"), {"uuid": str(uuid.uuid4())})

    assert again.url == reverse("baseline-run", args=[run.uuid])
    assert BaselineRun.objects.count() == 1


def test_start_without_leave_to_train_says_why(ready, browser):
    f.RedFlagReportFactory(client=ready, locks=True)

    page = browser.post(reverse("start-baseline"), {"uuid": str(uuid.uuid4())}, follow=True)

    assert "Training is locked" in words(page)
    assert not BaselineRun.objects.exists()


def test_before_the_start_each_test_that_is_not_offered_says_why(browser):
    page = browser.get(reverse("my-baseline"))

    assert "Not at this place: Rings." in words(page) or "Not at this place: A waist-high bar." in words(page)
    assert "Strict pull-ups</strong>: " not in words(page)


def test_each_test_is_kept_when_sent_and_stands_in_the_list_later(browser, run):
    tell(browser, run)

    page = browser.get(reverse("baseline-run", args=[run.uuid]))

    assert [row.test.code for row in page.context["page"].told] == ["push-ups"]
    assert "12 reps (on the toes, 2 left)" in words(page)


def test_sent_twice_it_is_kept_once(browser, run):
    told_id = str(uuid.uuid4())

    for _ in range(2):
        assert tell(browser, run, uuid=told_id).status_code == 302

    assert BaselineTest.objects.count() == 1


def test_opened_again_it_shows_what_was_told_and_keeps_a_correction(browser, run):
    tell(browser, run)
    page = browser.get(url_of(run, "push-ups"))
    assert page.context["form"].initial["amount"] == 12

    tell(browser, run, amount="11")

    assert [row.repetitions for row in baseline.results_of(run)] == [11]


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ({"amount": ""}, "amount"),
        ({"amount": "7.5"}, "amount"),
        ({"amount": "-1"}, "amount"),
        ({"amount": "5000"}, "amount"),
        ({"ended_by": None}, "ended_by"),
        ({"way": None}, "way"),
        ({"ended_by": "stopped"}, "stopped_because"),
        ({"stopped_because": "grip"}, "ended_by"),
    ],
)
def test_what_is_missing_is_said_at_the_field(browser, run, sent, field):
    page = tell(browser, run, **sent)

    assert page.status_code == 422
    assert field in page.context["form"].errors
    assert not BaselineTest.objects.exists()


def test_sides_come_one_after_the_other(browser, run):
    sent = {"amount": "40", "ended_by": "reserve", "rir": None, "way": None}
    first = browser.get(url_of(run, "side-bridge")).context["page"].side
    tell(browser, run, "side-bridge", **sent)

    second = browser.get(url_of(run, "side-bridge")).context["page"].side
    tell(browser, run, "side-bridge", **sent)

    assert (first, second) == ("left", "right")
    assert "side-bridge" in [
        row.test.code for row in browser.get(reverse("baseline-run", args=[run.uuid])).context["page"].told
    ]


def test_left_out_with_a_reason(browser, run):
    url = url_of(run, "dead-hang")
    assert browser.post(url, {"leave_out": "yes", "uuid": str(uuid.uuid4())}).status_code == 422

    browser.post(url, {"leave_out": "yes", "uuid": str(uuid.uuid4()), "skip_reason": "tired"})

    assert "left out: too tired today" in words(browser.get(reverse("baseline-run", args=[run.uuid])))


@pytest.mark.parametrize(
    ("sent", "where"),
    [
        ({"hurt": "on"}, "report-pain"),
        ({"ended_by": "stopped", "stopped_because": "pain"}, "report-pain"),
        ({"ended_by": "stopped", "stopped_because": "dizzy"}, "warning-signs"),
        ({"ended_by": "stopped", "stopped_because": "chest"}, "stop-and-seek-care"),
    ],
)
def test_what_went_wrong_comes_before_the_next_test(browser, run, sent, where):
    assert tell(browser, run, **sent).url == reverse(where)


def test_pain_in_the_chest_locks_at_once(browser, run):
    tell(browser, run, ended_by="stopped", stopped_because="chest")

    assert RedFlagReport.objects.get().locks


def test_limit_is_offered_and_kept_with_a_vigorous_outcome(browser, run):
    assert "planned_end" in browser.get(url_of(run, "push-ups")).context["form"].fields

    tell(browser, run, planned_end="maximum", ended_by="maximum", rir="0")

    assert BaselineTest.objects.get().planned_end == "maximum"


def test_limit_is_not_even_asked_of_somebody_pregnant(ready, browser, run):
    screening = Screening.objects.get(client=ready)
    screening.is_current = False
    screening.save(update_fields=["is_current"])
    inputs = screening.inputs | {"refer_first": ["pregnant"]}
    newer = f.ScreeningFactory(client=ready, inputs=inputs, replaces=screening)
    f.ClearanceFactory(client=ready, screening=newer, ceiling="vigorous", given_on=timezone.localdate())

    page = browser.get(url_of(run, "push-ups"))
    sent = tell(browser, run, planned_end="maximum", ended_by="maximum")

    assert "planned_end" not in page.context["form"].fields
    assert [row.planned_end for row in BaselineTest.objects.all()] in ([], ["reserve"])
    assert sent.status_code in {302, 422}


def test_unknown_test_or_side_is_not_there(browser, run):
    assert browser.get(url_of(run, "no-such")).status_code == 404
    assert browser.get(url_of(run, "push-ups"), {"side": "left"}).status_code == 404


def test_finishing_needs_a_result_and_ends_the_run(browser, run):
    finish = reverse("finish-baseline", args=[run.uuid])
    browser.post(finish)
    run.refresh_from_db()
    assert run.finished_at is None

    tell(browser, run)
    page = browser.post(finish, follow=True)

    assert "12 reps" in words(page)
    assert page.context["run"] is None


def test_sex_for_tables_is_kept_and_taken_back(browser, ready):
    browser.post(reverse("baseline-tables"), {"sex": "female"})
    browser.post(reverse("baseline-tables"), {"sex": ""})
    browser.post(reverse("baseline-tables"), {"sex": "other"})

    assert [row.sex for row in NormDetail.objects.filter(client=ready).order_by("pk")] == ["female", ""]


def test_run_of_somebody_else_is_not_there(run, cast):
    other = signed_in_apart(cast.other_client_user)

    assert other.get(reverse("baseline-run", args=[run.uuid])).status_code == 404
    assert tell(other, run).status_code == 404


def _queries(browser, url):
    with CaptureQueriesContext(connection) as queries:
        assert browser.get(url).status_code == 200
    return len(queries)


def test_more_results_take_no_more_queries(browser, run):
    url = reverse("baseline-run", args=[run.uuid])
    tell(browser, run)
    few = _queries(browser, url)
    for code in ("dead-hang", "hollow-hold"):
        tell(browser, run, code, amount="20", rir=None, way="long" if code == "hollow-hold" else None)

    assert _queries(browser, url) == few
    assert len(baseline.results_of(run)) == 3


# What the coach asked


def test_coach_asks_and_the_first_page_shows_it_until_it_is_done(browser, ready, cast):
    coach = signed_in_apart(cast.coach)
    coach.post(reverse("ask-for-baseline", args=[ready.uuid]), {"words": "Before block two."})
    assert "asks for it" in words(browser.get(reverse("my-home")))
    assert "Before block two." in words(browser.get(reverse("my-baseline")))

    browser.post(reverse("start-baseline"), {"uuid": str(uuid.uuid4())})
    run = BaselineRun.objects.get()
    assert "Go on with your baseline" in words(browser.get(reverse("my-home")))
    tell(browser, run)
    browser.post(reverse("finish-baseline", args=[run.uuid]))

    home = words(browser.get(reverse("my-home")))
    assert "asks for it" not in home
    assert "Go on with your baseline" not in home


def test_coach_takes_the_request_back(ready, cast):
    coach = signed_in_apart(cast.coach)
    url = reverse("ask-for-baseline", args=[ready.uuid])
    coach.post(url, {"words": ""})

    coach.post(url, {"take_back": "yes"})

    assert [row.is_withdrawn for row in BaselineRequest.objects.order_by("pk")] == [False, True]


# The coach's page


@pytest.fixture
def press(ready):
    return f.MovementFactory(
        slug="press", revision__load_kind=LoadKind.EXTERNAL, revision__share=None, revision__share_basis=""
    ).current


def set_max(coach, client, **sent):
    said = {"movement": "Press", "source": "tested", "load": "60 kg", "of_what": "external", "on": "2026-03-02"}
    return coach.post(reverse("client-baseline", args=[client.uuid]), said | sent)


def test_coach_sees_results_and_why_there_is_no_norm(browser, run, ready, cast):
    tell(browser, run)

    page = words(signed_in_apart(cast.coach).get(reverse("client-baseline", args=[ready.uuid])))

    assert "12 reps" in page
    assert "No norm: the tables are of tests to the limit" in page


def test_coach_sets_a_maximum_and_takes_it_back(ready, cast, press):
    coach = signed_in_apart(cast.coach)
    assert set_max(coach, ready).status_code == 302
    assert "60 kg" in words(coach.get(reverse("client-baseline", args=[ready.uuid])))

    coach.post(reverse("take-back-max", args=[ReferenceMax.objects.get().uuid]))

    assert "None is set." in words(coach.get(reverse("client-baseline", args=[ready.uuid])))


def test_coach_sets_an_estimate(ready, cast, press):
    sent = {"source": "estimated", "load": "50", "repetitions": "5", "formula": "epley"}

    set_max(signed_in_apart(cast.coach), ready, **sent)

    row = ReferenceMax.objects.get()
    assert (row.source, row.formula, row.from_repetitions) == (MaxSource.ESTIMATED, "epley", 5)


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ({"movement": "Push the moon"}, "movement"),
        ({"load": ""}, "load"),
        ({"load": "80 %"}, "load"),
        ({"source": "estimated"}, "formula"),
        ({"on": "2999-01-01"}, "on"),
        ({"of_what": "system"}, "__all__"),
    ],
)
def test_maximum_that_cannot_be_is_said_at_the_field(ready, cast, press, sent, field):
    page = set_max(signed_in_apart(cast.coach), ready, **sent)

    assert page.status_code == 422
    assert field in page.context["form"].errors
