"""Every area can be chosen on the chart, on the client's own sides, by a finger."""

import itertools

import pytest
from django.template import Context, Template

from clients.choices import Area, Side
from clients.forms import PainWhereForm
from clients.library import body_chart as chart

REGIONS = [*chart.front(), *chart.back()]
# A picture is at least 13.5 rem wide (static/css/body-chart.css), and a target 24 CSS pixels (WCAG 2.2, 2.5.8).
PIXELS_PER_UNIT = 13.5 * 16 / chart.FRAME[2]


def test_every_area_stands_on_the_chart_with_its_sides():
    for area in Area:
        drawn = {region.side for region in REGIONS if region.area == area}
        expected = {Side.LEFT, Side.RIGHT} if area in chart.PAIRED else {Side.MIDDLE}
        assert drawn >= expected, area
        assert drawn <= set(chart.sides_of(area))


@pytest.mark.parametrize("region", REGIONS, ids=lambda region: f"{region.area}-{region.side}")
def test_own_left_is_on_the_left_of_both_pictures(region):
    middle = sum(x for x, _y in region.points) / len(region.points)

    assert {Side.LEFT: middle < 0, Side.RIGHT: middle > 0, Side.MIDDLE: abs(middle) < 1}[region.side]


@pytest.mark.parametrize("region", REGIONS, ids=lambda region: f"{region.area}-{region.side}")
def test_a_square_for_a_finger_fits_inside_the_region_and_it_inside_the_picture(region):
    xs, ys = zip(*region.points, strict=True)
    left, top, width, height = chart.FRAME
    square = 24 / PIXELS_PER_UNIT

    assert any(
        _holds_square(region.points, x, y, square)
        for x in _steps(min(xs), max(xs) - square)
        for y in _steps(min(ys), max(ys) - square)
    )
    assert left <= min(xs) <= max(xs) <= left + width
    assert top <= min(ys) <= max(ys) <= top + height


def _steps(first, last):
    return [first + n * 0.25 for n in range(int((last - first) / 0.25) + 1)]


def _holds_square(points, x, y, size) -> bool:
    """The rim of a square, looked at point by point: no region has a hole."""
    inset = 0.01
    along = [inset + n * (size - 2 * inset) / 8 for n in range(9)]
    low, high = inset, size - inset
    rim = [(x + a, y + b) for a in along for b in (low, high)] + [(x + a, y + b) for a in (low, high) for b in along]
    return all(_is_inside(point, points) for point in rim)


@pytest.mark.parametrize("regions", [chart.front(), chart.back()], ids=["front", "back"])
def test_middle_of_a_region_lies_in_no_other(regions):
    for region, other in itertools.permutations(regions, 2):
        middle = tuple(sum(axis) / len(region.points) for axis in zip(*region.points, strict=True))
        assert _is_inside(middle, region.points)
        assert not _is_inside(middle, other.points), (region, other)


def test_what_there_are_two_of_has_no_middle():
    told = {"since": "today", "after_blow": "no", "pin_point": "no"}

    assert PainWhereForm(told | {"area": "knee", "side": "middle"}).errors.keys() == {"side"}
    assert PainWhereForm(told | {"area": "chest", "side": "middle"}).is_valid()


def test_marks_are_read_in_words_too():
    page = Template("{% load body_chart %}{% body_chart marks=marks %}").render(
        Context({"marks": [("knee", "left"), ("neck", "right")]})
    )

    assert "Knee, left; Neck, right" in page
    assert "Their left" in page
    # The knee and the neck stand in both pictures.
    assert page.count("body-chart__region--marked") == 4
    assert 'role="button"' not in page


def _is_inside(point, points) -> bool:
    """Ray casting."""
    x, y = point
    inside = False
    for (ax, ay), (bx, by) in itertools.pairwise([*points, points[0]]):
        if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
            inside = not inside
    return inside
