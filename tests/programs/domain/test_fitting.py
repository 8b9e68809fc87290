import pytest

from programs.domain.fitting import can_set_up, is_fit, unfit_words

HIGH = {"bar": {"height_cm": 170}}
STRONG = {"band": {"levels": ["medium", "heavy"]}}
LOADED = {"dumbbell": {"masses_kg": 10}}
PULLING = {"band": {"levels": ["heavy"], "short_kg": 20}}
BOTH = {"bar": {"height_cm": 170}, "band": {"levels": ["heavy"]}}


@pytest.mark.parametrize(
    ("details", "told", "fits"),
    [
        (HIGH, {"bar": [{"height_cm": 169}]}, False),
        (HIGH, {"bar": [{"height_cm": 170}]}, True),
        (HIGH, {"bar": [{"height_cm": 171}]}, True),
        # One that is high enough will do, whatever hangs beside it.
        (HIGH, {"bar": [{"height_cm": 100}, {"height_cm": 200}]}, True),
        # Not told, and told without a number, keep nobody from it.
        (HIGH, {}, True),
        (HIGH, {"bar": [{}]}, True),
        (HIGH, {"bar": [{"height_cm": None}]}, True),
        (LOADED, {"dumbbell": [{"masses_kg": [4, 8]}]}, False),
        (LOADED, {"dumbbell": [{"masses_kg": [4, 10]}]}, True),
        (LOADED, {"dumbbell": [{"masses_kg": []}]}, True),
        (STRONG, {"band": [{"levels": ["light"]}]}, False),
        (STRONG, {"band": [{"levels": ["light", "heavy"]}]}, True),
        (STRONG, {"band": [{"levels": []}]}, True),
        (STRONG, {"band": [{"levels": "light"}]}, False),
        (STRONG, {"band": [{"levels": "heavy"}]}, True),
        # All of it in one thing: a heavy one that is soft and a light one that pulls well are no heavy one that does.
        (PULLING, {"band": [{"levels": ["heavy"], "short_kg": 6}]}, False),
        (PULLING, {"band": [{"levels": ["heavy"], "short_kg": 6}, {"levels": ["light"], "short_kg": 30}]}, False),
        (PULLING, {"band": [{"levels": ["heavy"], "short_kg": 30}]}, True),
        ({}, {"bar": [{"height_cm": 20}]}, True),
    ],
)
def test_thing_fits_when_one_of_its_kind_has_all_that_is_wanted(details, told, fits):
    kind = next(iter(details or {"bar": {}}))

    assert is_fit((kind,), details, told) is fits


def test_every_thing_of_a_way_has_to_fit():
    low_bar = {"bar": [{"height_cm": 100}], "band": [{"levels": ["heavy"]}]}
    weak_band = {"bar": [{"height_cm": 200}], "band": [{"levels": ["light"]}]}

    assert not is_fit(("bar", "band"), BOTH, low_bar)
    assert not is_fit(("bar", "band"), BOTH, weak_band)
    assert is_fit(("bar", "band"), BOTH, low_bar | {"bar": [{"height_cm": 200}]})


def test_things_of_other_ways_are_not_asked_about():
    assert is_fit(("rings", "chair"), HIGH, {"bar": [{"height_cm": 100}]})


@pytest.mark.parametrize(
    ("ways", "kinds", "possible"),
    [
        ([], set(), True),
        ([("bar",)], set(), False),
        ([("bar",)], {"bar"}, True),
        ([("bar", "band")], {"bar"}, False),
        ([("bar", "band"), ("rings",)], {"rings"}, True),
    ],
)
def test_one_way_with_all_its_things_is_enough_and_without_ways_nothing_is_needed(ways, kinds, possible):
    assert can_set_up(ways, frozenset(kinds), {}, {}) is possible


def test_way_whose_thing_is_too_low_is_no_way_and_another_one_is():
    low = {"bar": [{"height_cm": 100}]}

    assert not can_set_up([("bar",)], frozenset({"bar", "rings"}), HIGH, low)
    assert can_set_up([("bar",), ("rings",)], frozenset({"bar", "rings"}), HIGH, low)


@pytest.mark.parametrize(
    ("way", "details", "told", "words"),
    [
        (
            ("bar", "band"),
            {"bar": {"height_cm": 170}},
            {"bar": [{"height_cm": 100}]},
            "Not as it has to be: A pull-up bar (Height above the floor: at least 170 cm).",
        ),
        (
            ("bar", "band"),
            {"bar": {"height_cm": 170}, "band": {"levels": ["medium", "heavy"]}},
            {"bar": [{"height_cm": 190}], "band": [{"levels": ["light"]}]},
            "Not as it has to be: A long loop band (How strong, roughly: medium / heavy).",
        ),
        (("backpack",), {"backpack": {"most_kg": 20}}, {"backpack": [{"most_kg": 5}]}, "at least 20 kg"),
    ],
)
def test_words_name_the_thing_that_is_not_right_and_what_it_has_to_be(way, details, told, words):
    ways = [("rings",), way]

    assert words in unfit_words(ways, frozenset(way), details, told)
