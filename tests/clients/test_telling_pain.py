"""Telling pain page by page: warning signs, then soreness, then how much; what is left half-way is not lost."""

import datetime

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from clients.choices import SORENESS, Area, PainQuestion, Side, SinceWhen
from clients.domain.pain import may_be_soreness, opened_groups, report_pain, tell_again
from clients.domain.screening import record_clearance
from clients.domain.telling_pain import (
    answer_how_much,
    answer_next_morning,
    answer_no_warning_sign,
    answer_soreness,
    awaiting_answers,
    awaiting_morning,
    next_question,
)
from clients.models import PainReport, RedFlagReport
from methods.pain import PainAction
from methods.referral import ReferFirst
from tests import factories as f

AT = f.NOON
DAY = datetime.timedelta(days=1)
WHERE = {"area": "knee", "side": "left", "since": "days", "after_blow": "no", "pin_point": "no"}
MILD = {"is_usual": "yes", "level": "3", "in_joint": "no", "sharp": "no", "hours": "48"}


@pytest.fixture
def trainee(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return cast.client


@pytest.fixture
def page(trainee, signed_in):
    return signed_in(trainee.user)


def begin(client, **told) -> PainReport:
    told = {"area": "knee", "side": "left", "after_blow": False, "pin_point": False} | told
    return report_pain(client, **told, on=AT.date(), by=client.user, at=AT)


def standing() -> PainReport:
    return PainReport.objects.current().get()


def of(page: str, report: PainReport | None = None) -> str:
    return reverse(page, args=[(report or standing()).uuid])


# Page by page


def test_whoever_stops_after_the_first_page_has_told_where_and_holds_progression(page, trainee):
    response = page.post(reverse("report-pain"), WHERE)

    report = standing()
    assert response["Location"] == of("pain-soreness")
    assert (report.since, report.action, report.during) == (SinceWhen.DAYS, PainAction.PENDING, None)
    assert "Is it your usual muscle soreness?" in page.get(reverse("my-home")).content.decode()


def test_pain_is_told_to_the_end(page, trainee):
    page.post(reverse("report-pain"), WHERE)
    page.post(of("pain-soreness"), {"is_usual": "no"})
    response = page.post(of("pain-how-much"), {"during": "4", "after": "", "note": "On the way down."})

    report = standing()
    assert response["Location"] == of("pain-told")
    assert (report.during, report.after, report.note, report.said_soreness) == (4, None, "On the way down.", False)
    assert awaiting_morning(trainee) == [report]


@pytest.mark.parametrize("left_out", sorted(WHERE))
def test_nothing_is_kept_while_the_first_page_is_incomplete(page, left_out):
    response = page.post(reverse("report-pain"), WHERE | {left_out: ""})

    assert (response.status_code, list(response.context["form"].errors)) == (422, [left_out])
    assert not PainReport.objects.exists()


@pytest.mark.parametrize(
    ("told", "opened"),
    [
        ({"area": "chest"}, ["CARD"]),
        ({"area": "head"}, ["NEURO", "HEAD"]),
        ({"area": "groin"}, ["CES"]),
        ({"area": "calf"}, ["VTE"]),
        ({"after_blow": "yes"}, ["TRAUMA"]),
        ({"pin_point": "yes"}, ["BONE"]),
        ({"area": "jaw", "after_blow": "yes"}, ["CARD", "HEAD", "TRAUMA"]),
    ],
)
def test_areas_that_need_it_open_their_warning_signs_before_anything_else(page, told, opened):
    response = page.post(reverse("report-pain"), WHERE | told, follow=True)

    assert response.redirect_chain[-1][0] == of("pain-warning-signs")
    assert [group.code for group in response.context["first_groups"]] == opened


def test_pregnancy_opens_its_warning_signs_wherever_it_hurts(trainee):
    screening_says(trainee, ReferFirst.PREGNANT)

    assert opened_groups(begin(trainee)) == ("PREG",)


def test_silence_on_warning_signs_is_asked_again_and_never_a_no(page):
    page.post(reverse("report-pain"), WHERE | {"area": "calf"})

    response = page.post(of("pain-warning-signs"), {})

    assert (response.status_code, response.context["red_flags_unanswered"]) == (422, True)
    assert standing().flags_asked is None


def test_ticked_warning_sign_stops_locks_and_stands_in_the_report(page):
    page.post(reverse("report-pain"), WHERE | {"area": "calf"})

    response = page.post(of("pain-warning-signs"), {"red_flags": ["vte.calf"]})

    assert response["Location"] == reverse("stop-and-seek-care")
    assert RedFlagReport.objects.locking().count() == 1
    assert standing().action == PainAction.STOP_REFER


def test_no_warning_sign_leads_on_to_soreness(page):
    page.post(reverse("report-pain"), WHERE | {"area": "calf"})

    response = page.post(of("pain-warning-signs"), {"red_flags_none": "yes"})

    assert response["Location"] == of("pain-soreness")


def test_page_of_an_earlier_version_goes_on_with_the_newest(page):
    page.post(reverse("report-pain"), WHERE)
    first = standing()
    page.post(of("pain-soreness"), {"is_usual": "no"})

    response = page.post(of("pain-how-much", first), {"during": "2", "after": "1"})

    assert response["Location"] == of("pain-told")
    assert PainReport.objects.current().count() == 1


def test_answered_page_opened_again_changes_nothing(page, trainee):
    report = begin(trainee, during=3)

    for name in ("pain-soreness", "pain-how-much"):
        assert page.post(of(name, report), MILD | {"during": "0"})["Location"] == of("pain-told", report)
    assert PainReport.objects.count() == 1


def test_all_warning_signs_can_be_told_without_telling_where(page, trainee):
    response = page.post(reverse("warning-signs"), {"red_flags": ["rhabdo.urine"]})

    assert response["Location"] == reverse("stop-and-seek-care")
    assert RedFlagReport.objects.locking().exists()


# Soreness


def test_usual_soreness_is_kept_and_asks_for_no_morning(page, trainee):
    page.post(reverse("report-pain"), WHERE)

    response = page.post(of("pain-soreness"), MILD, follow=True)

    report = standing()
    assert "Usual soreness" in response.content.decode()
    assert (report.is_soreness, report.action, report.soreness_level) == (True, SORENESS, 3)
    assert awaiting_morning(trainee) == []
    assert awaiting_answers(trainee, on=report.on) == []
    assert not PainReport.objects.pains().exists()


@pytest.mark.parametrize(
    "more",
    [
        {"level": "6"},
        {"in_joint": "yes"},
        {"sharp": "yes"},
        {"hours": "73"},
        {"hours": ""},
        {"level": ""},
        {"in_joint": ""},
        {"sharp": ""},
    ],
    ids=str,
)
def test_soreness_that_is_not_soreness_takes_the_pain_path(page, more):
    page.post(reverse("report-pain"), WHERE)

    response = page.post(of("pain-soreness"), MILD | more)

    assert response["Location"] == of("pain-how-much")
    assert (standing().is_soreness, standing().action) == (False, PainAction.PENDING)


def test_soreness_can_become_pain_later_and_both_are_kept(trainee):
    sore = answer_soreness(
        begin(trainee), is_usual=True, level=2, in_joint=False, sharp=False, hours=24, by=trainee.user, at=AT
    )
    now_pain = tell_again(sore, during=4, by=trainee.user, at=AT + DAY)

    assert (now_pain.is_soreness, now_pain.action, now_pain.replaces) == (False, PainAction.PENDING, sore)


@pytest.mark.parametrize("told", [{"after_blow": True}, {"pin_point": True}, {"pin_point": None}, {"during": 1}])
def test_after_a_blow_on_a_bone_or_once_rated_nobody_is_asked_about_soreness(trainee, told):
    assert not may_be_soreness(begin(trainee, **told))


@pytest.mark.parametrize("group", sorted(ReferFirst))
def test_whoever_asks_a_professional_first_is_stopped_and_never_sore(trainee, group):
    screening_says(trainee, group)

    report = begin(trainee, flags_asked=True)
    said = answer_soreness(report, is_usual=True, level=0, in_joint=False, sharp=False, hours=1, by=trainee.user, at=AT)

    assert (report.action, said.action, said.is_soreness) == (PainAction.STOP_REFER, PainAction.STOP_REFER, False)


@pytest.mark.django_db
@settings(max_examples=40)
@given(
    level=st.none() | st.integers(0, 10),
    in_joint=st.none() | st.booleans(),
    sharp=st.none() | st.booleans(),
    hours=st.none() | st.sampled_from([24, 48, 72, 73]),
    area=st.sampled_from(Area.values),
)
def test_soreness_is_only_what_the_rule_lets_pass(level, in_joint, sharp, hours, area):
    with transaction.atomic():
        client = f.ClientFactory()
        said = answer_soreness(
            begin(client, area=area),
            is_usual=True,
            level=level,
            in_joint=in_joint,
            sharp=sharp,
            hours=hours,
            by=client.user,
            at=AT,
        )
        passes = level is not None and level <= 5 and in_joint is False and sharp is False and hours in {24, 48, 72}
        opens = bool(opened_groups(said))
        transaction.set_rollback(True)

    assert said.is_soreness is (passes and not opens)


def test_database_refuses_soreness_that_was_rated_as_pain(trainee):
    with pytest.raises(IntegrityError), transaction.atomic():
        f.PainReportFactory(client=trainee, is_soreness=True, said_soreness=True, during=2)


# A blow is a new injury


def test_blow_stops_and_refers_until_a_professional_has_looked(trainee, cast):
    report = begin(trainee, after_blow=True)
    asked = answer_no_warning_sign(report, by=trainee.user, at=AT)
    assert (asked.action, asked.refer, next_question(asked)) == (PainAction.STOP_REFER, True, None)

    record_clearance(
        trainee,
        clinician_role="Physician",
        given_on=AT.date() + DAY,
        expires_on=AT.date() + 90 * DAY,
        ceiling="light",
        limits="None.",
        by=cast.coach,
        at=AT + 2 * DAY,
    )
    assert answer_how_much(asked, during=1, after=0, by=trainee.user, at=AT + 2 * DAY).action == PainAction.PENDING


# The morning and the weeks


def test_morning_asks_for_what_was_left_out_and_completes_it(page, trainee):
    report = begin(trainee, during=2)

    form = page.get(of("pain-morning", report)).context["form"]
    assert list(form.fields) == ["next_morning", "after"]

    page.post(of("pain-morning", report), {"next_morning": "usual", "after": "1"})
    assert (standing().next_morning, standing().after, standing().during) == ("usual", 1, 2)


def test_raised_morning_reduces_in_the_first_week_too(trainee):
    raised = answer_next_morning(begin(trainee, during=1), next_morning="raised", after=1, by=trainee.user, at=AT + DAY)

    assert raised.action == PainAction.REDUCE


def test_first_week_of_an_area_says_so_and_holds_progression(page, trainee):
    told = answer_next_morning(begin(trainee, during=1), next_morning="usual", after=0, by=trainee.user, at=AT + DAY)

    assert told.action == PainAction.PENDING
    assert "first week" in page.get(of("pain-told", told)).content.decode()


def test_report_itself_counts_into_its_week(trainee):
    week_before = AT - 8 * DAY
    report_pain(trainee, area="knee", side="left", during=1, on=week_before.date(), by=trainee.user, at=week_before)
    worse = begin(trainee, during=2)

    assert answer_next_morning(worse, next_morning="usual", after=0, by=trainee.user, at=AT).action == PainAction.REDUCE


def test_correction_to_another_place_keeps_nothing_but_the_day_and_the_words(trainee):
    report = begin(trainee, during=2, after=1, note="Stairs.", flags_asked=True)
    told = answer_next_morning(report, next_morning="usual", by=trainee.user, at=AT + DAY)

    moved = tell_again(told, side="right", by=trainee.user, at=AT + DAY)

    assert (moved.on, moved.note, moved.side) == (told.on, "Stairs.", Side.RIGHT)
    assert (moved.during, moved.next_morning, moved.flags_asked) == (None, "", None)


def test_reports_older_than_two_weeks_ask_no_more(trainee):
    report = begin(trainee)

    assert awaiting_answers(trainee, on=report.on) == [(report, PainQuestion.SORENESS)]
    assert awaiting_answers(trainee, on=report.on + 14 * DAY) == []


# Travelling


def test_emergency_number_follows_the_client_abroad_and_home_again(page, trainee):
    trainee.country = "US"
    trainee.save(update_fields=["country"])
    today = timezone.localdate(timezone=trainee.zone)

    page.post(reverse("where-i-am"), {"country": "NZ", "until": today.isoformat()})
    assert page.get(reverse("stop-and-seek-care")).context["number"] == "111"
    assert page.get(reverse("report-pain")).context["number"] == "111"

    trainee.refresh_from_db()
    assert trainee.country_on(today + DAY) == "US"
    page.post(reverse("where-i-am"), {"home": "yes"})
    assert page.get(reverse("stop-and-seek-care")).context["number"] == "911"


def test_another_number_can_be_looked_up_without_storing_anything(page, trainee):
    assert page.get(reverse("stop-and-seek-care"), {"country": "JP"}).context["number"] == "119"
    assert page.get(reverse("stop-and-seek-care"), {"country": ""}).context["number"] is None
    trainee.refresh_from_db()
    assert trainee.away_until is None


def test_day_that_is_over_is_no_day_to_be_away(page):
    response = page.post(reverse("where-i-am"), {"country": "NZ", "until": "2020-01-01"})

    assert (response.status_code, list(response.context["form"].errors)) == (422, ["until"])


def screening_says(client, group) -> None:
    inputs = {"regular": True, "symptoms": False, "disease": False, "refer_first": [group.value], "desired": "light"}
    client_screening = f.ScreeningFactory.build().__class__.objects.current().get(client=client)
    client_screening.__class__.objects.filter(pk=client_screening.pk).update(is_current=False)
    f.ScreeningFactory(client=client, inputs=inputs, replaces=client_screening)
