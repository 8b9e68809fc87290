import datetime
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.choices import ItemKind
from programs.domain.library import load_library
from programs.models import Movement, SetLog
from tests import factories as f
from tests.programs.log import session_with

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned(cast):
    """A pull-up in today's session, with straps at hand and no bar."""
    load_library()
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    place = f.PlaceFactory(client=cast.client)
    f.EquipmentItemFactory(place=place, kind=ItemKind.STRAPS, set_up_checked_on=timezone.localdate())
    pull_up = Movement.objects.get(slug="pull-up").current
    return session_with(cast, movement=pull_up)


def test_client_is_offered_another_movement_and_logs_it_in_place(cast, planned, signed_in):
    scheduled, dose = planned
    browser = signed_in(cast.client_user)
    page = browser.get(reverse("train-instead", args=[scheduled.uuid, dose.uuid]))
    offered = page.context["offer"].movement

    kept = browser.post(
        reverse("train-log", args=[scheduled.uuid]),
        {"kind": "set", "uuid": str(page.context["rows"][0].new_id), "prescription": str(dose.uuid), "number": "1"}
        | {"side": "both", "movement": str(offered.revision_uuid), "repetitions": "6"},
    )

    assert kept.status_code == 302, kept.context["refusal"]
    assert SetLog.objects.get().movement.name == offered.name
    assert offered.name in browser.get(reverse("train", args=[scheduled.uuid])).content.decode()
    assert [row.number for row in browser.get(page.request["PATH_INFO"]).context["rows"]] == [2]


def _page(browser, planned):
    return browser.get(reverse("train-instead", args=[planned[0].uuid, planned[1].uuid]))


def _send(browser, planned, page, row, **said):
    offered = page.context["offer"].movement
    told = {"kind": "set", "uuid": str(row.new_id), "prescription": str(planned[1].uuid), "number": str(row.number)}
    told |= {"side": row.side, "movement": str(offered.revision_uuid), row.amount_name: "6"} | said
    return browser.post(reverse("train-log", args=[planned[0].uuid]), told)


def test_last_set_of_something_else_asks_how_many_were_left(cast, planned, signed_in):
    browser = signed_in(cast.client_user)
    page = _page(browser, planned)
    rows = page.context["rows"]

    _send(browser, planned, page, rows[-1], rir="2")

    assert [row.asks_reserve for row in rows] == [False] * (len(rows) - 1) + [True]
    assert "Reps you had left" in page.content.decode()
    assert SetLog.objects.get().rir == 2


@pytest.fixture
def one_armed(cast, planned):
    """Instead of the pull-up only a row on one arm is left."""
    own = f.MovementFactory(
        practice=cast.practice,
        revision__name="One-armed strap row",
        revision__equipment=[["straps"]],
        revision__pattern="vpull",
        revision__one_sided=True,
        revision__share="0.4",
    )
    line = f.ProgressionLineFactory(practice=cast.practice)
    f.ProgressionEdgeFactory(line=line, easier=own, harder=Movement.objects.get(slug="pull-up"))
    for movement in Movement.objects.filter(current__pattern__in=["hpull", "hang"], practice=None):
        f.HiddenMovementFactory(practice=cast.practice, movement=movement, by=cast.owner)
    return planned


def test_something_else_with_two_sides_is_written_down_for_each(cast, one_armed, signed_in):
    browser = signed_in(cast.client_user)
    page = _page(browser, one_armed)
    left = page.context["split_rows"][0]

    _send(browser, one_armed, page, left)

    assert page.context["rows"][0].label == "Set 1, each side"
    stored = SetLog.objects.get()
    assert (stored.side, stored.movement.name, stored.hard_set) == ("left", "One-armed strap row", Decimal("0.5"))
    assert [(row.number, row.side) for row in _page(browser, one_armed).context["rows"]][:2] == [
        (1, "right"),
        (2, "both"),
    ]


def test_other_side_on_the_training_page_is_of_what_was_done_instead(cast, one_armed, signed_in):
    browser = signed_in(cast.client_user)
    page = _page(browser, one_armed)
    _send(browser, one_armed, page, page.context["split_rows"][0])

    session = browser.get(reverse("train", args=[one_armed[0].uuid])).context["page"]
    left, right = session.sections[0].groups[0].cards[0].rows[:2]

    assert right.stored is None
    assert (left.movement, left.amount, left.has_sides) == (right.movement, right.amount, True)


def test_set_of_something_else_is_no_last_time_of_what_was_planned(cast, planned, signed_in):
    scheduled, dose = planned
    earlier = f.ScheduledSessionFactory(client=cast.client, on=scheduled.on - datetime.timedelta(days=3))
    for revision, amount in [(Movement.objects.get(slug="ring-row-45deg").current, 19), (dose.movement, 7)]:
        f.SetLogFactory(
            client=cast.client,
            scheduled=earlier,
            movement=revision,
            lineage=dose.lineage,
            number=amount,
            repetitions=amount,
            training_day=earlier.on,
        )

    page = signed_in(cast.client_user).get(reverse("train", args=[scheduled.uuid])).content.decode()

    assert "Last time: 7 reps" in page


def test_thing_that_is_not_there_today_is_not_offered(cast, planned, signed_in):
    scheduled, dose = planned
    address = reverse("train-instead", args=[scheduled.uuid, dose.uuid])

    page = signed_in(cast.client_user).get(address, {"without": "straps"})

    assert page.context["offer"].movement is None
    assert "Nothing for today" in page.content.decode()


def test_prescription_of_another_session_is_not_there(cast, planned, signed_in):
    _other, dose = session_with(cast)

    page = signed_in(cast.client_user).get(reverse("train-instead", args=[planned[0].uuid, dose.uuid]))

    assert page.status_code == 404


def test_coach_sees_what_the_client_could_do(cast, planned, signed_in):
    _scheduled, dose = planned

    page = signed_in(cast.coach).get(reverse("could-do", args=[cast.client.uuid, dose.uuid]))

    assert [offer.movement and offer.movement.slug for _words, offer in page.context["offers"]][:2] == [
        "ring-row-75deg",
        "ring-row-75deg",
    ]
