import pytest

from programs.domain.graph import shipped_graph
from programs.domain.public_wording import palms_words, public_dose_words, tempo_words
from programs.domain.resolving import Asked, with_reserve

GRAPH = shipped_graph()


def words(slug, *, instead_of=None, **dose):
    movement = GRAPH.movements[slug]
    asked = with_reserve(Asked(movement, **dose), 3)
    planned = Asked(GRAPH.movements[instead_of]) if instead_of else asked
    return public_dose_words(asked, planned, rest_s=asked.rest_s)


@pytest.mark.parametrize(
    ("slug", "told"),
    [
        ("push-up", "stop with 3 reps left"),
        ("goblet-squat", "a load with 3 reps left"),
        ("band-row-standing", "a band with 3 reps left"),
        ("dead-hang", "stop while you could still go on well"),
    ],
)
def test_effort_is_told_by_what_is_left(slug, told):
    assert told in words(slug)


@pytest.mark.parametrize("slug", ["cat-cow", "march-in-place"])
def test_easy_movement_speaks_of_no_effort(slug):
    assert "left" not in words(slug)
    assert "go on" not in words(slug)


@pytest.mark.parametrize(
    ("tempo", "told"),
    [
        ("", ""),
        ("3-1-X-0", "3 s lowering, 1 s at the bottom, lift fast"),
        ("2-0-2-0", "2 s lowering, 2 s lifting"),
        ("0-0-1-2", "1 s lifting, 2 s at the top"),
    ],
)
def test_tempo_is_told_in_words(tempo, told):
    assert tempo_words(tempo) == told


@pytest.mark.parametrize(
    ("grips", "told"),
    [
        ("", ""),
        ("pronated", "palms facing away"),
        ("supinated,neutral", "set by set: palms facing you, palms facing each other"),
    ],
)
def test_grip_is_told_by_the_palms(grips, told):
    assert palms_words(grips) == told


def test_grip_of_one_movement_is_not_told_of_another():
    assert "palms" in words("pull-up", grip="pronated")
    assert "palms" not in words("push-up", instead_of="pull-up", grip="pronated")


def test_top_and_back_off_sets_are_plain_sets_where_no_load_is_named():
    assert words("push-up", kind="back_off").startswith("3 sets of")
    assert words("push-up", kind="warm_up").startswith("3 sets (Warm-up or ramp) of")


def test_no_rest_is_told_where_there_is_none():
    assert "rest" not in words("push-up", rest_s=0)
