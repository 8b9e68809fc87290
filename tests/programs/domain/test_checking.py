import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from clients.choices import Area, Ceiling, ItemKind, Side
from clients.models import Intake, IntakeAnswer, ProtectedArea
from programs.choices import GroupKind
from programs.domain import building
from programs.domain.checking import check_block, check_session, limits_of
from programs.domain.publishing import publish_block
from programs.domain.rows import Row, Together, with_contents
from programs.models import ScheduledSession
from tests import factories as f

pytestmark = pytest.mark.django_db


@pytest.fixture
def ready(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return cast.client


def _row(rir=3, **movement):
    revision = f.MovementFactory(**{f"revision__{k}": v for k, v in movement.items()}).current
    return Row(movement=revision, target_rir=Decimal(rir))


def remarks(client, *rows):
    return check_session([Together([row]) for row in rows], limits_of(client, on=f.MONDAY))


def _protect(client, *, barred):
    ProtectedArea.objects.create(
        practice=client.practice, client=client, area=Area.KNEE, side=Side.LEFT, from_on=f.MONDAY, barred=barred
    )


def test_session_inside_all_limits_has_no_remarks(ready):
    assert remarks(ready, _row()) == []


@pytest.mark.parametrize(("barred", "stops"), [(True, True), (False, False)])
def test_areas_are_remarked_and_barred_ones_stop(ready, barred, stops):
    _protect(ready, barred=barred)

    (remark,) = remarks(ready, _row(areas=["knee"]))

    assert "Knee" in remark.text
    assert remark.stops is stops


def test_missing_equipment_is_remarked_and_does_not_stop(ready):
    (remark,) = remarks(ready, _row(equipment=[["bar"]]))

    assert (remark.text, remark.stops) == ("Not at this place: A pull-up bar.", False)


def test_unchecked_equipment_is_remarked(ready):
    place = f.PlaceFactory(client=ready)
    f.EquipmentItemFactory(place=place, kind=ItemKind.BAR, set_up_checked_on=None)

    assert "set-up check" in remarks(ready, _row(equipment=[["bar"]]))[0].text


def test_dip_on_chairs_is_remarked_until_the_coach_allows_it(ready):
    item = f.EquipmentItemFactory(place=f.PlaceFactory(client=ready), kind=ItemKind.CHAIR)
    dip = _row(pattern="dip", equipment=[["chair"]])
    before = remarks(ready, dip)

    f.ChairPermissionFactory(client=ready, place=item.place)

    assert "Chairs do not carry" in before[0].text
    assert remarks(ready, dip) == []


def test_effort_above_the_ceiling_stops(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client, ceiling=Ceiling.MODERATE)

    (remark,) = remarks(cast.client, _row(name="Dip", rir=2), _row(rir=3))

    assert remark.stops
    assert remark.movement == "Dip"


def test_client_who_may_not_start_is_named_once_and_not_per_row(cast):
    limits = limits_of(cast.client, on=f.MONDAY)

    assert limits.no_start
    assert check_session([Together([_row()])], limits) == []


def test_session_over_the_clients_minutes_is_remarked(ready):
    intake = Intake.objects.create(practice=ready.practice, client=ready, started_at=f.NOON)
    IntakeAnswer.objects.create(
        practice=ready.practice,
        client=ready,
        intake=intake,
        question="minutes",
        value=20,
        answered_at=f.NOON,
        answered_by=ready.user,
    )

    (remark,) = remarks(ready, *[_row()] * 4)

    assert remark.text == "About 26 minutes; the client has 20."


def test_newest_answer_counts(ready):
    for days, minutes in [(0, 20), (1, 90)]:
        at = f.NOON + datetime.timedelta(days=days)
        intake = Intake.objects.create(practice=ready.practice, client=ready, started_at=at, finished_at=at)
        IntakeAnswer.objects.create(
            practice=ready.practice,
            client=ready,
            intake=intake,
            question="minutes",
            value=minutes,
            answered_at=at,
            answered_by=ready.user,
        )

    assert limits_of(ready, on=f.MONDAY).minutes == 90


def test_what_cannot_be_set_up_says_what_the_client_would_be_offered(ready):
    easier = f.MovementFactory(revision__name="Wall push-up", revision__equipment=[["wall"]])
    harder = f.MovementFactory(revision__name="Ring push-up", revision__equipment=[["rings"]])
    f.ProgressionEdgeFactory(easier=easier, harder=harder)

    (remark,) = check_session(
        [Together([Row(movement=harder.current, target_rir=Decimal(3))])], limits_of(ready, on=f.MONDAY)
    )

    assert remark.text.startswith("Not at this place: Rings. Wall push-up instead of Ring push-up")


@pytest.mark.parametrize(("option", "limit"), [("easier", "easier_below"), ("harder", "harder_from")])
def test_option_stops_like_a_movement(ready, option, limit):
    _protect(ready, barred=True)
    knee = f.MovementFactory(revision__areas=["knee"], revision__name="Lunge").current

    (remark,) = remarks(ready, replace(_row(), **{option: knee, limit: 5}))

    assert (remark.movement, remark.stops) == ("Lunge", True)


def test_set_that_does_not_fit_its_interval_is_remarked(ready):
    long = replace(_row(), amount_low=20, amount_high=20)  # 20 x 4 s

    (remark,) = check_session([Together([long], GroupKind.EVERY_MINUTE, interval_s=60)], limits_of(ready, on=f.MONDAY))

    assert (remark.text, remark.stops) == ("Its set is not over when the next one begins (every 60 s).", False)


@pytest.mark.parametrize(
    ("sets", "over"), [(3, []), (10, ["10 rounds do not fit into 6 minutes: about 8 minutes more, without rest."])]
)
def test_rounds_that_do_not_fit_their_minutes_are_remarked(ready, sets, over):
    squat, push = (replace(_row(), sets=sets, amount_low=10, amount_high=10) for _ in range(2))  # 2 x 10 x 4 s a round

    found = check_session([Together([squat, push], GroupKind.ROUNDS, minutes=6)], limits_of(ready, on=f.MONDAY))

    assert [remark.text for remark in found] == over


def _block(client, cast, *sets_by_week, deload_week=None):
    block = f.BlockFactory(client=client, weeks=len(sets_by_week), deload_week=deload_week)
    for week, sets in enumerate(sets_by_week, 1):
        session = building.add_session(block, version=block.version, name="A", week=week, weekday=5)
        rows = [replace(_row(), sets=sets)] if sets else []
        building.save_session(session, rows, version=session.block.version, name="A", weekday=5)
        block.refresh_from_db()
    return block


@pytest.mark.parametrize(("sets", "named"), [((4, 2), []), ((4, 4), [2]), ((2, 4), [2])])
def test_deload_week_that_is_no_lighter_is_remarked(ready, cast, sets, named):
    block = _block(ready, cast, *sets, deload_week=2)

    found = check_block(with_contents(block.sessions.all()), limits_of(ready, on=f.MONDAY))

    assert [session.week for sessions in found.values() for session in sessions] == named


def test_session_without_a_movement_is_remarked_and_gets_no_day(ready, cast):
    block = _block(ready, cast, 3, 0)

    found = check_block(with_contents(block.sessions.all()), limits_of(ready, on=f.MONDAY))
    publish_block(block, by=cast.coach, at=f.NOON, first_day=block.starts_on)

    assert [remark.text for remark in found] == ["Nothing in it yet: it gets no day."]
    assert not ScheduledSession.objects.filter(session__week=2).exists()


def test_option_that_is_not_possible_is_remarked(ready):
    bar = f.MovementFactory(revision__equipment=[["bar"]]).current

    (remark,) = remarks(ready, replace(_row(), harder=bar, harder_from=5))

    assert (remark.text, remark.stops) == ("An option that is not possible: Not at this place: A pull-up bar.", False)
