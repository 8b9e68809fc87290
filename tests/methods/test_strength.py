from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import strength
from methods.undefined import Undefined
from tests.methods.registry import Checks, Tag

CHECKS = Checks("strength")
A, HAND = Tag.ARITHMETIC, "worked by hand from the coefficients"
MAXIMUM = {name: getattr(strength, f"one_repetition_maximum_{name}") for name in strength.FORMULAS}
INVERSE = {name: getattr(strength, f"load_for_repetitions_{name}") for name in strength.FORMULAS}

for r, row in {
    2: (106.67, 102.86, 104.21, 107.18, 111.44, 105.00, 105.15),
    5: (116.67, 112.50, 113.71, 117.46, 119.01, 112.50, 116.58),
    8: (126.67, 124.14, 125.11, 123.11, 126.29, 120.00, 127.67),
    10: (133.33, 133.33, 134.07, 125.89, 130.93, 125.00, 134.75),
    15: (150.00, 163.64, 163.31, 131.10, 141.72, 137.50, 150.91),
}.items():
    for name, expected in zip(strength.FORMULAS, row, strict=True):
        CHECKS.add(A, HAND, f"one_repetition_maximum_{name}", f"100 x {r}", expected,
                   lambda name=name, r=r: MAXIMUM[name](100, r), 0.005)  # fmt: skip

CHART = "association's training load chart (NSCA)"
CHECKS.add(
    Tag.READ, CHART, "handbook_percent", "12 repetitions, chart", 70.0, lambda: strength.handbook_percent(12, "chart")
)
for r, expected in [(2, 190), (3, 186), (5, 174), (8, 160), (10, 150)]:
    CHECKS.add(Tag.READ, CHART, "handbook_load_kg", f"{r}RM of 200", expected,
               lambda r=r: strength.handbook_load_kg(200, r), 1e-9)  # fmt: skip
CHECKS.add(Tag.READ, CHART, "handbook_load_kg", "5RM of 140", 121.8, lambda: strength.handbook_load_kg(140, 5), 1e-9)
CHECKS.add(
    Tag.MEMORY,
    "Essentials, 4th ed. 2016",
    "handbook_percent",
    "12, textbook",
    67.0,
    lambda: strength.handbook_percent(12),
)
CHECKS.add(
    Tag.MEMORY,
    "Essentials, 4th ed. 2016",
    "handbook_percent",
    "15, textbook",
    65.0,
    lambda: strength.handbook_percent(15),
)

JOHNSON = "Johnson et al. 2009, J Strength Cond Res 23(3):1022 (pull-ups: 8.1 +- 1.9 repetitions at 80 %)"
for name in ("epley", "brzycki", "lander", "wathan"):
    CHECKS.add(Tag.READ, JOHNSON, f"load_for_repetitions_{name}", "6.2 to 10.0 repetitions span 80 %", True,
               lambda name=name: INVERSE[name](100, 10.0) <= 80 <= INVERSE[name](100, 6.2))  # fmt: skip
CHECKS.add(Tag.READ, JOHNSON, "handbook_percent", "6.2 to 10.0 repetitions span 80 %", True,
           lambda: strength.handbook_percent(10.0) <= 80 <= strength.handbook_percent(6.2))  # fmt: skip

REYNOLDS = "Reynolds, Gordon, Robergs 2006, J Strength Cond Res 20(3):584"
for r, grade in [(5, "good"), (10, "fair")]:
    CHECKS.add(Tag.READ, REYNOLDS, "estimate_grade", f"{r}RM (best at 5, at most 10 in linear equations)", grade,
               lambda r=r: strength.estimate_grade(r).value)  # fmt: skip
CHECKS.add(A, REYNOLDS + ": coefficients", "one_repetition_maximum_reynolds_bench", "5RM 80 kg", 91.16,
           lambda: strength.one_repetition_maximum_reynolds_bench(80), 0.005)  # fmt: skip

ZOURDOS = "Zourdos et al. 2016 scale, on a university clinic's page"
for rpe, expected in [
    (10, (0, 0)), (9.5, (0, 0)), (9, (1, 1)), (8.5, (1, 2)), (8, (2, 2)), (7.5, (2, 3)), (7, (3, 3)), (6, (4, 6)),
]:  # fmt: skip
    CHECKS.add(Tag.SECONDARY, ZOURDOS, "rir_interval_from_rpe", f"RPE {rpe}", expected,
               lambda rpe=rpe: strength.rir_interval_from_rpe(rpe))  # fmt: skip

for reps, rir, expected in [
    (5, 2, 83),
    (8, 3, 70),
    (3, 1, 90),
    (1, 0.5, 97.5),
    (6, 2.5, 78.5),
    (9, 4, 66.33),
    (12, 0, 67),
]:
    CHECKS.add(A, "handbook table, shifted", "percent_of_maximum", f"{reps} with {rir} in reserve", expected,
               lambda reps=reps, rir=rir: strength.percent_of_maximum(reps, rir), 0.005)  # fmt: skip
for method, expected in [("handbook", 120.48), ("epley", 123.33), ("brzycki", 120.00)]:
    CHECKS.add(A, HAND, "one_repetition_maximum_from_set", f"100 x 5, 2 in reserve, {method}", expected,
               lambda method=method: strength.one_repetition_maximum_from_set(100, 5, 2, method), 0.005)  # fmt: skip
for method, expected in [("handbook", 108.43), ("brzycki", 110.00)]:
    got = partial(strength.next_set_load_kg, 100, 5, 2, to_repetitions=3, to_rir=1, method=method)
    CHECKS.add(A, HAND, "next_set_load_kg", f"5 at 2 to 3 at 1, {method}", expected, got, 0.005)
for name, added in [("epley", 36.67), ("brzycki", 32.50), ("lander", 33.71), ("wathan", 36.58)]:
    CHECKS.add(A, HAND, "estimated_system_maximum", f"80 + 20 kg x 5, {name}", added,
               lambda name=name: strength.estimated_system_maximum(80, 1, 5, 0, external_kg=20, formula=name).added_kg,
               0.005)  # fmt: skip
CHECKS.add(
    A,
    HAND,
    "repetitions_at_load_epley",
    "12 at 80, then 85",
    9.53,
    lambda: strength.repetitions_at_load_epley(112, 85),
    5e-3,
)
for r, row in {
    3: (110.00, 105.88, 107.20, 111.61, 113.99, 107.50, 108.98),
    12: (140.00, 144.00, 144.41, 128.21, 135.40, 130.00, 141.50),
}.items():
    CHECKS.add(A, HAND, "one_repetition_maximum_(all seven)", f"100 x {r}", row,
               lambda r=r: tuple(MAXIMUM[name](100, r) for name in strength.FORMULAS), 0.005)  # fmt: skip
SHIFTED = {
    1: (100, 97.5, 95, 94, 93, 91.5, 90, 87), 2: (95, 94, 93, 91.5, 90, 88.5, 87, 85),
    3: (93, 91.5, 90, 88.5, 87, 86, 85, 83), 4: (90, 88.5, 87, 86, 85, 84, 83, 80),
    5: (87, 86, 85, 84, 83, 81.5, 80, 77), 6: (85, 84, 83, 81.5, 80, 78.5, 77, 75),
    7: (83, 81.5, 80, 78.5, 77, 76, 75, 70), 8: (80, 78.5, 77, 76, 75, 72.5, 70, 67),
    9: (77, 76, 75, 72.5, 70, 68.5, 67, 66.3), 10: (75, 72.5, 70, 68.5, 67, 66.7, 66.3, 65.7),
    11: (70, 68.5, 67, 66.7, 66.3, 66, 65.7, 65),
}  # fmt: skip
for r, row in SHIFTED.items():
    CHECKS.add(A, "handbook table, shifted", "percent_of_maximum", f"{r} repetitions at RPE 10 to 7 in halves, and 6",
               row, lambda r=r: tuple(strength.percent_of_maximum(r, rir) for rir in (0, .5, 1, 1.5, 2, 2.5, 3, 4)),
               0.051)  # fmt: skip
for reps, rir, row in [(5, 2, (81.08, 83.33)), (8, 3, (73.17, 72.22)), (3, 1, (88.24, 91.67))]:
    CHECKS.add(
        A,
        HAND,
        "percent_of_maximum",
        f"{reps} with {rir}, Epley and Brzycki",
        row,
        lambda reps=reps, rir=rir: tuple(strength.percent_of_maximum(reps, rir, m) for m in ("epley", "brzycki")),
        0.005,
    )
for name, added in [("epley", 21.33), ("brzycki", 19.31), ("lander", 20.09), ("wathan", 22.14)]:
    CHECKS.add(
        A,
        HAND,
        "estimated_system_maximum",
        f"80 kg x 8 without load, {name}",
        added,
        lambda name=name: strength.estimated_system_maximum(80, 1, 8, 0, formula=name).added_kg,
        0.005,
    )
for reps, expected in [(5, 114.94), (8, 125.00), (10, 133.33)]:
    CHECKS.add(A, "handbook table", "one_repetition_maximum_from_set", f"100 x {reps}, handbook", expected,
               lambda r=reps: strength.one_repetition_maximum_from_set(100, r, 0, "handbook"), 0.005)  # fmt: skip
for r, expected in [(5, 2.86), (10, 2.5)]:
    CHECKS.add(A, HAND, "one_repetition_maximum_epley", f"one repetition more than {r}, %", expected,
               lambda r=r: 100 * (MAXIMUM["epley"](100, r + 1) / MAXIMUM["epley"](100, r) - 1), 0.005)  # fmt: skip
CHECKS.add(Tag.READ, CHART, "handbook_load_kg", "12RM of 140, chart", 98.0,
           lambda: strength.handbook_load_kg(140, 12, "chart"), 1e-9)  # fmt: skip
NUZZO = "Nuzzo et al. 2024, Sports Med 54(2):303 (more repetitions at moderate loads than the old chart)"
CHECKS.add(
    Tag.READ,
    NUZZO,
    "repetitions_at_percent_nuzzo",
    "at 70, 75 and 80 %",
    True,
    lambda: all(strength.repetitions_at_percent_nuzzo(p) > r for p, r in ((70, 11), (75, 10), (80, 8))),
)
for percent, expected in [(60, 21), (70, 15), (80, 10), (90, 5)]:
    CHECKS.add(Tag.MEMORY, "Nuzzo et al. 2024, means of the main model", "repetitions_at_percent_nuzzo", f"{percent} %",
               expected, lambda p=percent: strength.repetitions_at_percent_nuzzo(p))  # fmt: skip


def test_strength_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize("name", strength.FORMULAS)
def test_one_repetition_is_the_maximum_itself(name):
    assert MAXIMUM[name](87.5, 1) == 87.5


@pytest.mark.parametrize("name", strength.FORMULAS)
def test_maximum_refuses_what_lies_outside_its_range(name):
    for repetitions in (0, 0.5, 15.01, 16, 37):
        with pytest.raises(ValueError, match="1 to 15"):
            MAXIMUM[name](100, repetitions)
    with pytest.raises(ValueError, match="positive"):
        MAXIMUM[name](0, 5)


@given(st.sampled_from(strength.FORMULAS), st.floats(1, 400), st.integers(1, 15))
def test_the_inverse_undoes_the_formula(name, load_kg, repetitions):
    assert INVERSE[name](MAXIMUM[name](load_kg, repetitions), repetitions) == pytest.approx(load_kg)


@given(st.sampled_from(strength.FORMULAS), st.integers(1, 14))
def test_more_repetitions_never_mean_a_smaller_maximum(name, repetitions):
    assert MAXIMUM[name](100, repetitions + 1) > MAXIMUM[name](100, repetitions)


@given(st.floats(1.5, 15))
def test_epley_and_brzycki_cross_at_ten(repetitions):
    epley, brzycki = MAXIMUM["epley"](100, repetitions), MAXIMUM["brzycki"](100, repetitions)

    assert (epley >= brzycki) == (repetitions <= 10) or epley == pytest.approx(brzycki)


@given(st.floats(1, 14.5), st.floats(0.01, 0.5), st.sampled_from(["textbook", "chart"]))
def test_the_handbook_table_falls(repetitions, more, edition):
    assert strength.handbook_percent(repetitions + more, edition) < strength.handbook_percent(repetitions, edition)


def test_unprinted_rows_lie_on_a_straight_line():
    assert strength.handbook_percent(13) == pytest.approx(66.333, abs=1e-3)


@pytest.mark.parametrize(
    ("repetitions", "grade"), [(5, "good"), (5.5, "fair"), (10, "fair"), (10.5, "poor"), (15, "poor")]
)
def test_grade_falls_with_repetitions(repetitions, grade):
    assert strength.estimate_grade(repetitions) == grade


@pytest.mark.parametrize("rpe", [0.5, 10.5, 8.3, 5.5, 6.5])
def test_rating_off_the_scale_is_refused(rpe):
    with pytest.raises(ValueError, match="scale"):
        strength.rir_interval_from_rpe(rpe)


@pytest.mark.parametrize("rpe", [1, 3, 4.5])
def test_light_rating_has_no_reserve(rpe):
    assert isinstance(strength.rir_from_rpe(rpe), Undefined)


@given(st.sampled_from([0, 0.5, 1, 1.5, 2, 2.5, 3]))
def test_reserve_and_rating_undo_each_other(rir):
    assert strength.rir_from_rpe(strength.rpe_from_rir(rir)) == rir


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: strength.repetitions_at_percent_nuzzo(59), "60 to 95"),
        (lambda: strength.repetitions_at_percent_nuzzo(96), "60 to 95"),
        (lambda: strength.rpe_from_rir(5), "0 to 4"),
        (lambda: strength.percent_of_maximum(0, 2), "at least one"),
        (lambda: strength.percent_of_maximum(5, -1), "negative"),
        (lambda: strength.percent_of_maximum(10, 6), "1 to 15"),
        (lambda: strength.percent_of_maximum(10, 6, "epley"), "1 to 15"),
        (lambda: strength.percent_of_maximum(5, 1, "secret"), "one of"),
        (lambda: strength.handbook_percent(5, "first"), "edition"),
        (lambda: strength.one_repetition_maximum_from_set(0, 5), "positive"),
        (lambda: strength.repetitions_at_load_epley(100, 101), "between"),
        (lambda: strength.repetitions_at_load_epley(100, 60), "1 to 15"),
        (lambda: strength.one_repetition_maximum_reynolds_bench(0), "positive"),
    ],
)
def test_strength_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ((None, 1.0, 5, 0), "no body mass"),
        ((80, None, 5, 0), "not scored"),
        ((80, 1.0, 5, None), "reserve"),
        ((80, 1.0, 0, 0), "nothing"),
        ((80, 1.0, 12, 4), "15"),
    ],
)
def test_system_maximum_without_a_value_says_why(arguments, reason):
    assert reason in strength.estimated_system_maximum(*arguments).reason


def test_system_maximum_carries_its_doubt():
    best = strength.estimated_system_maximum(80, 1.0, 8, 0)

    assert (best.grade, round(best.low_kg / best.system_kg, 2), round(best.per_body_mass, 2)) == ("fair", 0.92, 1.27)


def test_formula_on_the_plate_alone_would_be_wrong():
    assert strength.estimated_system_maximum(80, 1.0, 5, 0, external_kg=20).added_kg > MAXIMUM["epley"](20, 5)


@given(
    st.lists(st.tuples(st.floats(-10, 200), st.integers(0, 20), st.integers(-1, 8)), min_size=1, max_size=8),
    st.sampled_from(strength.FORMULAS),
)
def test_maximum_array_equals_the_scalar_form(rows, formula):
    def scalar(load_kg, repetitions, rir):
        try:
            return strength.one_repetition_maximum_from_set(load_kg, repetitions, rir, formula)
        except ValueError:
            return np.nan

    loads, repetitions, rirs = zip(*rows, strict=True)
    got = strength.one_repetition_maximum_array(loads, repetitions, rirs, formula)

    np.testing.assert_allclose(got, [scalar(*row) for row in rows])
