import pytest

from programs.choices import GroupKind, Measure, SetKind
from programs.domain.rows import Row, Together
from programs.domain.timing import minutes_of, seconds_of
from programs.models import MovementRevision

REPS = MovementRevision(name="Row", measure=Measure.REPETITIONS)
ROW = Row(movement=REPS, sets=4, amount_low=5, amount_high=5, rest_s=60)  # 4 s a rep


@pytest.mark.parametrize(
    ("group", "seconds"),
    [
        (Together([ROW]), 60 + 4 * 20 + 3 * 60),
        (Together([ROW, ROW], GroupKind.PAIR), 2 * 60 + 8 * 20 + 3 * 60),
        (Together([ROW, ROW], GroupKind.CIRCUIT), 2 * 60 + 8 * 20 + 4 * 60 + 3 * 60),
        (Together([ROW, ROW], GroupKind.ROUNDS, minutes=10), 2 * 60 + 600),
        (Together([ROW, ROW], GroupKind.EVERY_MINUTE, interval_s=90), 2 * 60 + 8 * 90),
    ],
)
def test_each_kind_of_group_takes_its_time(group, seconds):
    assert seconds_of(group) == seconds


def test_parts_of_a_cluster_rest_between():
    row = Row(
        movement=REPS, kind=SetKind.CLUSTER, sets=2, amount_high=6, amount_low=6, cluster_reps=2, rest_within_s=15
    )

    # 60 + 2 x (24 + 2 x 15) + 90 = 258 s.
    assert minutes_of([Together([row])]) == 5
