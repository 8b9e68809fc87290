import pytest

from methods import wellness
from methods.undefined import Undefined
from tests.methods.registry import Checks, Tag

CHECKS = Checks("wellness")
HOOPER = "Hooper & Mackinnon 1995, Sports Med 20:321 (several pages)"
MCLEAN = "McLean et al. 2010, IJSPP 5:367 (rugby union education page)"


def hooper(*values):
    return wellness.hooper_index(dict(zip(wellness.HOOPER_ITEMS, values, strict=True)))


def mclean(*values):
    return wellness.mclean_index(dict(zip(wellness.MCLEAN_ITEMS, values, strict=True)))


CHECKS.add(Tag.SECONDARY, HOOPER, "hooper_index", "all best", 4.0, lambda: hooper(1, 1, 1, 1))
CHECKS.add(Tag.SECONDARY, HOOPER, "hooper_index", "all worst", 28.0, lambda: hooper(7, 7, 7, 7))
CHECKS.add(Tag.SECONDARY, MCLEAN, "mclean_index", "all worst", 5.0, lambda: mclean(1, 1, 1, 1, 1))
CHECKS.add(Tag.SECONDARY, MCLEAN, "mclean_index", "all best", 25.0, lambda: mclean(5, 5, 5, 5, 5))
PSFS = "Stratford et al. 1995, form page: detectable change 2 for the mean, 3 for one"
for before, now, expected in [
    ([3, 5, 4], [6, 7, 5], True),
    ([2, 2, 2], [4, 3, 4], False),
    ([4], [7], True),
    ([4], [6], False),
]:
    CHECKS.add(Tag.READ, PSFS, "patient_specific_change", f"{before} to {now}", expected,
               lambda b=before, n=now: wellness.patient_specific_change(b, n).is_more_than_noise)  # fmt: skip
BASE = [18, 19, 17, 18, 20, 18, 19, 17, 18, 19, 18, 17, 20, 18]
CHECKS.add(
    Tag.ARITHMETIC, "worked by hand", "own_z", "14 on its base", -4.309458, lambda: wellness.own_z(14, BASE), 1e-6
)
CHECKS.add(Tag.ARITHMETIC, "worked by hand", "hooper_index", "3, 2, 4, 3", 12.0, lambda: hooper(3, 2, 4, 3))
CHECKS.add(Tag.ARITHMETIC, "worked by hand", "mclean_index", "4, 3, 4, 3, 4", 18.0, lambda: mclean(4, 3, 4, 3, 4))
for ratings, expected in [([3, 5, 4], 4.0), ([6, 7, 5], 6.0), ([4, 3, 4], 3.6667)]:
    CHECKS.add(Tag.ARITHMETIC, "worked by hand", "patient_specific_score", str(ratings), expected,
               lambda r=ratings: wellness.patient_specific_score(r), 5e-5)  # fmt: skip


def test_wellness_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(
    "undefined",
    [
        wellness.hooper_index({"sleep": 1, "stress": 1, "fatigue": 1}),
        wellness.mclean_index({"sleep": None}),
        wellness.own_z(14, BASE[:9]),
        wellness.own_z(14, [18] * 14),
        wellness.patient_specific_score([]),
        wellness.patient_specific_change([], []),
    ],
)
def test_a_missing_answer_is_never_made_up(undefined):
    assert isinstance(undefined, Undefined)


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: hooper(0, 1, 1, 1), "1 to 7"),
        (lambda: mclean(1, 1, 1, 1, 6), "1 to 5"),
        (lambda: wellness.hooper_index({"luck": 3}), "luck"),
        (lambda: wellness.patient_specific_score([11]), "0 to 10"),
        (lambda: wellness.patient_specific_score([1] * 6), "five"),
        (lambda: wellness.patient_specific_change([1], [1, 2]), "same activities"),
    ],
)
def test_wellness_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


def test_the_indices_point_in_opposite_directions():
    assert wellness.HIGHER_IS_WORSE != wellness.HIGHER_IS_BETTER


@pytest.mark.parametrize("anchors", [wellness.HOOPER_ANCHORS, wellness.MCLEAN_ANCHORS])
def test_both_ends_of_every_item_have_words_of_their_own(anchors):
    words = [word for pair in anchors.values() for word in pair]

    assert len(set(words)) == len(words)


@pytest.mark.parametrize(
    ("z", "change", "asks"),
    [
        ([-1.5, 0, -1.5], 1, True), ([1.5, 0, 1.6], -1, True), ([-1.4, 0, -1.5], 1, False),
        ([-1.5, 0, -1.5], 0.9, False),
        ([-9, -9, 0, 0, -9], 1, False), ([Undefined("x"), -2, -2], 1, True), ([], 5, False),
    ],
)  # fmt: skip
def test_asking_needs_two_unusual_days_and_a_whole_point(z, change, asks):
    assert wellness.worth_asking(z, change) == asks
