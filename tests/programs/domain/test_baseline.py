import datetime
import uuid
from dataclasses import replace
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from clients.choices import Area, Ceiling, ItemKind
from clients.errors import ConsentMissing, GuardianNeeded, Locked, ScreeningExpired
from clients.models import RedFlagReport
from programs.choices import BaselineEnd, BaselineSkip, BaselineState, BaselineStop, NormSex
from programs.domain import baseline
from programs.domain.baseline import Told
from programs.errors import BaselineConflict, BaselineNotOffered, MaximalNotAllowed, NothingTold, RunFinished
from programs.library.battery import BY_CODE
from programs.models import BaselineRequest, BaselineRun, BaselineTest, NormDetail
from tests import factories as f

pytestmark = pytest.mark.django_db
NOON, HOUR = f.NOON, datetime.timedelta(hours=1)


@pytest.fixture
def ready(cast):
    """A client who may start, up to vigorous effort, with a bar that was checked."""
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    f.EquipmentItemFactory(place__client=cast.client, kind=ItemKind.BAR)
    born(cast.client, "1990-05-06")
    return cast.client


def born(client, on):
    intake = f.IntakeFactory(client=client, finished_at=NOON)
    f.IntakeAnswerFactory(client=client, intake=intake, question="born_on", value=on)


@pytest.fixture
def run(ready):
    return started(ready)


def started(client, at=NOON):
    return baseline.start_run(client, uuid=uuid.uuid4(), by=client.user, at=at)


def push_ups(**changes):
    told = Told(
        uuid.uuid4(), "push-ups", repetitions=12, planned_end="reserve", ended_by="reserve", way="toes", rir=Decimal(2)
    )
    return replace(told, **changes)


def hang(**changes):
    return replace(Told(uuid.uuid4(), "dead-hang", seconds=30, planned_end="reserve", ended_by="reserve"), **changes)


def tell(run, told, at=NOON):
    return baseline.tell_test(run, told, by=run.client.user, at=at)


# Starting


@pytest.mark.parametrize(
    ("breaks", "error"),
    [
        (lambda client: f.RedFlagReportFactory(client=client, locks=True), Locked),
        (lambda client: f.ConsentFactory(client=client, action="withdrawn", at=NOON + HOUR), ConsentMissing),
        (lambda client: type(client).objects.filter(pk=client.pk).update(needs_guardian=True), GuardianNeeded),
    ],
)
def test_no_run_starts_without_leave_to_train(ready, breaks, error):
    breaks(ready)
    ready.refresh_from_db()

    with pytest.raises(error):
        started(ready)

    assert not BaselineRun.objects.exists()


def test_no_run_starts_after_the_screening_ran_out(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client, expires_on=NOON.date() - datetime.timedelta(days=1))

    with pytest.raises(ScreeningExpired):
        started(cast.client)


def test_run_under_way_is_gone_on_with(run):
    assert started(run.client, NOON + HOUR) == run
    assert BaselineRun.objects.count() == 1


def test_two_runs_under_way_are_refused_by_the_database(run):
    with pytest.raises(IntegrityError), transaction.atomic():
        f.BaselineRunFactory(client=run.client)


def test_run_of_somebody_else_is_not_gone_on_with(run, cast):
    with pytest.raises(BaselineConflict):
        baseline.start_run(cast.other_client, uuid=run.uuid, by=cast.other_client_user, at=NOON)


# Telling


def test_result_is_kept_on_the_clients_day(ready):
    type(ready).objects.filter(pk=ready.pk).update(time_zone="Pacific/Auckland")
    ready.refresh_from_db()
    run = started(ready)

    row = tell(run, push_ups())

    assert (row.on, row.repetitions, row.way) == (NOON.date() + datetime.timedelta(days=1), 12, "toes")


def test_told_twice_stored_once(run):
    told = push_ups()

    assert tell(run, told) == tell(run, told, NOON + HOUR)
    assert BaselineTest.objects.count() == 1


def test_same_id_with_other_numbers_is_a_conflict(run):
    told = push_ups()
    tell(run, told)

    with pytest.raises(BaselineConflict):
        tell(run, replace(told, repetitions=13))

    assert BaselineTest.objects.get().repetitions == 12


def test_told_again_is_the_next_version(run):
    first = tell(run, push_ups())

    second = tell(run, push_ups(repetitions=11))

    first.refresh_from_db()
    assert (first.is_current, second.replaces, baseline.results_of(run)) == (False, first, [second])


def test_each_side_is_a_result_of_its_own(run):
    side = Told(uuid.uuid4(), "side-bridge", side="left", seconds=40, planned_end="reserve", ended_by="form")
    tell(run, side)
    tell(run, replace(side, uuid=uuid.uuid4(), side="right", seconds=36))

    assert [(row.side, row.seconds) for row in baseline.results_of(run)] == [("left", 40), ("right", 36)]


@pytest.mark.parametrize(
    "wrong",
    [
        {"test": "no-such"},
        {"side": "left"},
        {"repetitions": None},
        {"seconds": 20},
        {"repetitions": None, "seconds": 20},
        {"ended_by": ""},
        {"ended_by": "stopped"},
        {"way": ""},
        {"state": "skipped", "repetitions": None},
        {"state": "skipped", "skip_reason": "tired"},
    ],
)
def test_what_is_not_whole_is_refused(run, wrong):
    with pytest.raises((NothingTold, BaselineNotOffered)):
        tell(run, push_ups(**wrong))

    assert not BaselineTest.objects.exists()


@pytest.mark.parametrize(("test", "asked"), [("rows", "angle_deg"), ("sit-to-stand", "height_cm")])
def test_angle_and_seat_are_part_of_the_result(ready, test, asked):
    for kind in (ItemKind.RINGS, ItemKind.CHAIR):
        f.EquipmentItemFactory(place__client=ready, place__is_default=False, kind=kind)
    run = started(ready)
    told = Told(uuid.uuid4(), test, repetitions=10, planned_end="reserve", ended_by="reserve")

    with pytest.raises(NothingTold):
        tell(run, told)


def test_left_out_with_a_reason_and_told_later_after_all(run):
    left_out = Told(uuid.uuid4(), "push-ups", state=BaselineState.SKIPPED, skip_reason=BaselineSkip.TIRED)
    tell(run, left_out)

    tell(run, push_ups(), NOON + HOUR)

    assert [row.repetitions for row in baseline.results_of(run)] == [12]


def test_what_is_not_offered_is_refused_with_the_reason(run):
    f.ProtectedAreaFactory(client=run.client, area=Area.SHOULDER, barred=True)

    with pytest.raises(BaselineNotOffered, match="must not be loaded"):
        tell(run, hang())


def test_bar_that_nobody_checked_is_no_bar(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    f.EquipmentItemFactory(place__client=cast.client, kind=ItemKind.BAR, set_up_checked_on=None)
    run = started(cast.client)

    with pytest.raises(BaselineNotOffered, match="set-up check"):
        tell(run, hang())


def test_lock_in_the_middle_of_a_run_stops_it(run):
    f.RedFlagReportFactory(client=run.client, locks=True)

    with pytest.raises(Locked):
        tell(run, push_ups())


def test_pain_is_kept_even_where_the_test_is_not_offered(run):
    f.RedFlagReportFactory(client=run.client, locks=True)

    row = tell(run, push_ups(hurt=True, repetitions=3, ended_by="stopped", stopped_because="pain"))

    assert row.hurt


# To the limit


@pytest.mark.parametrize("ceiling", [Ceiling.LIGHT, Ceiling.MODERATE])
def test_nothing_goes_to_the_limit_below_a_vigorous_outcome(cast, ceiling):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client, ceiling=ceiling)
    run = started(cast.client)

    with pytest.raises(BaselineNotOffered):
        tell(run, push_ups(planned_end="maximum", ended_by="maximum"))


def test_to_the_limit_with_a_vigorous_outcome(run):
    assert tell(run, push_ups(planned_end="maximum", ended_by="maximum", rir=None)).planned_end == BaselineEnd.MAXIMUM


@pytest.mark.parametrize("on", [None, "2008-03-05"])
def test_nothing_goes_to_the_limit_before_the_eighteenth_birthday_or_where_nobody_knows_it(cast, on):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    if on:
        # 18 tomorrow.
        born(cast.client, on)
    run = started(cast.client)

    with pytest.raises(MaximalNotAllowed, match="Under age"):
        tell(run, push_ups(planned_end="maximum", ended_by="maximum"))


def test_correction_makes_no_maximal_test_of_another(run):
    tell(run, push_ups())

    with pytest.raises(MaximalNotAllowed):
        tell(run, push_ups(planned_end="maximum"))


# What stops a run


@pytest.mark.parametrize("why", [BaselineStop.CHEST, BaselineStop.FAINT, BaselineStop.BREATH, BaselineStop.BEAT])
def test_warning_sign_is_reported_and_locks(run, why):
    tell(run, push_ups(repetitions=4, ended_by="stopped", stopped_because=why))

    report = RedFlagReport.objects.get()
    assert (report.locks, report.source, report.items) == (True, "baseline", [f"card.{why.value}"])


def test_after_dizziness_no_test_is_offered_that_day_and_no_correction_unsays_it(run):
    tell(run, push_ups(repetitions=4, ended_by="stopped", stopped_because="dizzy"))
    tell(run, push_ups(repetitions=4))

    with pytest.raises(BaselineNotOffered, match="looked at first"):
        tell(run, hang())


def test_where_it_hurt_the_same_parts_are_left_alone_in_another_run_of_that_day_too(run):
    tell(run, hang(hurt=True))
    baseline.finish_run(run, at=NOON)
    again = started(run.client, NOON + HOUR)

    with pytest.raises(BaselineNotOffered, match="Something hurt in Dead hang"):
        tell(again, push_ups(), NOON + HOUR)


# Finishing


def test_finished_run_takes_corrections_and_nothing_new(run):
    tell(run, push_ups())
    baseline.finish_run(run, at=NOON)

    tell(run, push_ups(repetitions=10))
    with pytest.raises(RunFinished):
        tell(run, hang())

    assert [row.repetitions for row in baseline.results_of(run)] == [10]


def test_finishing_twice_keeps_the_first_time(run):
    tell(run, push_ups())
    baseline.finish_run(run, at=NOON)

    assert baseline.finish_run(run, at=NOON + HOUR).finished_at == NOON


def test_empty_run_is_not_finished(run):
    with pytest.raises(NothingTold):
        baseline.finish_run(run, at=NOON)


def test_database_keeps_the_end_of_a_run(run):
    tell(run, push_ups())
    baseline.finish_run(run, at=NOON)

    with pytest.raises(IntegrityError, match="set once and kept"), transaction.atomic():
        BaselineRun.objects.filter(pk=run.pk).update(finished_at=NOON + HOUR)


# Asking for one


def test_asked_for_until_a_run_is_finished(ready, cast):
    asked = baseline.ask_for_baseline(ready, words="Before block two.", by=cast.coach, at=NOON)
    run = started(ready, NOON + HOUR)
    tell(run, push_ups(), NOON + HOUR)
    assert baseline.open_request(ready) == asked

    baseline.finish_run(run, at=NOON + HOUR)

    assert baseline.open_request(ready) is None


def test_asked_twice_it_stands_once_and_can_be_asked_anew_later(ready, cast):
    first = baseline.ask_for_baseline(ready, words="", by=cast.coach, at=NOON)
    assert baseline.ask_for_baseline(ready, words="Again", by=cast.coach, at=NOON) == first
    run = started(ready)
    tell(run, push_ups())
    baseline.finish_run(run, at=NOON + HOUR)

    again = baseline.ask_for_baseline(ready, words="", by=cast.coach, at=NOON + 2 * HOUR)

    assert (baseline.open_request(ready), again.replaces) == (again, first)


def test_request_can_be_taken_back(ready, cast):
    baseline.ask_for_baseline(ready, words="", by=cast.coach, at=NOON)

    baseline.take_request_back(ready, by=cast.coach, at=NOON)

    assert baseline.open_request(ready) is None
    assert BaselineRequest.objects.count() == 2


# For the tables


def test_sex_for_norms_is_a_choice_that_can_be_taken_back(ready):
    baseline.tell_sex_for_norms(ready, sex=NormSex.FEMALE, by=ready.user, at=NOON)
    baseline.tell_sex_for_norms(ready, sex=NormSex.FEMALE, by=ready.user, at=NOON)
    assert baseline.sex_for_norms(ready) == NormSex.FEMALE

    baseline.tell_sex_for_norms(ready, sex="", by=ready.user, at=NOON)

    assert (baseline.sex_for_norms(ready), NormDetail.objects.count()) == (None, 2)


def test_every_warning_sign_that_stops_a_test_stands_in_the_list():
    from methods.red_flags import GROUPS  # noqa: PLC0415 -- read here only

    known = {item.code: item.words for group in GROUPS for item in group.items}

    assert {code: known[item] for code, item in baseline.WARNING_SIGNS.items()} == {
        "chest": "Pressure, tightness or pain in the chest",
        "faint": "Fainted or nearly fainted, above all while training",
        "breath": "Short of breath at rest, or far more than the effort explains",
        "beat": "A new racing or irregular heartbeat together with feeling ill",
    }
    assert set(BY_CODE) >= {"push-ups", "dead-hang"}
