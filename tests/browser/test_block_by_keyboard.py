"""A whole block with the keyboard alone, with every key counted. The goals: 900 from nothing, 250 from a template."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from programs.choices import BlockState
from programs.domain import building
from programs.domain.library import load_library
from programs.domain.rows import Row, rows_of, with_contents
from programs.domain.templates import keep_as_template
from programs.models import Block, Movement
from tests import factories as f

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

FROM_NOTHING, FROM_TEMPLATE = 900, 250
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
    # Leaving a page ends the request for what stands beside a session; htmx writes that down.
    page = open_as(cast.coach, width=1280, expected="htmx:")
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
    keys.press("Alt+w", "Enter")
    page.wait_for_load_state()
    expect(page.get_by_text("The sessions of week 1 go on through every week by their steps.")).to_be_visible()

    block = Block.objects.get()
    sessions = with_contents(block.sessions.all())
    assert [(one.week, one.weekday) for one in sessions] == [(w, d) for w in (1, 2, 3, 4) for d in (0, 2, 4)]
    weeks = [[(row.sets, row.amount_high) for row in rows_of(one)] for one in sessions]
    assert weeks[0] == [(1, 10), (4, 6), (3, 12), (3, 20), (3, 20)]
    assert weeks[9] == [(1, 10), (4, 9), (6, 12), (3, 35), (3, 20)]  # three steps on
    assert [row.movement.name for row in rows_of(sessions[2])][1:] == LEGS_NAMES
    assert keys.count <= FROM_NOTHING, keys.count


@pytest.fixture
def template(cast):
    """Four weeks of three sessions with five movements each, kept from an invented block."""
    load_library()
    current = {m.current.name: m.current for m in Movement.objects.select_related("current")}
    client = f.ClientFactory(practice=cast.practice)
    draft = building.create_block(client, by=cast.coach, title="Base", starts_on=f.MONDAY, weeks=4)
    names = ["Push-up", "Split squat", "Glute bridge", "Plank", "Dead bug"]
    for number, name in enumerate(("A", "B", "C")):
        session = building.add_session(draft, version=draft.version, name=name, week=1, weekday=2 * number)
        rows = [Row(movement=current[one], target_rir=3, per_side=current[one].one_sided) for one in names]
        building.save_session(
            session, rows, version=session.block.version, name=name, weekday=2 * number, also_in_weeks=range(1, 5)
        )
        draft.refresh_from_db()
    return keep_as_template(draft, by=cast.coach, at=f.NOON, title="Four weeks, three days")


def test_block_of_four_weeks_and_three_sessions_is_begun_changed_and_published_from_a_template(template, page, cast):
    keys = Keys(page)
    keys.press("Alt+t")
    keys.type("F")
    keys.press("Tab", "Enter")
    page.wait_for_url("**/blocks/*/")
    # One session is looked at and changed: another movement, a set more, a cue.
    keys.press("Alt+s")
    page.wait_for_url("**/sessions/*/")
    page.locator("[data-keys]").wait_for()
    keys.press("Alt+f")
    keys.type("inc 60")
    keys.press("Tab", "Tab")
    keys.type("4")
    keys.press("Control+Enter")
    page.wait_for_url("**/blocks/*/")
    keys.press("Alt+u")
    page.wait_for_url("**/publish/")
    keys.press("Alt+u", "Enter")
    expect(page.get_by_text("Published.", exact=False).first).to_be_visible()

    block = Block.objects.of(cast.client).get()
    first, *others = with_contents(block.sessions.all())
    assert block.state == BlockState.PUBLISHED
    assert (rows_of(first)[0].movement.name, rows_of(first)[0].sets) == ("Incline push-up, 60 cm", 4)
    assert [len(rows_of(one)) for one in (first, *others)] == [5] * 12
    assert keys.count <= FROM_TEMPLATE, keys.count
