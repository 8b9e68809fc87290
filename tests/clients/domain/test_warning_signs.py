"""Who is woken by a warning sign and when, and that pain with one, or of an excluded group, never goes on."""

import datetime

import pytest
import time_machine
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

import jobs
from clients.choices import Area, AssignmentKind, PainQuestion
from clients.domain.notices import tell_owners_of_unopened
from clients.domain.pain import ask_next_morning, report_pain
from clients.domain.safety import require_start
from clients.domain.screening import record_clearance, report_red_flags
from clients.domain.telling_pain import (
    answer_next_morning,
    answer_no_warning_sign,
    awaiting_answers,
    awaiting_morning,
    next_question,
)
from clients.errors import Locked
from clients.models import OutgoingMail, PainReport, RedFlagReport
from jobs.models import Job
from methods import red_flags
from methods.pain import PainAction, monitor_pain
from methods.referral import ReferFirst
from tests import factories as f

NIGHT = datetime.datetime(2026, 3, 1, 2, 30, tzinfo=datetime.UTC)
MINUTE = datetime.timedelta(minutes=1)
DAY = datetime.timedelta(days=1)
LOCKING = sorted(item.code for group in red_flags.GROUPS if group.locks for item in group.items)
STOPS = {PainAction.STOP_REFER}
RATINGS = st.none() | st.integers(0, 10)
MORNINGS = st.sampled_from(["usual", "raised", None])


@pytest.fixture(autouse=True)
def set_clock_of_jobs(monkeypatch):
    """PostgreSQL has one of its own, which no test sets."""
    monkeypatch.setattr("jobs.running.database_now", timezone.now)


@pytest.fixture
def trainee(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return cast.client


def letters() -> list[str]:
    return sorted(OutgoingMail.objects.exclude(sent_at=None).values_list("to", flat=True))


def test_lead_and_cover_get_their_letter_in_the_night_and_nobody_else(cast, trainee):
    cover = f.AssignmentFactory(client=trainee, kind=AssignmentKind.COVER)

    with time_machine.travel(NIGHT):
        report_red_flags(trainee, items=["card.chest"], source="pain", at=timezone.now())
        jobs.run_waiting()

        assert letters() == sorted([cast.coach.email, cover.coach.user.email])


def test_unopened_warning_sign_wakes_the_owner_after_the_settled_time_and_once(cast, trainee):
    with time_machine.travel(NIGHT, tick=False) as clock:
        report = report_red_flags(trainee, items=["card.chest"], source="pain", at=timezone.now())
        clock.shift(59 * MINUTE)
        jobs.run_waiting()
        assert cast.owner.email not in letters()

        clock.shift(2 * MINUTE)
        jobs.run_waiting()
        jobs.run_waiting()

    assert letters().count(cast.owner.email) == 1
    assert report is not None


def test_opened_warning_sign_wakes_no_owner(cast, trainee):
    report = report_red_flags(trainee, items=["mind.harm"], source="pain", at=NIGHT)
    RedFlagReport.objects.filter(pk=report.pk).update(seen_by=cast.coach, seen_at=NIGHT + MINUTE)

    tell_owners_of_unopened(report.pk)

    assert not OutgoingMail.objects.filter(to=cast.owner.email).exists()


@pytest.mark.parametrize("column", sorted(RedFlagReport.fact_columns_set_once))
def test_who_opened_or_lifted_a_warning_sign_first_is_kept(cast, trainee, column):
    report = report_red_flags(trainee, items=["card.chest"], source="pain", at=NIGHT)
    rows = RedFlagReport.objects.filter(pk=report.pk)
    clearance = f.ClearanceFactory(client=trainee)
    rows.update(seen_by=cast.coach, seen_at=NIGHT + MINUTE, lifted_by=clearance)
    other = {
        "seen_by_id": cast.owner.pk,
        "seen_at": NIGHT + DAY,
        "lifted_by_id": f.ClearanceFactory(client=trainee).pk,
    }

    for changed in (other[column], None):
        with pytest.raises(IntegrityError, match="guard: set once and kept"), transaction.atomic():
            rows.update(**{column: changed})


@pytest.mark.parametrize("code", ["card.chest", "mind.harm"])
def test_reading_the_page_leaves_a_warning_sign_covered_and_unopened(cast, trainee, signed_in, code):
    report = report_red_flags(trainee, items=[code], source="pain", at=NIGHT)
    page, words = reverse("client-safety", args=[trainee.uuid]), red_flags.ITEM_BY_CODE[code].words

    signed_in(cast.coach).head(page)
    read = signed_in(cast.coach).get(page)
    asked = signed_in(cast.coach).get(reverse("open-warning-signs", args=[trainee.uuid]))

    report.refresh_from_db()
    assert (report.seen_at, asked.status_code, words in read.content.decode()) == (None, 405, False)
    tell_owners_of_unopened(report.pk)
    assert OutgoingMail.objects.filter(to=cast.owner.email).exists()


@pytest.mark.parametrize("code", ["card.chest", "mind.harm"])
def test_opening_a_warning_sign_keeps_who_was_first_and_shows_it(cast, trainee, signed_in, code):
    report = report_red_flags(trainee, items=[code], source="pain", at=NIGHT)
    opening, words = reverse("open-warning-signs", args=[trainee.uuid]), red_flags.ITEM_BY_CODE[code].words

    shown = signed_in(cast.coach).post(opening, follow=True)
    signed_in(cast.owner).post(opening)

    report.refresh_from_db()
    assert (report.seen_by, words in shown.content.decode()) == (cast.coach, True)


def test_letters_about_warning_signs_and_mornings_say_nothing_about_health(trainee):
    report = report_red_flags(trainee, items=["card.chest", "mind.harm"], source="pain", at=NIGHT)
    pain = report_pain(trainee, area="chest", side="left", during=4, on=NIGHT.date(), by=trainee.user, at=NIGHT)
    tell_owners_of_unopened(report.pk)
    ask_next_morning(pain.pk)

    written = " ".join(f"{mail.subject} {mail.body}" for mail in OutgoingMail.objects.all()).lower()

    assert not [word for word in ("chest", "pain", "harm", "heart", "warning", trainee.name.lower()) if word in written]


def test_next_morning_is_asked_by_letter_at_seven_on_the_clients_clock_and_once(trainee):
    trainee.time_zone = "Pacific/Auckland"
    trainee.email = "trainee@client.test"
    trainee.save(update_fields=["time_zone", "email"])
    with time_machine.travel(NIGHT, tick=False) as clock:
        today = timezone.localdate(timezone=trainee.zone)
        report = report_pain(trainee, area="knee", side="left", during=2, on=today, by=trainee.user, at=NIGHT)
        seven = datetime.datetime.combine(today + DAY, datetime.time(7), tzinfo=trainee.zone)
        clock.move_to(seven - MINUTE)
        jobs.run_waiting()
        assert letters() == []

        clock.move_to(seven + MINUTE)
        jobs.run_waiting()
        jobs.run_waiting()

    assert letters() == [trainee.email]
    assert [row.pk for row in awaiting_morning(trainee)] == [report.pk]


def test_morning_that_was_told_already_is_not_asked_for(trainee):
    report = report_pain(trainee, area="knee", side="left", during=2, on=NIGHT.date(), by=trainee.user, at=NIGHT)
    answer_next_morning(report, after=1, next_morning="usual", by=trainee.user, at=NIGHT + MINUTE)

    ask_next_morning(report.pk)

    assert not OutgoingMail.objects.exists()


@pytest.mark.parametrize(
    ("during", "after", "asked"), [(0, None, False), (0, 0, False), (0, 1, True), (None, None, True), (3, 0, True)]
)
def test_morning_is_asked_wherever_anything_hurt_during_or_after(trainee, during, after, asked):
    with time_machine.travel(NIGHT):
        report_pain(
            trainee, area="knee", side="left", during=during, after=after, on=NIGHT.date(), by=trainee.user, at=NIGHT
        )

    assert bool(awaiting_morning(trainee)) is asked
    assert Job.objects.filter(name="clients.ask_next_morning").exists() is asked


def test_a_later_nothing_hurts_leaves_the_earlier_morning_open(trainee):
    earlier = report_pain(trainee, area="knee", side="left", during=4, on=NIGHT.date(), by=trainee.user, at=NIGHT)
    report_pain(trainee, area="knee", side="left", during=0, on=NIGHT.date(), by=trainee.user, at=NIGHT + MINUTE)

    earlier.refresh_from_db()

    assert (earlier.is_current, earlier.action) == (True, PainAction.PENDING)
    assert [row.pk for row in awaiting_morning(trainee)] == [earlier.pk]


@given(
    during=RATINGS,
    after=RATINGS,
    morning=MORNINGS,
    change=st.none() | st.floats(-10, 10),
    red_flag=st.sampled_from([True, False, None]),
    groups=st.sets(st.sampled_from(list(ReferFirst))),
)
def test_table_never_goes_on_with_a_warning_sign_or_an_excluded_group(during, after, morning, change, red_flag, groups):
    decision = monitor_pain(during, after, morning, change, red_flag, groups)

    if red_flag or groups:
        assert decision.action in STOPS
    if red_flag is None or None in (during, after, morning, change):
        assert not decision.allows_progression


@pytest.mark.parametrize("group", sorted(ReferFirst))
def test_whoever_asks_a_professional_first_is_stopped_on_the_mildest_settled_pain(cast, group):
    client = cast.client
    f.ScreeningFactory(
        client=client,
        inputs={"regular": True, "symptoms": False, "disease": False, "refer_first": [group.value], "desired": "light"},
    )

    assert _settled(client).action == PainAction.STOP_REFER


def _told_everywhere(client, **begun) -> set[tuple[str, str]]:
    """Where, and what the table answered to the mildest pain with nothing else left open."""
    told = {"side": "left", "during": 0, "after": 1, "next_morning": "usual", "flags_asked": True} | begun
    reports = [report_pain(client, area=a, on=NIGHT.date(), by=client.user, at=NIGHT, **told) for a in Area.values]
    return {(report.area, report.action) for report in reports}


EVERYWHERE = {(area, PainAction.STOP_REFER.value) for area in Area.values}


@pytest.mark.parametrize("group", sorted(ReferFirst))
def test_excluded_group_is_stopped_in_every_area(cast, group):
    inputs = {"regular": True, "symptoms": False, "disease": False, "refer_first": [group.value], "desired": "light"}
    f.ScreeningFactory(client=cast.client, inputs=inputs)

    assert _told_everywhere(cast.client) == EVERYWHERE


@pytest.mark.parametrize("asked", [True, None])
def test_locked_client_is_stopped_in_every_area_whatever_was_asked_of_it(trainee, asked):
    report_red_flags(trainee, items=["card.chest"], source="pain", at=NIGHT)

    assert _told_everywhere(trainee, flags_asked=asked, **GENTLY) == EVERYWHERE


def test_blow_is_stopped_in_every_area(trainee):
    assert _told_everywhere(trainee, after_blow=True) == EVERYWHERE


@pytest.mark.parametrize("code", LOCKING)
def test_every_physical_warning_sign_locks_and_only_a_later_clearance_opens(cast, trainee, code):
    report_red_flags(trainee, items=[code], source="pain", at=NIGHT)
    assert _settled(trainee).action == PainAction.STOP_REFER
    with pytest.raises(Locked):
        require_start(trainee, on=NIGHT.date())

    _clear(trainee, on=NIGHT.date() - DAY, by=cast.coach)
    assert RedFlagReport.objects.of(trainee).locking().exists()

    _clear(trainee, on=NIGHT.date() + DAY, by=cast.coach)
    assert not RedFlagReport.objects.of(trainee).locking().exists()


@pytest.mark.parametrize(
    ("given", "opens"),
    [(NIGHT - MINUTE, False), (NIGHT, False), (NIGHT + MINUTE, True), (None, False)],
    ids=["before", "at the same moment", "after", "at an untold time"],
)
def test_clearance_of_the_same_day_opens_only_what_was_ticked_before_it(cast, trainee, given, opens):
    report_red_flags(trainee, items=["card.chest"], source="pain", at=NIGHT)
    day = NIGHT.astimezone(trainee.zone).date()

    _clear(trainee, on=day, by=cast.coach, time=given and given.astimezone(trainee.zone).time())

    assert RedFlagReport.objects.of(trainee).locking().exists() is not opens


@pytest.mark.parametrize(("slug", "refers"), [("", True), ("squat", True), ("press", False)])
def test_second_stop_of_the_same_movement_or_area_sends_to_a_professional(trainee, slug, refers):
    told = {"area": "knee", "side": "left", "during": 7, "by": trainee.user, "at": NIGHT}
    first = report_pain(trainee, **told, movement_slug="squat", on=NIGHT.date() - DAY)
    second = report_pain(trainee, **told, movement_slug=slug, on=NIGHT.date())
    corrected = report_pain(trainee, **told, movement_slug="squat", on=first.on, replaces=first)

    assert (first.refer, second.refer, corrected.refer) == (False, refers, False)


def test_thoughts_of_self_harm_lock_nothing_and_ask_for_no_clearance(trainee):
    report_red_flags(trainee, items=["mind.harm"], source="pain", at=NIGHT)

    assert require_start(trainee, on=NIGHT.date()).clearance is None


GENTLY = {"after_blow": False, "pin_point": False}
OPENING = sorted(area for area in Area.values if red_flags.areas_opening_red_flags(area))


def test_area_with_unasked_warning_signs_never_goes_on_whatever_was_told(trainee):
    """Every area, over the corners of the table's zones, with the blow and the point of bone asked, the signs not."""
    goes_on = set()
    for area in sorted(Area.values):
        for during, after in ((0, 0), (5, 2), (2, 5)):
            report = _settled(trainee, area=area, during=during, after=after, told=4, **GENTLY)
            if report.action.startswith("continue"):
                goes_on.add(area)
            else:
                assert next_question(report) == PainQuestion.WARNING_SIGNS

    assert goes_on == set(Area.values) - set(OPENING)


@pytest.mark.parametrize("unasked", [{}, {"after_blow": False}, {"pin_point": False}])
def test_a_blow_or_a_point_of_bone_nobody_asked_about_never_goes_on(trainee, unasked):
    report = _settled(trainee, **unasked)

    assert report.action == PainAction.PENDING
    assert next_question(report) == PainQuestion.WARNING_SIGNS
    assert answer_no_warning_sign(report, by=trainee.user, at=NIGHT + DAY).action == PainAction.CONTINUE


@pytest.mark.parametrize("area", OPENING)
def test_answered_warning_signs_let_the_table_speak_and_a_ticked_one_stops(trainee, area):
    settled = _settled(trainee, area=area)
    assert settled.action == PainAction.PENDING

    answered = answer_no_warning_sign(settled, by=trainee.user, at=NIGHT + DAY)
    assert answered.action == PainAction.CONTINUE
    assert answered not in [report for report, _question in awaiting_answers(trainee, on=answered.on)]

    report_red_flags(trainee, items=["card.chest"], source="pain", at=NIGHT + DAY)
    assert answer_no_warning_sign(answered, by=trainee.user, at=NIGHT + DAY).action == PainAction.STOP_REFER


def test_correction_to_another_area_asks_its_own_warning_signs(trainee):
    asked = report_pain(
        trainee, area="knee", side="left", during=1, on=NIGHT.date(), by=trainee.user, at=NIGHT, flags_asked=True
    )
    moved = report_pain(
        trainee, area="chest", side="left", during=1, on=NIGHT.date(), by=trainee.user, at=NIGHT, replaces=asked
    )

    assert next_question(moved) == PainQuestion.WARNING_SIGNS


def _settled(client, *, area="knee", during=1, after=0, told=1, **begun) -> PainReport:
    """A report (the mildest there is, if nothing else is said), with everything the table rates told."""
    where = {"area": area, "side": "left", "by": client.user} | begun
    report_pain(client, **where, during=told, on=NIGHT.date() - 8 * DAY, at=NIGHT - 8 * DAY)
    report = report_pain(client, **where, during=during, on=NIGHT.date(), at=NIGHT)
    return answer_next_morning(report, after=after, next_morning="usual", by=client.user, at=NIGHT + DAY)


def _clear(client, *, on, by, time=None):
    return record_clearance(
        client,
        clinician_role="Physician",
        given_on=on,
        given_time=time,
        expires_on=on + 90 * DAY,
        ceiling="light",
        limits="None.",
        by=by,
        at=NIGHT + 2 * DAY,
    )
