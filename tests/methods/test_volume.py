import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import volume
from methods.undefined import Undefined
from methods.volume import PlannedWork, Tempo
from tests.methods.registry import Checks, Tag

CHECKS = Checks("volume")
A, HAND = Tag.ARITHMETIC, "worked by hand"
CHECKS.add(Tag.READ, "Pelland et al. 2025, Sports Med", "fractional_sets", "4 direct, 6 indirect", 7.0,
           lambda: volume.fractional_sets(4, 6))  # fmt: skip
TUFANO = "Tufano et al. 2017, J Hum Kinet"
CHECKS.add(Tag.READ, TUFANO, "rest_redistribution_s", "9 sets of 4", 52.5, lambda: volume.rest_redistribution_s(420, 9))
CHECKS.add(Tag.READ, TUFANO, "rest_redistribution_s", "36 singles", 12.0, lambda: volume.rest_redistribution_s(420, 36))
CHECKS.add(Tag.READ, "Wilk et al. 2018, PMC6006544", "parse_tempo", "5/0/3/0 as printed", Tempo(5, 0, 3, 0),
           lambda: volume.parse_tempo("5/0/3/0"))  # fmt: skip


def kept(*totals):
    return tuple(volume.retention_per_set(total, 10) for total in totals)


RATAMESS_2012 = "Ratamess et al. 2012, J Strength Cond Res 26(7)"
CHECKS.add(Tag.READ, RATAMESS_2012, "retention_per_set", "men keep more after 1 < 2 < 3 min", True,
           lambda: kept(21.1, 24.0, 25.8) == tuple(sorted(kept(21.1, 24.0, 25.8))))  # fmt: skip
CHECKS.add(Tag.READ, RATAMESS_2012, "retention_per_set", "women keep more than men at each rest", True,
           lambda: all(w > m for w, m in zip(kept(26.9, 29.0, 29.7), kept(21.1, 24.0, 25.8), strict=True)))  # fmt: skip
CHECKS.add(Tag.READ, RATAMESS_2012, "retention_per_set", "weaker men keep more than stronger", True,
           lambda: kept(21.6, 24.2) > kept(18.1, 21.3))  # fmt: skip
RATAMESS_2010 = "Ratamess et al. 2010, J Strength Cond Res (abstract)"
CHECKS.add(Tag.READ, RATAMESS_2010, "retention_per_set", "10RM: women keep more than men", True,
           lambda: all(w > m for w, m in zip(kept(23.3, 27.1, 28.7), kept(18.0, 21.4, 23.5), strict=True)))  # fmt: skip
SCHOENFELD = "Schoenfeld, Ogborn, Krieger 2017, J Sports Sci 35(11):1073"
for sets, expected in [(4, "under 5"), (5, "5 to 9"), (9, "5 to 9"), (10, "10 or more")]:
    CHECKS.add(Tag.READ, SCHOENFELD, "weekly_set_class_schoenfeld", f"{sets} sets", expected,
               lambda sets=sets: volume.weekly_set_class_schoenfeld(sets))  # fmt: skip
CHECKS.add(Tag.READ, "Iversen et al. 2021, Sports Med 51:2079", "MINIMUM_WEEKLY_SETS_IVERSEN", "per muscle", 4,
           lambda: volume.MINIMUM_WEEKLY_SETS_IVERSEN)  # fmt: skip
CHECKS.add(Tag.READ, "Baz-Valle et al. 2022, J Hum Kinet", "STANDARD_WEEKLY_SETS_BAZ_VALLE", "per muscle", (12, 20),
           lambda: volume.STANDARD_WEEKLY_SETS_BAZ_VALLE)  # fmt: skip
for total, expected in [(21.1, 0.666), (24.0, 0.785), (25.8, 0.853), (26.9, 0.893), (29.7, 0.990)]:
    CHECKS.add(A, HAND, "retention_per_set", f"{total} of 30", expected,
               lambda total=total: volume.retention_per_set(total, 10), 5e-4)  # fmt: skip
CHECKS.add(A, HAND, "volume_load_kg", "5 x 5 pull-ups, 80 + 10 kg", 2250.0, lambda: 5 * volume.volume_load_kg(5, 90.0))
CHECKS.add(A, HAND, "volume_load_kg", "3 x 15 push-ups, 80 kg", 2304.0, lambda: 3 * volume.volume_load_kg(15, 51.2))
CHECKS.add(A, HAND, "relative_volume", "3 x 8 at 75 %", 18.0, lambda: volume.relative_volume(3, 8, 75))
for repetitions, tempo, expected in [(8, "3-1-1-0", 40), (10, "2/0/2/0", 40), (6, "5/0/3/0", 48), (5, "4-0-X-1", 30)]:
    CHECKS.add(A, HAND, "time_under_tension_s", f"{repetitions} x {tempo}", expected,
               lambda r=repetitions, t=tempo: volume.time_under_tension_s(r, t))  # fmt: skip
CHECKS.add(A, HAND, "group_duration_s", "4 x 8 at 3-1-1-0, rest 120", 520.0,
           lambda: volume.group_duration_s([PlannedWork(4, 8, tempo="3-1-1-0", rest_s=120)], set_up_s=0))  # fmt: skip
CHECKS.add(A, HAND, "group_duration_s", "3 x 10 a side at 2-0-2-0, rest 90", 420.0,
           lambda: volume.group_duration_s([PlannedWork(3, 10, tempo="2-0-2-0", rest_s=90, sides=2)], set_up_s=0,
                                           switch_s=0))  # fmt: skip
CHECKS.add(A, HAND, "session_duration_s", "holds 5 x 20 s, rest 60", 340.0,
           lambda: volume.session_duration_s([[[PlannedWork(5, seconds=20, rest_s=60)]]], set_up_s=0))  # fmt: skip
CHECKS.add(A, HAND, "every_minute_total", "4 x 10 minutes", 40, lambda: volume.every_minute_total(4, 10))
CHECKS.add(Tag.READ, SCHOENFELD, "extra_growth_percent_schoenfeld", "one set more", 0.37,
           lambda: volume.extra_growth_percent_schoenfeld(1))  # fmt: skip
CHECKS.add(A, HAND, "extra_growth_percent_schoenfeld", "five sets more", 1.85,
           lambda: volume.extra_growth_percent_schoenfeld(5), 1e-9)  # fmt: skip
CHECKS.add(Tag.READ, RATAMESS_2012, "TOTALS_BY_REST_RATAMESS", "men, 1 < 2 < 3 min", (21.1, 24.0, 25.8),
           lambda: tuple(volume.TOTALS_BY_REST_RATAMESS["male"].values()))  # fmt: skip
for group, totals, expected in [
    ("women at 75 %", (26.9, 29.0, 29.7), (0.893, 0.966, 0.990)),
    ("men, 10RM", (18.0, 21.4, 23.5), (0.525, 0.679, 0.765)),
    ("women, 10RM", (23.3, 27.1, 28.7), (0.757, 0.900, 0.956)),
]:
    CHECKS.add(A, HAND, "retention_per_set", group, expected, lambda totals=totals: kept(*totals), 6e-4)
for fresh, q, sets, expected in [(10, 0.853, 5, 5), (12, 0.785, 4, 5)]:
    CHECKS.add(A, HAND, "even_set_repetitions", f"{fresh}, {sets} sets", expected,
               lambda a=(fresh, q, sets): volume.even_set_repetitions(*a))  # fmt: skip
CHECKS.add(Tag.PRACTICE, "40 to 60 % of the fresh maximum", "many_sets_repetitions", "10", (4, 6),
           lambda: volume.many_sets_repetitions(10))  # fmt: skip
ACSM = "Ratamess et al. 2009 (ACSM), rests"
for kind, expected in [("heavy", (180, 300)), ("multi_joint", (120, 180)), ("single_joint", (60, 120))]:
    CHECKS.add(Tag.READ, ACSM, "rest_s_acsm", kind, expected, lambda kind=kind: volume.rest_s_acsm(kind))
CHECKS.add(A, HAND, "volume_load_kg", "3 x 10 x 50 kg", 1500.0, lambda: 3 * volume.volume_load_kg(10, 50.0))
CHECKS.add(A, HAND, "hold_volume_kg_s", "4 x 20 s of 1 kg", 80.0, lambda: 4 * volume.hold_volume_kg_s(20, 1.0))
CHECKS.add(Tag.READ, TUFANO, "rest_redistribution_s", "the original rests, 6 x 30 and 2 x 120 s, make as much", 420.0,
           lambda: 8 * volume.rest_redistribution_s(6 * 30 + 2 * 120, 9))  # fmt: skip
CHECKS.add(A, HAND, "repetitions_per_minute", "40 in 10 minutes", 4.0, lambda: volume.repetitions_per_minute(40, 10))


def test_volume_agrees_with_the_outside():
    assert CHECKS.wrong() == []


def test_a_pair_rests_once_a_round():
    pull, push = PlannedWork(3, 5, rest_s=90), PlannedWork(3, 10, rest_s=60)

    assert volume.group_duration_s([pull, push], set_up_s=0) == 3 * 20 + 3 * 40 + 2 * 90


def test_a_pair_of_unequal_sets_rests_only_for_those_who_go_on():
    long, short = PlannedWork(4, 5, rest_s=60), PlannedWork(2, 5, rest_s=120)

    assert volume.group_duration_s([long, short], set_up_s=0) == 6 * 20 + 120 + 60 + 60


def test_a_circuit_of_three_rests_once_a_round():
    works = [PlannedWork(2, 5, rest_s=30)] * 3

    assert volume.group_duration_s(works, set_up_s=10) == 30 + 6 * 20 + 30


def test_changing_sides_costs_time_each_set():
    assert volume.group_duration_s([PlannedWork(2, 5, sides=2)], set_up_s=0, switch_s=10) == 2 * 2 * 20 + 2 * 10


def test_an_empty_session_takes_only_its_extra_time():
    assert volume.session_duration_s([], extra_s=300) == 300


def test_a_prescription_without_sets_takes_no_time():
    assert volume.group_duration_s([PlannedWork(0, 5)]) == 0


@pytest.mark.parametrize(
    ("rir", "kind", "fraction"),
    [(4, "work", 1), (4.5, "work", 0), (None, "work", 1), (0, "warm_up", 0), (None, "max_reps", 1), (5, "back_off", 0)],
)
def test_hard_set_fraction_follows_kind_and_reserve(rir, kind, fraction):
    assert volume.hard_set_fraction(rir, kind) == fraction


def test_weekly_sets_count_a_muscle_once_a_set():
    assert volume.weekly_sets_by_muscle([(1, ["lat"], ["lat", "biceps"])]) == {"lat": 1, "biceps": 0.5}


@pytest.mark.parametrize("tempo", ["3-1-1", "3-1-1-0-0", "a-b-c-d", "X-0-1-0", "3-1/1-0", "0-0-0-0", "", "3 1 1 0"])
def test_tempo_refuses_what_it_cannot_read(tempo):
    with pytest.raises(ValueError, match=r"tempo|time"):
        volume.parse_tempo(tempo)


def test_explosive_lift_is_kept_apart_from_its_second():
    assert (volume.parse_tempo("3-1-X-0").concentric_s, volume.tempo_seconds("3-1-x-0")) == (None, 5)


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: volume.volume_load_kg(-1, 10), "negative"),
        (lambda: volume.hold_volume_kg_s(-1, 10), "negative"),
        (lambda: volume.relative_volume(1, 1, 101), "0 to 100"),
        (lambda: volume.hard_set_fraction(-1, "work"), "negative"),
        (lambda: volume.hard_set_fraction(1, "drop"), "drop"),
        (lambda: volume.fractional_sets(-1, 0), "negative"),
        (lambda: volume.push_pull_ratio(-1, 0), "negative"),
        (lambda: volume.time_under_tension_s(-1, "2-0-2-0"), "negative"),
        (lambda: PlannedWork(3), "either"),
        (lambda: PlannedWork(3, 5, 20), "either"),
        (lambda: PlannedWork(-1, 5), "negative"),
        (lambda: PlannedWork(1, 5, sides=3), "sides"),
        (lambda: volume.session_duration_s([], extra_s=-1), "negative"),
        (lambda: volume.rest_redistribution_s(420, 1), "two parts"),
        (lambda: volume.every_minute_total(-1, 1), "negative"),
        (lambda: volume.retention_per_set(31, 10), "total"),
        (lambda: volume.retention_per_set(9, 10), "total"),
        (lambda: volume.drop_off_percent([5, -1]), "negative"),
        (lambda: volume.weekly_set_class_schoenfeld(-1), "negative"),
        (lambda: volume.extra_growth_percent_schoenfeld(-1), "negative"),
        (lambda: volume.even_set_repetitions(0, 0.8, 3), "at least one"),
        (lambda: volume.even_set_repetitions(8, 1.1, 3), "0 to 1"),
        (lambda: volume.many_sets_repetitions(0), "at least 1"),
        (lambda: volume.repetitions_per_minute(4, 0), "positive"),
        (lambda: volume.rest_s_acsm("never"), "heavy"),
    ],
)
def test_volume_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


@pytest.mark.parametrize(
    "undefined",
    [
        volume.volume_load_kg(5, Undefined("x")),
        volume.hold_volume_kg_s(5, Undefined("x")),
        volume.push_pull_ratio(3, 0),
        volume.drop_off_percent([5]),
        volume.drop_off_percent([0, 0]),
    ],
)
def test_volume_without_a_value_is_undefined(undefined):
    assert isinstance(undefined, Undefined)


def test_balanced_plan_has_no_notes():
    assert volume.balance_notes({"hpush": 6, "vpull": 6, "squat": 3, "hinge": 3}) == ()


@given(st.integers(1, 20), st.integers(2, 6), st.floats(0, 1))
def test_retention_reproduces_the_total_it_came_from(first, sets, q):
    total = sum(first * q**k for k in range(sets))

    assert sum(first * volume.retention_per_set(total, first, sets) ** k for k in range(sets)) == pytest.approx(total)
