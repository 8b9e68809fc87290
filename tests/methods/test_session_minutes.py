"""How long sessions take, worked by hand step by step.

Assumed everywhere, as common practice: 60 s to set up each movement, 10 s to change sides, 4 s a repetition without a
tempo, an X counted as 1 s. The sums are exact; how far a person's session is from them nobody has measured.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import volume
from methods.volume import PlannedWork
from tests.methods.registry import Checks, Tag

CHECKS = Checks("volume")
HAND = "worked by hand, step by step beside it"
USUAL_MINUTES = (20, 90)  # a strength session from a short one at home to a long one: common practice


def home_session_s():
    push_up, row = PlannedWork(3, 12, tempo="2-0-2-0", rest_s=60), PlannedWork(3, 10, rest_s=90)
    split_squat = PlannedWork(3, 8, tempo="3-1-1-0", rest_s=90, sides=2)
    plank = PlannedWork(3, seconds=30, rest_s=45)
    return volume.session_duration_s([[[push_up, row]], [[split_squat], [plank]]], extra_s=300)


# Warm-up                                                                     300
# Pair: setting up two                                2 x 60                = 120
#   push-ups, 2 + 0 + 2 + 0 = 4 s each                3 x 12 x 4            = 144
#   rows without a tempo                              3 x 10 x 4            = 120
#   after two of the three rounds the longer rest     2 x 90                = 180
# Split squat: setting up                                                      60
#   a set: 8 x (3 + 1 + 1 + 0) = 40 s, change 10, 40  3 x (40 + 10 + 40)    = 270
#   rest between three sets                           2 x 90                = 180
# Plank: setting up, holds, rests                     60 + 3 x 30 + 2 x 45  = 240
#                                                                     sum    1614 s = 26.9 min
CHECKS.add(Tag.ARITHMETIC, HAND, "session_duration_s", "at home: pair, sides, hold", 1614.0, home_session_s)


def rounds_session_s():
    circuit = [PlannedWork(3, 15, rest_s=30), PlannedWork(3, 10, rest_s=30), PlannedWork(3, seconds=40, rest_s=120)]
    every_minute = [PlannedWork(5, 5), PlannedWork(5, 8)]
    return (
        300
        + volume.circuit_duration_s(circuit)
        + 2 * volume.SET_UP_S
        + volume.every_interval_duration_s(every_minute, 60)
        + 2 * volume.SET_UP_S
        + volume.fixed_time_duration_s(12)
    )


# Warm-up                                                                     300
# Circuit: setting up three                           3 x 60                = 180
#   squats 15 x 4 = 60, push-ups 10 x 4 = 40, carry 40
#                                                     3 x (60 + 40 + 40)    = 420
#   30 after the first and the second station         3 x (30 + 30)         = 180
#   120 after two of the three rounds                 2 x 120               = 240
#                                                                   circuit  1020
# Every minute, two in turn, five rounds: setting up  2 x 60                = 120
#                                                     5 x 2 x 60            = 600
# As many rounds of two as fit into 12 min: setting up                      = 120
#                                                     12 x 60               = 720
#                                                                     sum    2880 s = 48 min
CHECKS.add(Tag.ARITHMETIC, HAND, "circuit_duration_s", "three rounds, rests after stations and rounds", 2880.0,
           rounds_session_s)  # fmt: skip


def heavy_session_s():
    pull_up = PlannedWork(4, 6, rest_s=180, cluster_repetitions=2, rest_within_s=20)
    squat = PlannedWork(5, 5, tempo="3-1-X-0", rest_s=180)
    dip, leg_raise = PlannedWork(4, 6, rest_s=120), PlannedWork(2, 10, rest_s=60)
    hang = PlannedWork(5, seconds=20, rest_s=60)
    return volume.session_duration_s([[[pull_up], [squat]], [[dip, leg_raise], [hang]]], extra_s=600)


# Warm-up                                                                     600
# Pull-ups: setting up                                                         60
#   a set 2, rest, 2, rest, 2: 8 + 20 + 8 + 20 + 8 = 64     4 x 64          = 256
#   rest between four sets                                  3 x 180         = 540
# Squats: setting up                                                           60
#   3 + 1 + 1 (X) + 0 = 5 s each                            5 x 5 x 5       = 125
#   rest between five sets                                  4 x 180         = 720
# Pair of unequal sets: setting up two                      2 x 60          = 120
#   dips 4 x 6 x 4 = 96, leg raises 2 x 10 x 4 = 80         96 + 80         = 176
#   after round 1 both go on (120 > 60), then dips alone    120 + 120 + 120 = 360
# Hang: setting up, holds, rests                            60 + 100 + 240  = 400
#                                                                     sum    3417 s = 56.95 min
CHECKS.add(Tag.ARITHMETIC, HAND, "session_duration_s", "heavy: cluster, unequal pair", 3417.0, heavy_session_s)
for name, session in [("at home", home_session_s), ("rounds", rounds_session_s), ("heavy", heavy_session_s)]:
    CHECKS.add(Tag.PRACTICE, "a strength session of 20 to 90 minutes", "session_duration_s", f"{name}, within", True,
               lambda session=session: USUAL_MINUTES[0] <= session() / 60 <= USUAL_MINUTES[1])  # fmt: skip


# 36 repetitions with 420 s of rest in all, in three orders; at 4 s a repetition the work is 144 s in each.
TUFANO = "Tufano et al. 2017, J Hum Kinet"
PARTS_OF_4 = PlannedWork(3, 12, rest_s=120, cluster_repetitions=4, rest_within_s=30)
for case, work in [
    ("36 repetitions: 3 x 12 in parts of 4, 30 s within", PARTS_OF_4),
    ("36 repetitions: 9 x 4", PlannedWork(9, 4, rest_s=52.5)),
    ("36 repetitions: singles", PlannedWork(36, 1, rest_s=12)),
]:
    CHECKS.add(Tag.READ, TUFANO, "group_duration_s", case, 420.0,
               lambda work=work: volume.group_duration_s([work], set_up_s=0) - 36 * 4)  # fmt: skip

# "Roughly half" is read as a saving of 40 to 60 %, with the 3 minutes that the position stand of 2009 gives heavy sets.
HEAVY_FIVES = PlannedWork(3, 5, rest_s=180)
CHECKS.add(Tag.READ, "Iversen et al. 2021, Sports Med 51:2079", "group_duration_s",
           "two in alternation take roughly half the time", 0.5,
           lambda: volume.group_duration_s([HEAVY_FIVES] * 2, set_up_s=0)
                   / (2 * volume.group_duration_s([HEAVY_FIVES], set_up_s=0)), 0.1)  # fmt: skip

for case, work, interval_s, expected in [
    ("4 repetitions leave 60 - 16", PlannedWork(10, 4), 60, 44.0),
    ("a 40 s hold leaves 90 - 40", PlannedWork(6, seconds=40), 90, 50.0),
    ("6 a side: 60 - (24 + 10 + 24)", PlannedWork(6, 6, sides=2), 60, 2.0),
    ("6 in parts of 2: 60 - (24 + 2 x 10)", PlannedWork(6, 6, cluster_repetitions=2, rest_within_s=10), 60, 16.0),
    ("20 repetitions do not fit: 60 - 80", PlannedWork(5, 20), 60, -20.0),
]:
    CHECKS.add(Tag.ARITHMETIC, HAND, "interval_slack_s", case, expected,
               lambda a=(work, interval_s): volume.interval_slack_s(*a))  # fmt: skip
CHECKS.add(Tag.ARITHMETIC, HAND, "every_interval_duration_s", "10 rounds of a minute", 600.0,
           lambda: volume.every_interval_duration_s([PlannedWork(10, 4)], 60))  # fmt: skip
CHECKS.add(Tag.ARITHMETIC, HAND, "every_interval_duration_s", "3 members, 4 rounds, 90 s", 1080.0,
           lambda: volume.every_interval_duration_s([PlannedWork(4, 4)] * 3, 90))  # fmt: skip
CHECKS.add(Tag.ARITHMETIC, HAND, "fixed_time_duration_s", "12 minutes", 720.0, lambda: volume.fixed_time_duration_s(12))
# 2 rounds of all three, a third of the first alone: 3 x 20 + 2 x 20 + 2 x 20 work; rests (15 + 15) + (15 + 15) after
# stations, none in the third round; 60 after rounds one and two.
CHECKS.add(Tag.ARITHMETIC, HAND, "circuit_duration_s", "one station goes on alone", 320.0,
           lambda: volume.circuit_duration_s([PlannedWork(3, 5, rest_s=15), PlannedWork(2, 5, rest_s=15),
                                              PlannedWork(2, 5, rest_s=60)], set_up_s=0))  # fmt: skip
# 7 in parts of 3: 3, 3, 1, so two rests of 15: 28 + 30, twice, and 90 between.
CHECKS.add(Tag.ARITHMETIC, HAND, "group_duration_s", "7 in parts of 3", 206.0,
           lambda: volume.group_duration_s([PlannedWork(2, 7, rest_s=90, cluster_repetitions=3, rest_within_s=15)],
                                           set_up_s=0))  # fmt: skip


def test_session_minutes_agree_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: PlannedWork(3, seconds=20, cluster_repetitions=2), "only sets of repetitions"),
        (lambda: PlannedWork(3, 6, cluster_repetitions=0), "at least one repetition"),
        (lambda: PlannedWork(3, 6, cluster_repetitions=2, rest_within_s=-1), "negative"),
        (lambda: PlannedWork(3, 6, rest_within_s=10), "needs the repetitions of a part"),
        (lambda: volume.circuit_duration_s([], switch_s=-1), "negative"),
        (lambda: volume.every_interval_duration_s([PlannedWork(1, 5)], 0), "positive"),
        (lambda: volume.interval_slack_s(PlannedWork(1, 5), 0), "positive"),
        (lambda: volume.fixed_time_duration_s(0), "positive"),
    ],
)
def test_session_minutes_refuse_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


def test_a_circuit_without_sets_takes_no_time():
    assert volume.circuit_duration_s([PlannedWork(0, 5, rest_s=60)]) == 0


WORKS = st.builds(
    PlannedWork,
    sets=st.integers(0, 8),
    repetitions=st.integers(1, 20),
    rest_s=st.integers(0, 300).map(float),
    sides=st.sampled_from([1, 2]),
)
GROUPS = st.lists(WORKS, min_size=1, max_size=4)


@given(WORKS)
def test_a_circuit_of_one_lasts_as_long_as_a_single(work):
    assert volume.circuit_duration_s([work]) == volume.group_duration_s([work])


@given(GROUPS)
def test_alternating_lasts_no_longer_than_one_after_the_other(works):
    assert volume.group_duration_s(works) <= sum(volume.group_duration_s([work]) for work in works)


@given(WORKS, WORKS)
def test_a_pair_never_saves_more_than_half(one, other):
    apart = volume.group_duration_s([one]) + volume.group_duration_s([other])

    assert volume.group_duration_s([one, other]) >= apart / 2


@given(WORKS, st.integers(1, 20), st.integers(0, 60))
def test_a_cluster_adds_exactly_its_rests(work, part, rest_within_s):
    cluster = replace(work, cluster_repetitions=part, rest_within_s=float(rest_within_s))
    breaks = work.sets * work.sides * ((work.repetitions - 1) // part)

    assert volume.group_duration_s([cluster]) == volume.group_duration_s([work]) + breaks * rest_within_s


@given(WORKS, st.integers(10, 600))
def test_an_interval_is_its_set_and_what_is_left(work, interval_s):
    one_set_s = volume.group_duration_s([replace(work, sets=1)], set_up_s=0)

    assert volume.interval_slack_s(work, interval_s) + one_set_s == interval_s
