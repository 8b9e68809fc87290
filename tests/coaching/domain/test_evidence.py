"""What the arbiter is told about one prescription."""

import datetime

import pytest

from coaching.domain.evidence import gather, surroundings
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
