import datetime

import pytest

from coaching.domain.observing import observations
from programs.choices import Measure
from tests import factories as f

pytestmark = pytest.mark.django_db
TODAY = datetime.date(2026, 6, 1)
WEEKS = 12


def _verdict(cast, repetitions: int) -> str:
    """Twelve weeks of the same repetitions, where eight to twelve are prescribed."""
    movement = f.MovementRevisionFactory(measure=Measure.REPETITIONS)
    block = f.BlockFactory(client=cast.client)
    group = f.GroupFactory(section__session=f.BlockSessionFactory(block=block))
    dose = f.PrescriptionFactory(group=group, movement=movement, amount_low=8, amount_high=12)
    scheduled = f.ScheduledSessionFactory(client=cast.client, session=group.section.session, on=TODAY)
    for week in range(WEEKS):
        day = TODAY - datetime.timedelta(weeks=WEEKS - week)
        f.SetLogFactory(
            client=cast.client,
            scheduled=scheduled,
            prescription=dose,
            lineage=dose.lineage,
            movement=movement,
            training_day=day,
            number=week + 1,
            repetitions=repetitions,
            system_load_kg=None,
        )
    return observations(cast.client, today=TODAY)[0].verdict


def test_same_repetitions_inside_the_range_are_a_stall(cast):
    assert _verdict(cast, 10) == "STALLED"


def test_same_repetitions_at_the_top_are_no_stall_because_more_was_not_asked(cast):
    assert _verdict(cast, 12) == "UNCLEAR"
