from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods.dose import Dose, compare, easier_of, harder, written
from methods.volume import parse_tempo

BASE = Dose(
    load_kg=20,
    repetitions=8,
    sets=3,
    seconds=20,
    step=4,
    range_of_motion=0.8,
    tempo="3-1-1-0",
    rir=2,
    rest_s=90,
    metres=20,
)

doses = st.builds(
    Dose,
    load_kg=st.integers(-10, 40),
    repetitions=st.integers(1, 12),
    sets=st.integers(0, 5),
    seconds=st.integers(1, 60),
    step=st.integers(0, 9),
    range_of_motion=st.sampled_from([0.5, 0.75, 1.0]),
    tempo=st.sampled_from(["2-0-1-0", "3-0-1-0", "4-1-1-1"]),
    rir=st.none() | st.integers(0, 5),
    rest_s=st.integers(30, 240),
    metres=st.integers(5, 40),
)


@pytest.mark.parametrize(
    "change",
    [
        {"load_kg": 22.5}, {"repetitions": 9}, {"sets": 4}, {"seconds": 25}, {"step": 5}, {"range_of_motion": 1.0},
        {"tempo": "4-1-1-0"}, {"tempo": "3-2-1-0"}, {"tempo": "3-1-1-1"}, {"rir": 1}, {"rir": None}, {"rest_s": 60},
        {"metres": 30},
    ],
)  # fmt: skip
def test_each_dimension_has_its_harder_side(change):
    assert (compare(replace(BASE, **change), BASE), compare(BASE, replace(BASE, **change))) == ("harder", "easier")


@pytest.mark.parametrize(
    "change",
    [
        {"load_kg": 22.5, "repetitions": 6}, {"tempo": "3-1-2-0"}, {"tempo": None}, {"load_kg": None},
        {"tempo": "4-0-1-0"}, {"rest_s": None}, {"step": None},
    ],
)  # fmt: skip
def test_incomparable_counts_as_harder_both_ways(change):
    other = replace(BASE, **change)

    assert (compare(other, BASE), harder(other, BASE), harder(BASE, other)) == ("incomparable", True, True)


def test_no_sets_is_easier_than_anything():
    assert compare(replace(BASE, sets=0, load_kg=500), BASE) == "easier"


@given(doses)
def test_a_dose_is_not_harder_than_itself(dose):
    assert not harder(dose, dose)


@given(doses, doses)
def test_harder_one_way_is_easier_the_other(a, b):
    mirror = {"harder": "easier", "easier": "harder"}

    assert compare(b, a) == mirror.get(compare(a, b), compare(a, b))


@given(doses, doses, doses)
def test_not_harder_is_passed_on(a, b, c):
    assert harder(a, b) or harder(b, c) or not harder(a, c)


@given(doses, doses)
def test_the_easier_of_two_is_not_harder_than_either(a, b):
    assert not harder(easier_of(a, b), a)
    assert not harder(easier_of(a, b), b)


def test_the_easier_of_two_needs_the_same_dimensions():
    with pytest.raises(ValueError, match="load_kg"):
        easier_of(BASE, replace(BASE, load_kg=None))


def test_the_easier_of_two_needs_the_same_speed_of_lifting():
    with pytest.raises(ValueError, match="speeds"):
        easier_of(BASE, replace(BASE, tempo="3-1-2-0"))


@pytest.mark.parametrize(
    "arguments",
    [{"sets": -1}, {"repetitions": -1}, {"rir": -1}, {"rest_s": -1}, {"range_of_motion": 0}, {"range_of_motion": 1.1},
     {"tempo": "fast"}],
)  # fmt: skip
def test_a_dose_refuses_nonsense(arguments):
    with pytest.raises(ValueError, match=r"must|tempo"):
        Dose(**arguments)


@pytest.mark.parametrize("tempo", ["3-1-X-0", "2-0-1-0", "10-2-1-0"])
def test_a_tempo_is_written_as_it_was_read(tempo):
    assert written(parse_tempo(tempo)) == tempo
