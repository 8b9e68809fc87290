import datetime
from dataclasses import replace
from decimal import Decimal

import pytest
from django.urls import reverse

from clients.choices import Area, Ceiling, Side
from clients.errors import ConsentMissing, IntakeIncomplete
from clients.models import OutgoingMail, ProtectedArea
from programs.choices import BlockState, SessionState
from programs.domain import building
from programs.domain.drafting import new_revision
from programs.domain.publishing import publish_block
from programs.domain.rows import Row, rows_of
from programs.errors import (
    AboveCeiling,
    AlreadyPublished,
    BarredAreaLoaded,
    EmptyBlock,
    NothingToSchedule,
    ReasonNeeded,
)
from programs.models import Block, Prescription, ScheduledSession
from tests import factories as f

pytestmark = pytest.mark.django_db

DAY = datetime.timedelta(days=1)
MONDAY = f.MONDAY  # f.NOON is the Wednesday after


@pytest.fixture
def ready(cast):
    """A client who may start, up to vigorous effort."""
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return cast.client


def draft(cast, *, weeks=2, starts_on=MONDAY, rir=None, **movement):
    """A draft with a session on Tuesday and one on Saturday of every week."""
    block = building.create_block(cast.client, by=cast.coach, title="Block", starts_on=starts_on, weeks=weeks)
    row = Row(movement=f.MovementFactory(**{f"revision__{k}": v for k, v in movement.items()}).current, target_rir=rir)
    for name, weekday in [("A", 1), ("B", 5)]:
        session = building.add_session(block, version=block.version, name=name, week=1, weekday=weekday)
        building.save_session(session, [row], version=session.block.version, name=name, weekday=weekday)
        block.refresh_from_db()
    building.copy_week(block, from_week=1, to_weeks=range(1, weeks + 1), version=block.version)
    return block


def publish(block, cast, *, first_day=MONDAY, at=f.NOON, **said):
    return publish_block(block, by=cast.coach, at=at, first_day=first_day, **said)


def days(block, state=SessionState.PLANNED):
    rows = ScheduledSession.objects.filter(session__block=block, state=state)
    return [(row.on - MONDAY).days for row in rows]


def test_publishing_freezes_under_the_outcome_and_puts_sessions_on_days(cast, ready):
    block = publish(draft(cast), cast, at=f.NOON - 7 * DAY)

    assert (block.state, block.ceiling, block.published_by) == (BlockState.PUBLISHED, Ceiling.VIGOROUS, cast.coach)
    assert block.screening.client == ready
    assert days(block) == [1, 5, 8, 12]


def test_days_already_over_get_no_session(cast, ready):
    assert days(publish(draft(cast), cast)) == [5, 8, 12]


def test_client_is_told_once_without_health_details(cast, ready):
    ready.email = "client@example.test"
    ready.save()

    block = publish(draft(cast), cast)

    mail = OutgoingMail.objects.get()
    assert mail.to == "client@example.test"
    assert str(block.uuid) in mail.body


def test_client_is_told_that_the_block_has_changed_and_reads_what_and_why(cast, ready, client):
    ready.email = "client@example.test"
    ready.save()
    block = publish(draft(cast), cast)
    revision = new_revision(block, by=cast.coach)
    revision.message = "The week was short."
    revision.save()
    revision.sessions.filter(week=2, weekday=5).update(weekday=6)
    publish(revision, cast)

    client.force_login(ready.user)
    page = client.get(reverse("my-block", args=[revision.uuid])).content.decode()

    assert [mail.subject for mail in OutgoingMail.objects.order_by("pk")] == [
        "Your next block is ready",
        "Your block has changed",
    ]
    assert "The week was short." in page
    assert "Saturday → <strong>Sunday</strong>" in page


def test_second_publication_is_refused_and_schedules_nothing(cast, ready):
    block = draft(cast)
    publish(block, cast)

    with pytest.raises(AlreadyPublished):
        publish(block, cast)

    assert ScheduledSession.objects.count() == 3


def test_no_block_starts_without_consent(cast):
    f.ScreeningFactory(client=cast.client)

    with pytest.raises(ConsentMissing):
        publish(draft(cast), cast)


def test_no_block_starts_without_an_outcome(cast):
    f.ConsentFactory(client=cast.client)
    block = draft(cast)

    with pytest.raises(IntakeIncomplete):
        publish(block, cast)

    assert Block.objects.get(pk=block.pk).is_draft
    assert not ScheduledSession.objects.exists()


@pytest.mark.parametrize(("rir", "passes"), [(None, False), (Decimal(2), False), (Decimal(3), True)])
def test_moderate_outcome_refuses_hard_sets_by_name(cast, rir, passes):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client, ceiling=Ceiling.MODERATE)
    block = draft(cast, rir=rir, name="Dip")

    if passes:
        assert publish(block, cast).ceiling == Ceiling.MODERATE
    else:
        with pytest.raises(AboveCeiling, match="Dip"):
            publish(block, cast)


def _protect(client, **extra):
    return ProtectedArea.objects.create(
        practice=client.practice,
        client=client,
        area=Area.SHOULDER,
        side=Side.LEFT,
        **{"from_on": MONDAY, "barred": True, **extra},
    )


def test_barred_area_may_not_be_loaded(cast, ready):
    _protect(ready)

    with pytest.raises(BarredAreaLoaded, match="Dip"):
        publish(draft(cast, name="Dip", areas=["shoulder", "elbow"]), cast)


def test_area_that_is_only_protected_is_stressed_with_a_reason_that_stays_with_the_block(cast, ready):
    _protect(ready, barred=False)
    block = draft(cast, name="Dip", areas=["shoulder"])

    with pytest.raises(ReasonNeeded, match="Dip"):
        publish(block, cast, protected_because=" ")
    published = publish(block, cast, protected_because="Pain-free for a month; two sets only.")

    published.refresh_from_db()
    assert published.protected_because == "Pain-free for a month; two sets only."


def _with_option(block, cast, which="easier", **movement):
    option = f.MovementFactory(**{f"revision__{k}": v for k, v in movement.items()}).current
    limit = {"easier": "easier_below", "harder": "harder_from"}[which]
    Prescription.objects.filter(group__section__session__block=block).update(**{which: option, limit: 5})
    return block


@pytest.mark.parametrize("which", ["easier", "harder"])
def test_option_may_not_load_a_barred_area(cast, ready, which):
    _protect(ready)

    with pytest.raises(BarredAreaLoaded, match="Dip"):
        publish(_with_option(draft(cast), cast, which, name="Dip", areas=["shoulder"]), cast)


@pytest.mark.parametrize("which", ["easier", "harder"])
def test_option_may_not_be_above_the_ceiling(cast, which):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client, ceiling=Ceiling.MODERATE)

    with pytest.raises(AboveCeiling, match="Swing"):
        publish(_with_option(draft(cast, rir=4), cast, which, name="Swing", vigorous=True), cast)


def test_option_that_stresses_a_protected_area_needs_the_reason(cast, ready):
    _protect(ready, barred=False)

    with pytest.raises(ReasonNeeded, match="Dip"):
        publish(_with_option(draft(cast), cast, name="Dip", areas=["shoulder"]), cast)


def test_no_reason_opens_a_barred_area(cast, ready):
    _protect(ready)

    with pytest.raises(BarredAreaLoaded):
        publish(draft(cast, areas=["shoulder"]), cast, protected_because="I know better.")


@pytest.mark.parametrize("areas", [["knee"], ["shoulder"]])
def test_area_that_is_over_or_not_stressed_needs_no_reason_and_keeps_none(cast, ready, areas):
    _protect(ready, barred=areas == ["shoulder"], until_on=MONDAY - DAY if areas == ["shoulder"] else None)

    assert publish(draft(cast, areas=areas), cast, protected_because="For nothing").protected_because == ""


def test_empty_block_is_not_published(cast, ready):
    block = building.create_block(ready, by=cast.coach, title="Empty", starts_on=MONDAY, weeks=1)

    with pytest.raises(EmptyBlock):
        publish(block, cast)


def test_block_that_is_over_is_not_published(cast, ready):
    with pytest.raises(NothingToSchedule):
        publish(draft(cast), cast, first_day=MONDAY + 60 * DAY)


def test_revision_replaces_untouched_future_sessions_only(cast, ready):
    block = publish(draft(cast), cast, at=f.NOON - 7 * DAY)
    on_tuesday = ScheduledSession.objects.get(on=MONDAY + DAY)
    early = ScheduledSession.objects.get(on=MONDAY + 5 * DAY)
    early.state = SessionState.WITH_NUMBERS
    early.save()

    revision = publish(new_revision(block, by=cast.coach), cast, first_day=MONDAY + 3 * DAY)

    block.refresh_from_db()
    on_tuesday.refresh_from_db()
    assert (block.state, revision.revision) == (BlockState.REPLACED, 2)
    assert on_tuesday.state == SessionState.PLANNED
    assert days(block, SessionState.WITHDRAWN) == [8, 12]
    assert days(revision) == [8, 12]


def test_logged_set_keeps_a_future_session_in_place(cast, ready):
    block = publish(draft(cast), cast)
    touched = ScheduledSession.objects.get(on=MONDAY + 8 * DAY)
    f.SetLogFactory(client=ready, scheduled=touched)

    revision = publish(new_revision(block, by=cast.coach), cast)

    touched.refresh_from_db()
    assert touched.state == SessionState.PLANNED
    assert days(revision) == [5, 12]


def test_revised_session_keeps_its_appointment_and_the_day_it_was_moved_to(cast, ready):
    block = publish(draft(cast), cast)
    first = ScheduledSession.objects.get(on=MONDAY + 5 * DAY)
    ScheduledSession.objects.filter(pk=first.pk).update(state=SessionState.MOVED)
    ScheduledSession.objects.create(
        practice=ready.practice,
        client=ready,
        session=first.session,
        lineage=first.lineage,
        on=MONDAY + 6 * DAY,
        time_zone="UTC",
        moved_from=first,
    )

    revision = publish(new_revision(block, by=cast.coach), cast)

    again = ScheduledSession.objects.filter(session__block=revision).first()
    assert (again.on, again.lineage) == (MONDAY + 6 * DAY, first.lineage)
    assert days(revision) == [6, 8, 12]


def test_next_block_takes_over_from_its_first_day(cast, ready):
    running = publish(draft(cast, weeks=3), cast)
    following = draft(cast, starts_on=MONDAY + 14 * DAY)

    publish(following, cast)

    running.refresh_from_db()
    assert running.state == BlockState.PUBLISHED
    assert days(running) == [5, 8, 12]
    assert days(running, SessionState.WITHDRAWN) == [15, 19]
    assert days(following) == [15, 19, 22, 26]


def test_other_clients_keep_their_sessions(cast, ready):
    theirs = f.ScheduledSessionFactory(client=cast.other_client, on=MONDAY + 8 * DAY)

    publish(draft(cast), cast)

    theirs.refresh_from_db()
    assert theirs.state == SessionState.PLANNED


def test_first_day_counts_in_the_clients_zone(cast, ready):
    ready.time_zone = "Pacific/Auckland"
    ready.save()
    late = datetime.datetime(2026, 3, 3, 13, 0, tzinfo=datetime.UTC)  # already Wednesday in Auckland

    block = publish(draft(cast), cast, at=late)

    assert days(block) == [5, 8, 12]
    assert ScheduledSession.objects.first().time_zone == "Pacific/Auckland"


def test_revision_edit_is_scheduled_with_the_new_dose(cast, ready):
    block = publish(draft(cast), cast)
    revision = new_revision(block, by=cast.coach)
    session = revision.sessions.get(week=2, weekday=1)
    row = replace(rows_of(session)[0], sets=5)
    building.save_session(session, [row], version=revision.version, name="A", weekday=1)

    publish(revision, cast)

    scheduled = ScheduledSession.objects.get(on=MONDAY + 8 * DAY, state=SessionState.PLANNED)
    assert rows_of(scheduled.session)[0].sets == 5


@pytest.mark.parametrize(
    ("learnt", "refused"), [({"areas": ["shoulder"]}, BarredAreaLoaded), ({"vigorous": True}, AboveCeiling)]
)
def test_what_was_learnt_of_a_movement_since_it_was_written_counts(cast, learnt, refused):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client, ceiling=Ceiling.MODERATE)
    _protect(cast.client)
    block = draft(cast, rir=4, name="Dip")
    movement = Prescription.objects.first().movement.movement
    movement.current = f.MovementRevisionFactory(movement=movement, number=2, name="Dip", **learnt)
    movement.save(update_fields=["current"])

    with pytest.raises(refused, match="Dip"):
        publish(block, cast)


def test_a_copied_percentage_shows_no_load_of_the_last_publishing(cast, ready):
    block = draft(cast)
    first, second = block.sessions.filter(weekday=1).order_by("week")
    known = {"percent_of_max": 80, "load_entered": 80, "load_unit": "kg", "load_kg": 80}
    Prescription.objects.filter(group__section__session=first).update(**known)

    building.copy_week(block, from_week=1, to_weeks=[2], version=block.version)

    row = rows_of(block.sessions.get(week=2, lineage=second.lineage))[0]
    assert (row.percent_of_max, row.load_entered, row.load_kg, row.load_unit) == (80, None, None, "")
