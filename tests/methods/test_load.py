import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import load
from methods.undefined import Undefined
from tests.methods.registry import Checks, Tag

CHECKS = Checks("load")
A, HAND = Tag.ARITHMETIC, "worked by hand"

FOSTER = "Foster et al. 2001, J Strength Cond Res 15(1):109, table 5"
ENTRIES = [940, 50, 840, 280, 180, 390, 50, 390, 280]  # nine sessions of the printed week
DAYS = [940, 50, 1120, 180, 390, 50, 670]
CHECKS.add(
    Tag.READ, FOSTER, "monotony", "nine sessions, population SD", 1.26, lambda: load.monotony(ENTRIES, ddof=0), 5e-3
)
CHECKS.add(Tag.READ, FOSTER, "strain", "printed load and monotony", 4284, lambda: load.strain(3400, 1.26), 1e-9)
CHECKS.add(Tag.READ, FOSTER, "weekly_load", "printed week", 3400.0, lambda: load.weekly_load(DAYS))
for rating, minutes, printed in [(2, 25, 50), (7, 120, 840), (7, 40, 280), (3, 60, 180)]:
    CHECKS.add(Tag.READ, FOSTER, "session_load_foster", f"{rating} x {minutes} min", printed,
               lambda r=rating, m=minutes: load.session_load_foster(r, m))  # fmt: skip

LOLLI = "Lolli et al. 2019, Br J Sports Med 53:921"
WINDT = "Windt & Gabbett 2019, Br J Sports Med 53:988 (simulation)"


def correlation_of_a_week_with_its_own_average(coupled):
    weeks = np.random.default_rng(7).normal(1000, 200, (4000, 4))
    base = [row[-1] / load.rolling_ratio(list(row), coupled=coupled) for row in weeks]
    return float(np.corrcoef(weeks[:, -1], base)[0, 1])


CHECKS.add(Tag.READ, WINDT, "rolling_ratio", "coupled base correlates 0.5 with the week", 0.50,
           lambda: correlation_of_a_week_with_its_own_average(True), 0.03)  # fmt: skip
CHECKS.add(A, "independent weeks", "rolling_ratio", "uncoupled base does not", 0.0,
           lambda: correlation_of_a_week_with_its_own_average(False), 0.05)  # fmt: skip
for weeks, coupled, uncoupled in [
    ([1000, 1000, 1000, 1500], 4 / 3, 1.5), ([1200, 1200, 0, 1200], 4 / 3, 1.5), ([0, 0, 600, 600], 2.0, 3.0),
]:  # fmt: skip
    CHECKS.add(
        A, HAND, "rolling_ratio", f"{weeks} coupled", coupled, lambda w=weeks: load.rolling_ratio(w, coupled=True), 1e-9
    )
    CHECKS.add(
        A, HAND, "rolling_ratio", f"{weeks} not", uncoupled, lambda w=weeks: load.rolling_ratio(w, coupled=False), 1e-9
    )
CHECKS.add(A, HAND, "monotony", "Foster's days, sample SD", 1.1217, lambda: load.monotony(DAYS, ddof=1), 5e-5)
CHECKS.add(A, HAND, "monotony", "Foster's days, population SD", 1.2116, lambda: load.monotony(DAYS, ddof=0), 5e-5)
WEEK = [300, 0, 450, 0, 300, 0, 0]
CHECKS.add(A, HAND, "monotony", "three days", 0.7746, lambda: load.monotony(WEEK, ddof=1), 5e-5)
CHECKS.add(A, HAND, "strain", "three days", 813.33, lambda: load.strain(1050.0, load.monotony(WEEK, ddof=1)), 0.01)
for k, population, sample in [(1, 0.4082, 0.3780), (5, 1.5811, 1.4639), (6, 2.4495, 2.2678)]:
    days = [300] * k + [0] * (7 - k)
    CHECKS.add(A, "exact bound", "monotony", f"{k} equal days, population", population,
               lambda d=days: load.monotony(d, ddof=0), 5e-5)  # fmt: skip
    CHECKS.add(
        A, "exact bound", "monotony", f"{k} equal days, sample", sample, lambda d=days: load.monotony(d, ddof=1), 5e-5
    )
STEP = [100.0] * 21 + [150.0] * 7
CHECKS.add(A, HAND, "ewma_weight", "7 days", 0.25, lambda: load.ewma_weight(7))
CHECKS.add(A, HAND, "ewma_weight", "28 days", 0.0689655, lambda: load.ewma_weight(28), 1e-7)
CHECKS.add(A, HAND, "ewma", "100, 0, 200 over 28 days", 100.475624, lambda: load.ewma([100, 0, 200], 28)[-1], 1e-6)
CHECKS.add(A, HAND, "ewma_ratio", "21 x 100 then 7 x 150", 1.197576, lambda: load.ewma_ratio(STEP), 1e-6)
CHECKS.add(
    A, HAND, "week_to_week_change", "1000 to 1100", load.Change(100, 10), lambda: load.week_to_week_change(1000, 1100)
)
CHECKS.add(
    A, HAND, "week_to_week_change", "1200 to 0", load.Change(-1200, -100), lambda: load.week_to_week_change(1200, 0)
)
for rating, minutes, expected in [(7, 60, 420), (6, 45, 270)]:
    CHECKS.add(A, HAND, "session_load_foster", f"{rating} x {minutes}", expected,
               lambda r=rating, m=minutes: load.session_load_foster(r, m))  # fmt: skip
CHECKS.add(
    A, HAND, "ewma", "100, 0, 200 over 7 days", (100, 75, 106.25), lambda: tuple(load.ewma([100, 0, 200], 7)), 1e-9
)
for days, mean_over_sd, expected in [
    ([420, 0, 360, 0, 480, 300, 0], (1.1168, 1.0340), 1612.96),
    ([300, 280, 320, 300, 290, 310, 0], (2.4338, 2.2532), 4055.81),
]:
    CHECKS.add(A, HAND, "monotony", f"week of {sum(days)} AU, both SDs", mean_over_sd,
               lambda d=days: (load.monotony(d, ddof=0), load.monotony(d, ddof=1)), 6e-5)  # fmt: skip
    CHECKS.add(A, HAND, "strain", f"week of {sum(days)} AU, sample SD", expected,
               lambda d=days: load.strain(float(sum(d)), load.monotony(d, ddof=1)), 0.01)  # fmt: skip
for k, population, sample in [(2, 0.6325, 0.5855), (3, 0.8660, 0.8018), (4, 1.1547, 1.0690)]:
    CHECKS.add(A, "exact bound", "largest_monotony", f"{k} training days", (population, sample),
               lambda k=k: (load.largest_monotony(k, ddof=0), load.largest_monotony(k, ddof=1)), 5e-5)  # fmt: skip
for u, coupled in [(0.5, 0.5714), (0.8, 0.8421), (1.3, 1.2093), (2, 1.6), (3, 2.0)]:
    CHECKS.add(A, "identity 4u / (3 + u)", "rolling_ratio", f"uncoupled {u}", coupled,
               lambda u=u: load.rolling_ratio([1000, 1000, 1000, 1000 * u], coupled=True), 5e-5)  # fmt: skip
MWF = [400, 0, 400, 0, 400, 0, 0]
SPIKE = [*MWF * 3, 480, 0, 480, 0, 480, 0, 0]
CHECKS.add(A, "recursion", "ewma_ratio", "last of four weeks a fifth heavier, on Sunday", 0.701368,
           lambda: load.ewma_ratio(SPIKE, seed=400), 1e-6)  # fmt: skip
CHECKS.add(
    A, HAND, "week_to_week_change", "400 to 520", load.Change(120, 30), lambda: load.week_to_week_change(400, 520)
)


def test_load_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(
    ("undefined", "reason"),
    [
        (load.monotony([300] * 7, ddof=1), "identical"),
        (load.monotony([0.1] * 7, ddof=1), "identical"),
        (load.monotony([0] * 7, ddof=1), "no load"),
        (load.monotony([300] * 6, ddof=1), "missing"),
        (load.monotony([300] * 6 + [None], ddof=1), "missing"),
        (load.weekly_load([300] * 6 + [None]), "missing"),
        (load.strain(Undefined("days missing"), 1.0), "missing"),
        (load.strain(100.0, Undefined("no load")), "no load"),
        (load.week_to_week_change(0, 600).percent, "week before"),
        (load.mean_of_previous_weeks([100, None, 100, 100]), "have 3 of 4"),
        (load.rolling_ratio([0, 0, 0, 600], coupled=False), "no load"),
        (load.ewma_ratio([100] * 27), "27 of 28"),
        (load.ewma_ratio([0] * 28), "no load"),
    ],
)
def test_load_without_a_value_says_why(undefined, reason):
    assert reason in undefined.reason


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: load.session_load_foster(11, 60), "0 to 10"),
        (lambda: load.session_load_foster(-1, 60), "0 to 10"),
        (lambda: load.session_load_foster(5, 0), "between 0 and a day"),
        (lambda: load.session_load_foster(5, 1441), "between 0 and a day"),
        (lambda: load.monotony([1] * 7, ddof=2), "ddof"),
        (lambda: load.monotony([-1] * 7, ddof=1), "negative"),
        (lambda: load.weekly_load([1] * 6), "seven"),
        (lambda: load.week_to_week_change(-1, 5), "negative"),
        (lambda: load.mean_of_previous_weeks([1], 0), "at least 1"),
        (lambda: load.rolling_ratio([1, 2, 3], coupled=True), "four"),
        (lambda: load.ewma_weight(0), "at least 1"),
        (lambda: load.largest_monotony(0, ddof=1), "1 to 7"),
        (lambda: load.monotony_array([[1, 2, 3]], ddof=1), "shape"),
        (lambda: load.monotony_array([[-1] * 7], ddof=1), "negative"),
        (lambda: load.ewma_array([[-1, 2]], 7), "negative"),
    ],
)
def test_load_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


weeks = st.lists(st.floats(0, 2000), min_size=7, max_size=7)


@given(st.lists(weeks, min_size=1, max_size=5), st.sampled_from([0, 1]))
def test_monotony_array_equals_the_scalar_form(rows, ddof):
    scalars = [load.monotony(row, ddof=ddof) for row in rows]
    expected = [np.nan if isinstance(value, Undefined) else value for value in scalars]

    np.testing.assert_allclose(load.monotony_array(rows, ddof=ddof), expected, rtol=1e-6)


@given(st.lists(st.floats(0, 2000), min_size=1, max_size=30), st.integers(1, 28), st.none() | st.floats(0, 500))
def test_ewma_array_equals_the_scalar_form(days, span, seed):
    np.testing.assert_allclose(load.ewma_array([days], span, seed=seed)[0], load.ewma(days, span, seed=seed))


@given(st.lists(st.floats(1, 5000), min_size=4, max_size=4))
def test_coupled_ratio_follows_from_the_uncoupled_and_stays_below_four(four):
    u = load.rolling_ratio(four, coupled=False)

    assert load.rolling_ratio(four, coupled=True) == pytest.approx(4 * u / (3 + u))
    assert load.rolling_ratio(four, coupled=True) <= 4


@pytest.mark.parametrize(
    ("change", "gap", "weeks", "noted"),
    [
        ((900, 1201), 14, 40, True), ((900, 1201), 13, 40, False), ((900, 1201), 0, 3.9, True),
        ((900, 1200), 14, 40, False), ((1010, 1313), 14, 40, False), ((0, 600), 14, 2, False),
    ],
)  # fmt: skip
def test_a_rise_is_noted_only_when_big_and_after_rest(change, gap, weeks, noted):
    rise = load.week_to_week_change(*change)

    assert load.rise_worth_a_note(rise, longest_gap_days=gap, weeks_since_start=weeks) == noted
