"""Check-ins against the client's own usual: arithmetic checked against SciPy, and what is never said too early."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from clients.models import CheckIn
from coaching.domain.how_they_are import compare_with_usual, pain_by_area
from methods.undefined import Undefined
from methods.wellness import MCLEAN_ITEMS
from tests import factories as f

ANSWERS = st.tuples(*[st.integers(1, 5)] * 5)
WEEK = datetime.timedelta(weeks=1)
STEADY = [(4, 3, 4, 3, 4), (3, 4, 4, 4, 4), (4, 4, 3, 3, 4), (4, 3, 3, 4, 4)]


def of(answers) -> CheckIn:
    return CheckIn(**dict(zip(MCLEAN_ITEMS, answers, strict=True)))


@given(earlier=st.lists(ANSWERS, min_size=10, max_size=40), now=ANSWERS)
def test_change_is_that_of_scipy_over_the_28_before(earlier, now):
    newest = compare_with_usual([of(each) for each in [*earlier, now]])[-1]

    base = [sum(each) for each in earlier[-28:]]
    assert newest.usual == pytest.approx(sum(base) / len(base))
    if len(set(base)) > 1:
        # zmap divides by the sample's SD with ddof=1, as methods.wellness.own_z says it does.
        assert newest.z == pytest.approx(stats.zmap([sum(now)], base, ddof=1)[0])


@given(earlier=st.lists(ANSWERS, max_size=9), now=ANSWERS)
def test_nothing_is_usual_before_ten(earlier, now):
    newest = compare_with_usual([of(each) for each in [*earlier, now]])[-1]

    assert (newest.usual, newest.change, newest.is_worth_asking) == (None, None, False)
    assert all(each.usual is None for each in newest.items)


@pytest.mark.parametrize(
    ("last", "asks"),
    [([], False), ([(1, 1, 2, 1, 1)], False), ([(1, 1, 2, 1, 1)] * 2, True), ([(2, 2, 1, 2, 2)] * 2, True)],
)
def test_worth_asking_needs_two_weeks_that_differ(last, asks):
    compared = compare_with_usual([of(each) for each in STEADY * 4 + last])

    assert compared[-1].is_worth_asking == asks


def test_whole_point_of_an_item_is_named():
    newest = compare_with_usual([of(each) for each in [*[(4, 4, 4, 4, 4)] * 10, (4, 4, 4, 4, 3)]])[-1]

    assert {each.item.code for each in newest.items if each.is_a_whole_point} == {"mood"}


@pytest.mark.parametrize(("mood", "signed"), [(5, "+1.0"), (4, "0.0"), (3, "\N{MINUS SIGN}1.0")])
def test_change_carries_its_sign(mood, signed):
    newest = compare_with_usual([of(each) for each in [*[(4, 4, 4, 4, 4)] * 10, (4, 4, 4, 4, mood)]])[-1]

    assert (newest.items[-1].change_signed, newest.change_signed) == (signed, signed)


def test_answer_left_out_has_no_sum_and_is_no_change():
    newest = compare_with_usual([of(each) for each in [*STEADY * 3, (4, None, 4, 4, 4)]])[-1]

    assert (newest.index, newest.change) == (None, None)
    assert isinstance(newest.z, Undefined)


@pytest.mark.parametrize(
    ("days", "ratings", "told"),
    [
        (8, (6, 4), ("\N{MINUS SIGN}2", "\N{MINUS SIGN}33", True, True)),
        (8, (8, 6), ("\N{MINUS SIGN}2", "\N{MINUS SIGN}25", True, False)),
        (8, (3, 2), ("\N{MINUS SIGN}1", "\N{MINUS SIGN}33", False, True)),
        (8, (0, 3), ("+3", "", False, False)),
        (8, (4, 4), ("0", "0", False, False)),
        (7, (6, 4), None),
        (8, (None, 4), None),
    ],
)
@pytest.mark.django_db
def test_pain_over_more_than_a_week_is_told_in_points_and_percent(cast, days, ratings, told):
    newest = f.MONDAY + datetime.timedelta(days=20)
    for on, during in zip((newest - datetime.timedelta(days=days), newest), ratings, strict=True):
        f.PainReportFactory(client=cast.client, on=on, during=during)

    (area,) = pain_by_area(cast.client, on=newest)

    over = area.change
    said = over and (
        over.points_signed,
        over.percent_signed,
        over.change.meets_two_points,
        over.change.meets_thirty_percent,
    )
    assert said == told


@pytest.mark.django_db
def test_pain_is_told_by_area_the_newest_first(cast):
    for day, area, during in [(1, "knee", 3), (8, "knee", 6), (20, "elbow", 2)]:
        f.PainReportFactory(client=cast.client, on=f.MONDAY + datetime.timedelta(days=day), area=area, during=during)
    f.PainReportFactory(client=cast.client, on=f.MONDAY - 9 * WEEK, area="hip")

    found = pain_by_area(cast.client, on=f.MONDAY + 4 * WEEK)

    assert [(area.newest.area, area.worst, len(area.reports)) for area in found] == [("elbow", 2, 1), ("knee", 6, 2)]
