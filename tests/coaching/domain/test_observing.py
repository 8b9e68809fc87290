import datetime
import re

import pytest

from coaching.domain.observing import observations
from methods.wellness import MCLEAN_ITEMS
from programs.choices import Measure
from tests import factories as f

pytestmark = pytest.mark.django_db
TODAY = datetime.date(2026, 6, 1)
WEEKS = 12


def _verdict(cast, repetitions: int, kind: str = "work") -> str:
    """Twelve weeks of the same repetitions, where eight to twelve are prescribed."""
    movement = f.MovementRevisionFactory(measure=Measure.REPETITIONS)
    block = f.BlockFactory(client=cast.client)
    group = f.GroupFactory(section__session=f.BlockSessionFactory(block=block))
    dose = f.PrescriptionFactory(group=group, movement=movement, amount_low=8, amount_high=12, kind=kind)
    scheduled = f.ScheduledSessionFactory(client=cast.client, session=group.section.session, on=TODAY)
    for week in range(WEEKS):
        day = TODAY - datetime.timedelta(weeks=WEEKS - week)
        f.SetLogFactory(
            client=cast.client,
            scheduled=scheduled,
            prescription=dose,
            lineage=dose.lineage,
            movement=movement,
            kind=kind,
            training_day=day,
            number=week + 1,
            repetitions=repetitions,
            system_load_kg=None,
        )
    return observations(cast.client, today=TODAY)[0].verdict


@pytest.mark.parametrize("kind", ["work", "top", "back_off"])
def test_same_repetitions_inside_the_range_are_a_stall(cast, kind):
    assert _verdict(cast, 10, kind) == "STALLED"


def test_same_repetitions_at_the_top_are_no_stall_because_more_was_not_asked(cast):
    assert _verdict(cast, 12) == "UNCLEAR"


# Check-ins beside the movements


def _two_movements_that_may_have_stopped(cast) -> None:
    """Hardly rising, with a good deal of noise. What check-ins say bears on several movements only together."""
    block = f.BlockFactory(client=cast.client)
    group = f.GroupFactory(section__session=f.BlockSessionFactory(block=block))
    scheduled = f.ScheduledSessionFactory(client=cast.client, session=group.section.session, on=TODAY)
    for _ in range(2):
        movement = f.MovementRevisionFactory(measure=Measure.REPETITIONS)
        dose = f.PrescriptionFactory(group=group, movement=movement)
        for week in range(WEEKS):
            f.SetLogFactory(
                client=cast.client,
                scheduled=scheduled,
                prescription=dose,
                lineage=dose.lineage,
                movement=movement,
                training_day=TODAY - datetime.timedelta(weeks=WEEKS - week),
                number=week + 1,
                repetitions=8,
                rir=1,
                system_load_kg=80 + week / 4 + 3 * (week * 2 % 3 - 1),
            )


def _percent_stalled(cast) -> int:
    reason = observations(cast.client, today=TODAY)[0].reason
    found = re.search(r"(\d+) % probable|stalled is (\d+) %", reason)
    assert found, reason
    return int(found[1] or found[2])


def _check_in(cast, answers: list[int], **said) -> None:
    """One a week, the oldest first, all five items alike."""
    for week, answer in enumerate(answers):
        due_on = TODAY - datetime.timedelta(weeks=len(answers) - week)
        f.CheckInFactory(
            client=cast.client,
            week=due_on - datetime.timedelta(days=due_on.weekday()),
            due_on=due_on,
            **dict.fromkeys(MCLEAN_ITEMS, answer) | said,
        )


def test_check_ins_that_fell_for_good_make_a_stall_more_probable(cast):
    _two_movements_that_may_have_stopped(cast)
    alone = _percent_stalled(cast)
    _check_in(cast, [4] * 4 + [3] * 8)

    assert _percent_stalled(cast) > alone


@pytest.mark.parametrize(
    "told", [{"answers": [4] * 3 + [3] * 2}, {"answers": [4] * 4 + [3] * 8, "mood": None}], ids=["too few", "no sum"]
)
def test_check_ins_that_say_too_little_change_nothing(cast, told):
    _two_movements_that_may_have_stopped(cast)
    alone = _percent_stalled(cast)
    _check_in(cast, **told)

    assert _percent_stalled(cast) == alone
