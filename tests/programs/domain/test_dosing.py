from decimal import Decimal

import pytest

from programs.choices import Measure, RepScheme, SetKind
from programs.domain.dosing import dose_of, dose_words, plain
from programs.domain.rows import Row, Together
from programs.domain.timing import minutes_of
from programs.models import MovementRevision


def _row(measure=Measure.REPETITIONS, **dose):
    return Row(movement=MovementRevision(name="Row", measure=measure), **dose)


@pytest.mark.parametrize(
    ("number", "words"), [(Decimal("22.50"), "22.5"), (Decimal("20.00"), "20"), (Decimal(100), "100")]
)
def test_numbers_are_shown_without_trailing_zeros(number, words):
    assert plain(number) == words


def test_dose_is_one_line_of_words():
    row = _row(target_rir=Decimal("2.0"), load_entered=Decimal("45.00"), load_unit="lb", tempo="3-1-X-0", per_side=True)

    assert dose_words(row) == "3 sets of 8–12 reps, each side, 45 lb, RIR 2, tempo 3-1-X-0, rest 90 s"


def test_a_single_set_held_the_same_every_time_reads_right():
    row = _row(Measure.SECONDS, sets=1, amount_low=30, amount_high=30, scheme=RepScheme.SAME_EVERY_SET)

    assert dose_words(row) == "1 set of 30 seconds, the same reps every set, rest 90 s"


@pytest.mark.parametrize(
    ("measure", "sets", "words"),
    [
        (Measure.REPETITIONS, 1, "as many clean reps as you can (about 20–30), rest 90 s"),
        (Measure.REPETITIONS, 2, "2 sets of as many clean reps as you can (about 20–30), rest 90 s"),
        (Measure.SECONDS, 1, "as long as you can hold cleanly (about 20–30 seconds), rest 90 s"),
        (Measure.METRES, 1, "as far as you can go cleanly (about 20–30 metres), rest 90 s"),
    ],
)
def test_set_to_the_maximum_ends_with_the_last_clean_one(measure, sets, words):
    assert dose_words(_row(measure, kind=SetKind.MAX_REPS, sets=sets, amount_low=20, amount_high=30)) == words


@pytest.mark.parametrize(
    ("measure", "high", "words"),
    [
        (Measure.REPETITIONS, 1, "1 set (Top set) of 1 rep"),
        (Measure.REPETITIONS, 2, "1 set (Top set) of 1–2 reps"),
        (Measure.SECONDS, 1, "1 set (Top set) of 1 second"),
        (Measure.METRES, 1, "1 set (Top set) of 1 metre"),
    ],
)
def test_one_is_told_as_one(measure, high, words):
    row = _row(measure, kind=SetKind.TOP, sets=1, amount_low=1, amount_high=high)

    assert dose_words(row, rests=False) == words


@pytest.mark.parametrize(("reps", "words"), [(1, "in parts of 1 rep with"), (2, "in parts of 2 reps with")])
def test_parts_of_a_set_are_told_by_their_number(reps, words):
    assert words in dose_words(_row(kind=SetKind.CLUSTER, cluster_reps=reps, rest_within_s=15))


def test_session_minutes_count_the_worked_example():
    # Four sets of 8 at 3-1-1-0, rest 120 s = 520 s, and 60 s to set up: 580 s.
    row = _row(sets=4, amount_low=8, amount_high=8, tempo="3-1-1-0", rest_s=120)

    assert minutes_of([Together([row])]) == 10


def test_a_pair_rests_once():
    row = _row(sets=3, amount_low=10, amount_high=10, rest_s=60)

    assert minutes_of([Together([row]), Together([row])]) == 10  # 2 x (60 + 120 + 120) s
    assert minutes_of([Together([row, row], "pair")]) == 8  # 2 x (60 + 120) + 120 s


def test_help_is_negative_load_in_the_compared_dose():
    dose = dose_of(_row(Measure.REPETITIONS, assistance_kg=Decimal("15.000")))

    assert (dose.load_kg, dose.repetitions, dose.seconds) == (-15.0, 12, None)


@pytest.mark.parametrize(("rpe", "reserve"), [("9", 1), ("7.5", 2.5), ("5", 5), ("3", 5), (None, None)])
def test_an_easy_rating_leaves_five_at_least(rpe, reserve):
    assert dose_of(_row(target_rpe=rpe and Decimal(rpe))).rir == reserve
