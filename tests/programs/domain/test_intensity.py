from decimal import Decimal

import pytest

from clients.choices import Ceiling
from programs.choices import LoadKind, Pattern, SetKind
from programs.domain.intensity import needed_ceiling
from programs.models import MovementRevision

PUSH = {"pattern": Pattern.HORIZONTAL_PUSH, "load_kind": LoadKind.BODY_SHARE}
STRETCH = {"pattern": Pattern.HIP_MOBILITY, "load_kind": LoadKind.NONE}


def _needed(movement=PUSH, kind=SetKind.WORK, rir=None, rpe=None, **extra):
    return needed_ceiling(
        MovementRevision(**movement, **extra),
        kind,
        target_rir=None if rir is None else Decimal(rir),
        target_rpe=None if rpe is None else Decimal(rpe),
    )


@pytest.mark.parametrize(
    ("effort", "ceiling"),
    [
        ({"rir": "3"}, Ceiling.MODERATE),
        ({"rir": "2.5"}, Ceiling.VIGOROUS),
        ({"rir": "0"}, Ceiling.VIGOROUS),
        ({"rpe": "6"}, Ceiling.MODERATE),
        ({"rpe": "6.5"}, Ceiling.VIGOROUS),
        ({}, Ceiling.VIGOROUS),
    ],
)
def test_work_sets_need_a_ceiling_by_stated_effort(effort, ceiling):
    assert _needed(**effort) == ceiling


def test_max_reps_are_vigorous_whatever_is_written_beside_them():
    assert _needed(kind=SetKind.MAX_REPS, rir="5") == Ceiling.VIGOROUS


def test_straining_movement_is_vigorous_even_far_from_the_last_rep():
    assert _needed(vigorous=True, rir="5") == Ceiling.VIGOROUS


def test_warm_up_without_effort_is_moderate():
    assert _needed(kind=SetKind.WARM_UP) == Ceiling.MODERATE


def test_back_off_without_effort_is_vigorous():
    assert _needed(kind=SetKind.BACK_OFF) == Ceiling.VIGOROUS


def test_mobility_is_light():
    assert _needed(STRETCH) == Ceiling.LIGHT


def test_hard_effort_in_a_light_pattern_is_still_hard():
    assert _needed(STRETCH, rir="1") == Ceiling.VIGOROUS
