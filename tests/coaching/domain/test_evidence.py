"""What the arbiter is told about one prescription."""

import datetime

import pytest

from clients.domain.pain import report_pain
from clients.domain.telling_pain import answer_next_morning
from coaching.domain.evidence import gather, surroundings
from methods.pain import PainAction
from tests import factories as f
from tests.programs.log import movement, session_with

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("same", "first"), [(True, False), (False, True)])
def test_something_else_done_in_its_place_is_no_exposure_to_what_was_planned(cast, same, first):
    scheduled, dose = session_with(cast)
    done = dose.movement if same else movement(name="Something else")
    f.SetLogFactory(client=cast.client, scheduled=scheduled, lineage=dose.lineage, movement=done)
    around = surroundings(cast.client, today=f.MONDAY + datetime.timedelta(days=7))

    evidence = gather(around, dose, [scheduled])

    assert evidence.first_exposure is first
    assert (evidence.days_since_last is None) is first


@pytest.mark.parametrize(("morning", "waits"), [(False, True), (True, False)])
def test_progression_waits_for_the_morning(cast, morning, waits):
    """Told through the real functions: everything but the morning is known, and only the morning changes it."""
    scheduled, dose = session_with(cast)
    client, by = cast.client, cast.client.user
    today = f.MONDAY + datetime.timedelta(days=7)
    told = {"area": "knee", "side": "left", "during": 1, "after": 1, "by": by, "after_blow": False, "pin_point": False}
    before = report_pain(client, **told, on=f.MONDAY - datetime.timedelta(days=1), at=f.NOON)
    answer_next_morning(before, after=1, next_morning="usual", by=by, at=f.NOON)
    report_pain(client, **told, on=today - datetime.timedelta(days=2), at=f.NOON)
    told["movement_slug"] = dose.movement.movement.slug  # both weeks had pain in something else before
    report = report_pain(client, **told, on=today - datetime.timedelta(days=1), at=f.NOON)
    if morning:
        answer_next_morning(report, after=1, next_morning="usual", by=by, at=f.NOON)

    evidence = gather(surroundings(client, today=today), dose, [scheduled])

    assert evidence.pain is (PainAction.PENDING if waits else PainAction.CONTINUE)


BAR = {"name": "Hang", "equipment": [["bar"]], "details": {"bar": {"height_cm": 170}}}


@pytest.mark.parametrize(
    ("harder", "things", "known"),
    [
        ({"name": "Dip", "pattern": "dip", "equipment": [["chair"]]}, {"chair": {}}, False),
        ({"name": "Dip", "pattern": "dip", "equipment": [["dip_bars"]]}, {"dip_bars": {}}, True),
        (BAR, {"bar": {"height_cm": 150}}, False),
        (BAR, {"bar": {"height_cm": 190}}, True),
    ],
)
def test_step_that_the_resolver_refuses_is_never_suggested(cast, harder, things, known):
    scheduled, dose = session_with(cast)
    today = f.MONDAY + datetime.timedelta(days=7)
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client, expires_on=today)
    place = f.PlaceFactory(client=cast.client, practice=cast.practice)
    for kind, attributes in things.items():
        f.EquipmentItemFactory(place=place, kind=kind, attributes=attributes)
    f.ProgressionEdgeFactory(easier=dose.movement.movement, harder=movement(**harder).movement)

    around = surroundings(cast.client, today=today)

    assert around.day.no_start == ""
    assert gather(around, dose, [scheduled]).next_step_known is known
