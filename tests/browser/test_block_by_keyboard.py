"""A whole block with the keyboard alone, with every key counted. The goals: 900 from nothing, 250 from a template."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from programs.domain.library import load_library
from programs.domain.rows import rows_of, with_contents
from programs.models import Block
from tests import factories as f

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

FROM_NOTHING = 900
# As a coach thinks of a session: movement by the first letters of its words, section, sets, amount, reserve, step.
SAME = None
PULL = [
    ("ca co", "Mobility", "1", "10", "", ""),
    ("pul u", "Strength", "4", "4-6", "3", "+1 rep"),
    ("ri ro 45", SAME, "3", "8-12", "3", "+1 set"),
    ("dea ha", SAME, "3", "20", "", "+5 s"),
    ("ho ho", "Trunk", "3", "20", "", ""),
]
PUSH = [
    ("ar ci", "Mobility", "1", "10", "", ""),
    ("pus u", "Strength", "4", "8-12", "3", "+1 rep"),
    ("pi pu u", SAME, "3", "6-8", "3", ""),
    ("ri su", SAME, "3", "15", "", "+5 s"),
    ("pla", "Trunk", "3", "30", "", ""),
]
LEGS = [
    ("an ro", "Mobility", "1", "10", "", ""),
    ("sp sq", "Strength", "3", "8-12", "3", "+1 rep"),
    ("si gl", SAME, "3", "8-12", "3", ""),
    ("cal ra", SAME, "3", "12-15", "3", ""),
    ("bi do", "Trunk", "3", "8", "", ""),
]


LEGS_NAMES = ["Split squat", "Single-leg glute bridge", "Calf raise", "Bird dog"]


class Keys:
    """A keyboard that counts: a letter is one key, and a combination is each key that is held."""

    def __init__(self, page):
        self.page, self.count = page, 0

    def type(self, text):
        self.count += len(text)
        self.page.keyboard.type(text)

    def press(self, *combinations):
        for keys in combinations:
            self.count += len(keys.split("+"))
            self.page.keyboard.press(keys)


@pytest.fixture
def page(open_as, live_server, cast):
    load_library()
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    page = open_as(cast.coach, width=1280)
    page.goto(live_server.url + reverse("client-blocks", args=[cast.client.uuid]))
    return page


def write_row(keys, movement, section, sets, amount, reserve, step):
    """From the movement's cell on. What a new row has from the one above stays where it is the same."""
    keys.type(movement)
    keys.press("Tab")
    if section is not SAME:
        keys.type(section[0])
    keys.press("Tab")
    keys.type(sets)
    keys.press("Tab")
    keys.type(amount)
    keys.press("Tab", "Tab")
    if reserve:
        keys.type(reserve)
    else:
        keys.press("Delete")
    if step:
        keys.press("Alt+m")
        keys.type(step)


def test_block_of_four_weeks_and_three_sessions_is_written_from_nothing(page, cast):
    keys = Keys(page)
    keys.press("Alt+n")
    keys.type("Base")
    keys.press("Enter")
    page.wait_for_url("**/blocks/*/")
    for name, rows in (("Pull", PULL), ("Push", PUSH), ("Legs", LEGS)):
        keys.press("Alt+n")
        keys.type(name)
        keys.press("Enter")
        page.wait_for_url("**/sessions/*/")
        expect(page.get_by_label("Movement", exact=True).first).to_be_focused()
        for number, row in enumerate(rows):
            if number:
                keys.press("Alt+Enter")
            write_row(keys, *row)
        keys.press("Control+Enter")
        page.wait_for_url("**/blocks/*/")
    keys.press("Alt+w")
    page.wait_for_load_state()
    expect(page.get_by_text("Every week goes on from week 1 by its steps.")).to_be_visible()

    block = Block.objects.get()
    sessions = with_contents(block.sessions.all())
    assert [(one.week, one.weekday) for one in sessions] == [(w, d) for w in (1, 2, 3, 4) for d in (0, 2, 4)]
    weeks = [[(row.sets, row.amount_high) for row in rows_of(one)] for one in sessions]
    assert weeks[0] == [(1, 10), (4, 6), (3, 12), (3, 20), (3, 20)]
    assert weeks[9] == [(1, 10), (4, 9), (6, 12), (3, 35), (3, 20)]  # three steps on
    assert [row.movement.name for row in rows_of(sessions[2])][1:] == LEGS_NAMES
    assert keys.count <= FROM_NOTHING, keys.count
