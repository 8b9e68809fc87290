"""What is kept of what a device tells."""

import datetime
import uuid
from decimal import Decimal

import pytest
from django.utils import timezone

import jobs
from clients.choices import PainQuestion
from clients.domain.telling_pain import answer_no_warning_sign, awaiting_answers
from clients.models import PainReport
from methods.pain import PainAction
from programs.choices import GroupKind, LoadKind, Measure, Outcome, SessionState, SetKind, SkipReason
from programs.domain.figures import recompute_sets, request_recomputing
from programs.domain.logging import log_entries
from programs.domain.states import state_from
from programs.models import SetLog, TrainingLog
from tests import factories as f
from tests.programs.log import movement, pain_entry, session_entry, session_with, set_entry

AT = datetime.datetime(2026, 3, 4, 18, 0, tzinfo=datetime.UTC)


def send(client, *entries, at=AT):
    return [answer.status for answer in log_entries(client, list(entries), at=at)]


def errors(client, entry):
    return log_entries(client, [entry], at=AT)[0].errors


@pytest.fixture
def weighed(cast):
    f.BodyMassFactory(client=cast.client, mass_kg=80)
    return cast


# Figures


def test_set_of_a_share_of_body_mass_stores_its_system_load(weighed):
    scheduled, dose = session_with(weighed)

    send(weighed.client, set_entry(scheduled, dose, repetitions=10))

    stored = SetLog.objects.get()
    assert (stored.system_load_kg, stored.volume_load_kg) == (Decimal("51.2"), Decimal(512))


def test_set_keeps_which_body_mass_and_which_share_it_used(weighed):
    scheduled, dose = session_with(weighed)

    send(weighed.client, set_entry(scheduled, dose))

    stored = SetLog.objects.get()
    assert (stored.body_mass_kg, stored.body_mass_on, stored.share, stored.share_basis) == (
        Decimal(80),
        f.MONDAY,
        Decimal("0.64"),
        "measured",
    )


def test_load_in_pounds_is_kept_as_entered_and_in_kg(weighed):
    scheduled, dose = session_with(weighed, movement=movement(load_kind=LoadKind.BODY_PLUS, share=1))

    send(weighed.client, set_entry(scheduled, dose, load="100", load_unit="lb"))

    stored = SetLog.objects.get()
    assert (stored.load_entered, stored.load_unit, stored.load_kg, stored.system_load_kg) == (
        Decimal(100),
        "lb",
        Decimal("45.359"),
        Decimal("125.359"),
    )


def test_help_in_pounds_is_taken_off_in_kg(weighed):
    scheduled, dose = session_with(weighed, movement=movement(load_kind=LoadKind.ASSISTED, share=1))

    send(weighed.client, set_entry(scheduled, dose, assistance="44.09", load_unit="lb"))

    assert SetLog.objects.get().system_load_kg == Decimal("60.001")


def test_set_without_any_body_mass_says_why_its_load_is_unknown(cast):
    scheduled, dose = session_with(cast)

    send(cast.client, set_entry(scheduled, dose))

    stored = SetLog.objects.get()
    assert (stored.system_load_kg, stored.volume_load_kg, stored.system_load_unknown) == (
        None,
        None,
        "no body mass on or before this day",
    )


@pytest.mark.parametrize(
    ("kind", "share", "reason"),
    [
        (LoadKind.EXTERNAL, None, "no load was entered"),
        (LoadKind.ASSISTED, 1, "the help was not entered"),
        (LoadKind.LEVER, None, "this movement is not scored in kg"),
    ],
)
def test_what_was_not_entered_is_unknown_and_never_zero(weighed, kind, share, reason):
    revision = movement(load_kind=kind, share=share, share_basis="convention" if share else "")
    scheduled, dose = session_with(weighed, movement=revision)

    send(weighed.client, set_entry(scheduled, dose))

    stored = SetLog.objects.get()
    assert (stored.system_load_kg, stored.system_load_unknown) == (None, reason)


def test_external_load_needs_no_body_mass(cast):
    revision = movement(load_kind=LoadKind.EXTERNAL, share=None, share_basis="")
    scheduled, dose = session_with(cast, movement=revision)

    send(cast.client, set_entry(scheduled, dose, load="20", load_unit="kg", repetitions=5))

    assert SetLog.objects.get().volume_load_kg == Decimal(100)


def test_hold_is_counted_in_kg_seconds_and_not_as_volume_load(weighed):
    revision = movement(measure=Measure.SECONDS, load_kind=LoadKind.BODY_FULL, share=1)
    scheduled, dose = session_with(weighed, movement=revision)

    send(weighed.client, set_entry(scheduled, dose, repetitions=None, seconds=20))

    stored = SetLog.objects.get()
    assert (stored.hold_kg_s, stored.volume_load_kg) == (Decimal(1600), None)


def test_each_side_counts_half_a_hard_set_and_its_own_volume(weighed):
    scheduled, dose = session_with(weighed, per_side=True)

    send(
        weighed.client,
        set_entry(scheduled, dose, side="left", repetitions=8),
        set_entry(scheduled, dose, side="right", repetitions=6),
    )

    stored = SetLog.objects.order_by("side").values_list("side", "hard_set", "volume_load_kg")
    assert list(stored) == [
        ("left", Decimal("0.5"), Decimal("409.6")),
        ("right", Decimal("0.5"), Decimal("307.2")),
    ]


def test_two_sided_movement_in_place_of_a_one_sided_plan_is_not_counted_twice(weighed):
    scheduled, dose = session_with(weighed, per_side=True)
    other = movement(
        load_kind=dose.movement.load_kind, share=dose.movement.share, share_basis=dose.movement.share_basis
    )

    send(weighed.client, set_entry(scheduled, dose, repetitions=8, movement=str(other.uuid)))
    alone = SetLog.objects.get()

    assert alone.volume_load_kg == 8 * alone.system_load_kg


def test_newer_revision_of_a_one_sided_plan_still_counts_for_both_sides(weighed):
    scheduled, dose = session_with(weighed, per_side=True)
    newer = f.MovementRevisionFactory(
        movement=dose.movement.movement,
        number=2,
        load_kind=dose.movement.load_kind,
        share=dose.movement.share,
        share_basis=dose.movement.share_basis,
    )

    send(weighed.client, set_entry(scheduled, dose, repetitions=8, movement=str(newer.uuid)))

    assert SetLog.objects.get().volume_load_kg == 16 * SetLog.objects.get().system_load_kg


def test_one_sided_set_logged_for_both_sides_has_the_volume_of_both(weighed):
    scheduled, dose = session_with(weighed, per_side=True)

    send(weighed.client, set_entry(scheduled, dose, repetitions=8))

    stored = SetLog.objects.get()
    assert (stored.hard_set, stored.volume_load_kg) == (Decimal(1), Decimal("819.2"))


@pytest.mark.parametrize(("kind", "rir", "hard"), [("warm_up", None, 0), ("work", None, 1), ("work", "5", 0)])
def test_hard_set_follows_kind_and_reserve(cast, kind, rir, hard):
    scheduled, dose = session_with(cast)

    send(cast.client, set_entry(scheduled, dose, set_kind=kind, rir=rir))

    assert SetLog.objects.get().hard_set == hard


def test_session_load_is_rating_times_minutes(cast):
    scheduled, _dose = session_with(cast)

    send(cast.client, session_entry(scheduled, session_rpe=7, minutes=60))

    assert TrainingLog.objects.get().session_load_au == Decimal(420)


@pytest.mark.parametrize(
    "told", [{"session_rpe": 7}, {"minutes": 60}, {"outcome": "skipped", "skip_reason": "time", "minutes": 60}]
)
def test_session_load_without_rating_minutes_or_training_is_unknown(cast, told):
    scheduled, _dose = session_with(cast)

    send(cast.client, session_entry(scheduled, **told))

    assert TrainingLog.objects.get().session_load_au is None


def test_recomputing_after_a_body_mass_was_told_fills_the_load(cast):
    scheduled, dose = session_with(cast)
    send(cast.client, set_entry(scheduled, dose, repetitions=10))
    f.BodyMassFactory(client=cast.client, mass_kg=100)

    recompute_sets(cast.client)

    stored = SetLog.objects.get()
    assert (stored.system_load_kg, stored.volume_load_kg, stored.system_load_unknown) == (64, 640, "")


def test_recomputing_twice_changes_nothing_the_second_time(cast):
    scheduled, dose = session_with(cast)
    send(cast.client, set_entry(scheduled, dose))
    f.BodyMassFactory(client=cast.client)

    assert [recompute_sets(cast.client), recompute_sets(cast.client)] == [1, 0]


def test_recomputing_from_a_day_leaves_sets_that_rest_on_earlier_masses(weighed):
    scheduled, dose = session_with(weighed)
    send(weighed.client, set_entry(scheduled, dose))
    SetLog.objects.update(system_load_kg=1)

    assert recompute_sets(weighed.client, f.NOON.date() + datetime.timedelta(days=1)) == 0


def test_recomputing_leaves_other_clients_alone(cast):
    scheduled, dose = session_with(cast, client=cast.other_client)
    send(cast.other_client, set_entry(scheduled, dose))
    f.BodyMassFactory(client=cast.other_client)

    recompute_sets(cast.client)

    assert SetLog.objects.get().system_load_kg is None


def test_new_body_mass_is_followed_by_recomputing_once(cast):
    scheduled, dose = session_with(cast)
    send(cast.client, set_entry(scheduled, dose, repetitions=10))
    f.BodyMassFactory(client=cast.client, mass_kg=100)

    for _unused in range(2):
        request_recomputing(at=timezone.now())
    ran = jobs.run_waiting()

    assert (ran, SetLog.objects.get().system_load_kg) == (1, 64)


# What was really done


def test_set_follows_the_lineage_and_movement_of_its_prescription(cast):
    scheduled, dose = session_with(cast)

    send(cast.client, set_entry(scheduled, dose))

    stored = SetLog.objects.get()
    assert (stored.lineage, stored.movement, stored.kind) == (dose.lineage, dose.movement, SetKind.WORK)


def test_set_of_another_movement_keeps_the_one_really_done(cast):
    scheduled, dose = session_with(cast)
    easier = movement()

    send(cast.client, set_entry(scheduled, dose, movement=str(easier.uuid)))

    assert SetLog.objects.get().movement == easier


def test_movement_of_another_practice_is_unknown(cast):
    scheduled, dose = session_with(cast)
    theirs = f.MovementFactory(practice=cast.other_practice).current

    assert list(errors(cast.client, set_entry(scheduled, dose, movement=str(theirs.uuid)))) == ["movement"]


def test_amount_in_another_measure_than_the_movements_is_refused(cast):
    scheduled, dose = session_with(cast, movement=movement(measure=Measure.SECONDS))

    assert list(errors(cast.client, set_entry(scheduled, dose, repetitions=8))) == ["seconds"]


def test_no_repetition_done_is_a_fact_too(cast):
    scheduled, dose = session_with(cast)

    assert send(cast.client, set_entry(scheduled, dose, repetitions=0)) == ["stored"]


def test_both_sides_and_one_side_of_a_set_cannot_stand_together(cast):
    scheduled, dose = session_with(cast, per_side=True)
    both = set_entry(scheduled, dose)
    send(cast.client, both)

    answer = log_entries(cast.client, [set_entry(scheduled, dose, side="left")], at=AT)[0]

    assert (answer.status, str(answer.current)) == ("conflict", both["uuid"])


def test_second_log_of_the_same_set_is_a_conflict_that_names_the_first(cast):
    scheduled, dose = session_with(cast)
    first = set_entry(scheduled, dose)
    send(cast.client, first)

    answer = log_entries(cast.client, [set_entry(scheduled, dose, repetitions=9)], at=AT)[0]

    assert (answer.status, str(answer.current)) == ("conflict", first["uuid"])


def test_second_log_of_the_same_session_is_a_conflict(cast):
    scheduled, _dose = session_with(cast)

    assert send(cast.client, session_entry(scheduled), session_entry(scheduled)) == ["stored", "conflict"]


# Versions


def test_edit_is_a_new_version_and_the_old_one_stays(cast):
    scheduled, dose = session_with(cast)
    first = set_entry(scheduled, dose, repetitions=8)
    edit = set_entry(scheduled, dose, repetitions=9, replaces=first["uuid"])

    send(cast.client, first, edit)

    assert list(SetLog.objects.order_by("pk").values_list("repetitions", "is_current")) == [(8, False), (9, True)]


def test_edit_before_its_original_in_one_batch_is_kept(cast):
    scheduled, dose = session_with(cast)
    first = set_entry(scheduled, dose)
    second = set_entry(scheduled, dose, replaces=first["uuid"], repetitions=9)
    third = set_entry(scheduled, dose, replaces=second["uuid"], repetitions=10)

    assert send(cast.client, third, second, first) == ["stored"] * 3
    assert SetLog.objects.counting().get().repetitions == 10


def test_two_edits_that_replace_each_other_are_refused(cast):
    scheduled, dose = session_with(cast)
    one, two = set_entry(scheduled, dose), set_entry(scheduled, dose, number=2)
    one["replaces"], two["replaces"] = two["uuid"], one["uuid"]

    assert send(cast.client, one, two) == ["refused", "refused"]


def test_edit_of_what_was_edited_already_is_a_conflict_that_names_the_newest(cast):
    scheduled, dose = session_with(cast)
    first = set_entry(scheduled, dose)
    second = set_entry(scheduled, dose, replaces=first["uuid"], repetitions=9)
    send(cast.client, first, second)

    late = set_entry(scheduled, dose, replaces=first["uuid"], repetitions=7)
    answer = log_entries(cast.client, [late], at=AT)[0]

    assert (answer.status, str(answer.current)) == ("conflict", second["uuid"])


def test_edit_of_what_was_taken_back_meanwhile_is_a_conflict(cast):
    scheduled, dose = session_with(cast)
    first = set_entry(scheduled, dose)
    back = set_entry(scheduled, dose, replaces=first["uuid"], withdrawn=True)
    send(cast.client, first, back)

    late = set_entry(scheduled, dose, replaces=first["uuid"], repetitions=7)
    answer = log_entries(cast.client, [late], at=AT)[0]

    assert (answer.status, str(answer.current)) == ("conflict", back["uuid"])


def test_edit_of_something_unknown_is_refused(cast):
    scheduled, dose = session_with(cast)

    assert list(errors(cast.client, set_entry(scheduled, dose, replaces=str(uuid.uuid4())))) == ["replaces"]


def test_edit_of_a_set_of_another_session_is_refused(cast):
    first_session, first_dose = session_with(cast)
    scheduled, dose = session_with(cast)
    first = set_entry(first_session, first_dose)
    send(cast.client, first)

    assert list(errors(cast.client, set_entry(scheduled, dose, replaces=first["uuid"]))) == ["replaces"]


def test_edit_keeps_the_training_day(cast):
    scheduled, dose = session_with(cast)
    first = set_entry(scheduled, dose)
    edit = set_entry(scheduled, dose, replaces=first["uuid"], repetitions=9, device_at="2026-03-09T10:00:00+01:00")

    send(cast.client, first, edit, at=AT + datetime.timedelta(days=7))

    assert set(SetLog.objects.values_list("training_day", flat=True)) == {datetime.date(2026, 3, 4)}


def test_set_taken_back_counts_for_nothing(weighed):
    scheduled, dose = session_with(weighed)
    first = set_entry(scheduled, dose)
    back = set_entry(scheduled, dose, replaces=first["uuid"], withdrawn=True)

    send(weighed.client, first, back)

    stored = SetLog.objects.current().get()
    assert (stored.is_withdrawn, stored.volume_load_kg, stored.hard_set) == (True, None, 0)


def test_taking_back_needs_no_numbers_and_keeps_what_was_there(cast):
    scheduled, dose = session_with(cast)
    first = set_entry(scheduled, dose, repetitions=8)
    back = set_entry(scheduled, dose, repetitions=None, prescription=None, number=None)
    back |= {"replaces": first["uuid"], "withdrawn": True}

    send(cast.client, first, back)

    assert SetLog.objects.current().get().repetitions == 8


def test_set_can_be_logged_again_after_it_was_taken_back(cast):
    scheduled, dose = session_with(cast)
    first = set_entry(scheduled, dose)
    back = set_entry(scheduled, dose, replaces=first["uuid"], withdrawn=True)

    assert send(cast.client, first, back, set_entry(scheduled, dose)) == ["stored"] * 3


def test_session_can_be_told_again_after_it_was_taken_back(cast):
    scheduled, _dose = session_with(cast)
    first = session_entry(scheduled)
    back = session_entry(scheduled, replaces=first["uuid"], withdrawn=True)

    assert send(cast.client, first, back, session_entry(scheduled, outcome="partly")) == ["stored"] * 3


def test_taking_back_nothing_is_refused(cast):
    scheduled, dose = session_with(cast)

    assert list(errors(cast.client, set_entry(scheduled, dose, withdrawn=True))) == ["replaces"]


# Pain


def test_pain_is_stored_with_the_tables_answer(cast):
    scheduled, dose = session_with(cast)

    send(cast.client, pain_entry(scheduled, during=6, prescription=str(dose.uuid)))

    report = PainReport.objects.get()
    assert (report.during, report.told_in, report.movement_slug, report.on, report.action != "") == (
        6,
        scheduled.uuid,
        dose.movement.movement.slug,
        scheduled.on,
        True,
    )


@pytest.mark.parametrize(
    ("told", "asked"),
    [
        ({"area": "chest", "after_blow": False, "pin_point": False}, PainQuestion.WARNING_SIGNS),
        ({"area": "knee"}, PainQuestion.WARNING_SIGNS),
        ({"area": "knee", "after_blow": False, "pin_point": False, "after": 2, "since": "days"}, None),
    ],
    ids=["an area that opens them", "a blow nobody asked about", "everything asked"],
)
def test_pain_of_a_phone_waits_until_its_warning_signs_are_asked(cast, told, asked):
    """From the entry to the client's page, and to the table's word after the answer."""
    scheduled, _dose = session_with(cast)

    send(cast.client, pain_entry(scheduled, during=2, **told))

    report = PainReport.objects.get()
    awaiting = awaiting_answers(cast.client, on=report.on)
    assert awaiting == ([(report, asked)] if asked else [])
    assert report.action == PainAction.PENDING
    if asked:
        answered = answer_no_warning_sign(report, by=cast.client.user, at=report.reported_at)
        assert (answered.flags_asked, awaiting_answers(cast.client, on=report.on)) == (True, [])


def test_corrected_pain_keeps_what_else_was_told_of_the_same_place(cast):
    scheduled, _dose = session_with(cast)
    told = pain_entry(scheduled, during=4, since="weeks", after_blow=False, pin_point=False)

    send(cast.client, told, pain_entry(scheduled, during=3, replaces=told["uuid"]))

    report = PainReport.objects.current().get()
    assert (report.during, report.since, report.after_blow, report.movement_slug) == (3, "weeks", False, "")


def test_pain_sent_twice_is_stored_once(cast):
    scheduled, _dose = session_with(cast)
    told = pain_entry(scheduled)

    assert send(cast.client, told, told) == ["stored", "already_stored"]
    assert PainReport.objects.count() == 1


def test_pain_with_the_same_id_and_another_number_is_a_conflict(cast):
    scheduled, _dose = session_with(cast)
    told = pain_entry(scheduled, during=4)

    assert send(cast.client, told, told | {"during": 8}) == ["stored", "conflict"]


def test_corrected_pain_is_a_new_version(cast):
    scheduled, _dose = session_with(cast)
    told = pain_entry(scheduled, during=4)

    send(cast.client, told, pain_entry(scheduled, during=0, replaces=told["uuid"]))

    assert PainReport.objects.current().get().during == 0


def test_pain_corrected_twice_from_the_same_version_is_a_conflict(cast):
    scheduled, _dose = session_with(cast)
    told = pain_entry(scheduled, during=4)
    corrections = [pain_entry(scheduled, during=n, replaces=told["uuid"]) for n in (0, 8)]

    assert send(cast.client, told, *corrections) == ["stored", "stored", "conflict"]


def test_pain_cannot_be_taken_back(cast):
    scheduled, _dose = session_with(cast)
    told = pain_entry(scheduled)
    send(cast.client, told)

    assert list(errors(cast.client, pain_entry(scheduled, replaces=told["uuid"], withdrawn=True))) == ["withdrawn"]


def test_pain_without_a_session_takes_the_day_of_the_device(cast):
    scheduled, _dose = session_with(cast)
    told = pain_entry(scheduled, device_at="2026-03-01T23:30:00-05:00", time_zone="America/New_York")
    del told["scheduled"]

    send(cast.client, told)

    assert PainReport.objects.get().on == datetime.date(2026, 3, 1)


# State


@pytest.mark.parametrize(
    ("outcome", "reason", "logged", "state"),
    [
        (None, "", "none", SessionState.PLANNED),
        (None, "", "some", SessionState.PARTLY),
        (None, "", "all", SessionState.WITH_NUMBERS),
        (Outcome.AS_PLANNED, "", "none", SessionState.AS_PLANNED),
        (Outcome.AS_PLANNED, "", "some", SessionState.AS_PLANNED),
        (Outcome.AS_PLANNED, "", "all", SessionState.WITH_NUMBERS),
        (Outcome.WITH_NUMBERS, "", "none", SessionState.AS_PLANNED),
        (Outcome.WITH_NUMBERS, "", "some", SessionState.WITH_NUMBERS),
        (Outcome.PARTLY, "", "all", SessionState.PARTLY),
        (Outcome.SKIPPED, SkipReason.TIME, "none", SessionState.SKIPPED),
        (Outcome.SKIPPED, SkipReason.PAIN, "none", SessionState.SKIPPED),
        (Outcome.SKIPPED, SkipReason.ILL, "none", SessionState.EXCUSED),
        (Outcome.SKIPPED, SkipReason.TRAVEL, "none", SessionState.EXCUSED),
        (Outcome.SKIPPED, SkipReason.ILL, "some", SessionState.PARTLY),
    ],
)
def test_state_follows_what_was_said_and_logged(outcome, reason, logged, state):
    line = uuid.uuid4()
    both = {"both"}
    sets = {"none": {}, "some": {(line, 1): both}, "all": {(line, 1): both, (line, 2): both}}[logged]
    log = TrainingLog(outcome=outcome, skip_reason=reason) if outcome else None

    assert state_from(log, sets, {(line, 1), (line, 2)}) == state


@pytest.mark.parametrize(
    ("sides", "state"), [({"left"}, SessionState.PARTLY), ({"left", "right"}, SessionState.WITH_NUMBERS)]
)
def test_set_by_side_is_complete_with_both_sides(sides, state):
    slot = (uuid.uuid4(), 1)

    assert state_from(None, {slot: sides}, {slot}) == state


def test_state_is_stored_with_its_reason(cast):
    scheduled, _dose = session_with(cast)

    send(cast.client, session_entry(scheduled, outcome="skipped", skip_reason="ill"))

    scheduled.refresh_from_db()
    assert (scheduled.state, scheduled.reason) == (SessionState.EXCUSED, SkipReason.ILL)


def test_warm_up_sets_need_no_log_for_a_session_to_be_complete(cast):
    scheduled, dose = session_with(cast, sets=1)
    warm_up = f.GroupFactory(section=dose.group.section, kind=GroupKind.SINGLE)
    f.PrescriptionFactory(group=warm_up, kind=SetKind.WARM_UP)

    send(cast.client, set_entry(scheduled, dose))

    scheduled.refresh_from_db()
    assert scheduled.state == SessionState.WITH_NUMBERS


def test_last_set_taken_back_makes_the_session_planned_again(cast):
    scheduled, dose = session_with(cast)
    first = set_entry(scheduled, dose)

    send(cast.client, first, set_entry(scheduled, dose, replaces=first["uuid"], withdrawn=True))

    scheduled.refresh_from_db()
    assert scheduled.state == SessionState.PLANNED
