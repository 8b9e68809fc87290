import datetime
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients.choices import Ceiling, ItemKind
from clients.models import Place
from programs.domain import graph
from programs.domain.instead import around
from programs.domain.library import load_library, why_not
from programs.domain.resolving import Want
from programs.models import HiddenMovement, Movement
from tests import factories as f

pytestmark = pytest.mark.django_db
DAY = f.MONDAY


@pytest.fixture
def ready(cast):
    load_library()
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    return cast


def dose(cast, slug, **fields):
    revision = Movement.objects.get(slug=slug, practice=None).current
    block = f.BlockFactory(client=cast.client)
    section = f.SectionFactory(session=f.BlockSessionFactory(block=block))
    return f.PrescriptionFactory(group=f.GroupFactory(section=section), movement=revision, **fields)


def have(cast, *kinds, checked=DAY):
    place = f.PlaceFactory(client=cast.client)
    for kind in kinds:
        f.EquipmentItemFactory(place=place, kind=kind, set_up_checked_on=checked)


def slug_of(answer):
    return answer.movement and answer.movement.slug


def test_what_stands_in_follows_what_is_at_the_place(ready):
    have(ready, ItemKind.BAR, ItemKind.STRAPS)
    found = around(ready.client, on=DAY)
    pull_up = dose(ready, "pull-up")

    assert slug_of(found.instead_of(pull_up)) == "pull-up"
    assert slug_of(found.without({"bar"}).instead_of(pull_up)) == "ring-row-75deg"


def test_thing_whose_check_ran_out_does_not_count(ready):
    have(ready, ItemKind.BAR, checked=DAY - datetime.timedelta(days=200))

    answer = around(ready.client, on=DAY).instead_of(dose(ready, "pull-up"))

    assert answer.dose is None
    assert "set-up check" in answer.why


def test_chairs_carry_a_dip_when_the_coach_allows_it_at_this_place_and_they_are_checked(ready):
    have(ready, ItemKind.CHAIR)
    hold = dose(ready, "support-hold", target_rir=Decimal(3))
    place = Place.objects.get(client=ready.client)
    refused = around(ready.client, on=DAY).instead_of(hold)

    f.ChairPermissionFactory(client=ready.client, place=place)
    found = around(ready.client, on=DAY)

    assert refused.dose is None
    assert "Chairs do not carry" in refused.why
    assert slug_of(found.instead_of(hold)) == "support-hold"
    assert why_not(hold.movement, found.there) == ""
    assert around(ready.client, on=DAY + datetime.timedelta(days=200)).instead_of(hold).dose is None


def test_barred_area_ceiling_and_lock_are_the_ones_of_publishing(ready):
    push_up = dose(ready, "push-up", target_rir=Decimal(1))
    f.ProtectedAreaFactory(client=ready.client, area="wrist", barred=True, from_on=DAY)

    assert "Wrist" in around(ready.client, on=DAY).instead_of(push_up).why


def test_without_leave_to_train_there_is_nothing_instead(cast):
    load_library()

    assert around(cast.client, on=DAY).instead_of(dose(cast, "push-up")).dose is None


def test_ceiling_of_the_screening_holds(cast):
    load_library()
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client, ceiling=Ceiling.MODERATE)
    push_up = dose(cast, "push-up", target_rir=Decimal(1))
    f.SetLogFactory(client=cast.client, movement=push_up.movement, training_day=DAY - datetime.timedelta(days=3))

    answer = around(cast.client, on=DAY).instead_of(push_up)

    assert slug_of(answer) != "push-up"
    assert answer.dose.target_rir >= 3


def test_first_time_starts_small_and_what_was_done_lately_does_not(ready):
    push_up = dose(ready, "push-up", sets=4)
    first = around(ready.client, on=DAY).instead_of(push_up)
    f.SetLogFactory(client=ready.client, movement=push_up.movement, training_day=DAY - datetime.timedelta(days=3))

    known = around(ready.client, on=DAY).instead_of(push_up)

    assert (first.dose.sets, known.dose.sets) == (2, 4)


def test_what_the_practice_hid_is_not_offered(ready):
    have(ready, ItemKind.STRAPS)
    movement = Movement.objects.get(slug="ring-row-75deg")
    HiddenMovement.objects.create(practice=ready.practice, movement=movement, by=ready.owner, at=f.NOON)

    assert slug_of(around(ready.client, on=DAY).instead_of(dose(ready, "pull-up"))) == "ring-row-60deg"


def test_whole_session_takes_as_many_queries_as_one_movement(ready):
    doses = [dose(ready, slug) for slug in ("pull-up", "push-up", "split-squat", "dead-bug", "chin-up")]
    graph.forget()
    asked = [around_and_resolve(ready.client, doses[:1]), around_and_resolve(ready.client, doses)]

    # The first reads the library, the second only asks whether it changed.
    assert asked[1] == asked[0] - 1
    assert asked[1] <= 14


def around_and_resolve(client, doses):
    with CaptureQueriesContext(
        connection,
    ) as queries:
        found = around(client, on=DAY)
        for one in doses:
            for want in Want:
                found.instead_of(one, want)
    return len(queries)


def test_new_revision_is_seen_at_once(ready):
    have(ready, ItemKind.STRAPS)
    pull_up = dose(ready, "pull-up")
    around(ready.client, on=DAY).instead_of(pull_up)
    movement = Movement.objects.get(slug="ring-row-75deg")
    old = movement.current
    movement.current = f.MovementRevisionFactory(
        movement=movement, number=old.number + 1, name="New", equipment=[["bar"]], load_kind=old.load_kind
    )
    movement.save()

    assert slug_of(around(ready.client, on=DAY).instead_of(pull_up)) == "ring-row-60deg"
