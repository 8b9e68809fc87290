import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from coaching.charts import BOTTOM, HEIGHT, TOP, bar_chart, dot_chart

VALUES = st.one_of(st.none(), st.floats(0, 1e6, allow_nan=False))


@given(st.lists(VALUES, max_size=60))
def test_every_mark_stays_inside_the_chart(values):
    chart = bar_chart("Sets", "sets", [(str(n), value) for n, value in enumerate(values)])

    assert all(TOP - 1 <= mark.y <= HEIGHT - BOTTOM + 1 for mark in chart.marks if mark.width)


@given(st.lists(VALUES, max_size=60))
@example([1_000_000.0, 999_999.9999999999])
def test_table_has_a_row_for_every_value(values):
    rows = [(str(n), value) for n, value in enumerate(values)]

    assert [mark.value == "–" for mark in dot_chart("Max", "kg", rows).marks] == [value is None for value in values]


def test_bar_heights_are_in_proportion():
    marks = bar_chart("Sets", "sets", [("a", 5), ("b", 10)]).marks

    assert marks[1].height == pytest.approx(2 * marks[0].height, abs=0.2)
