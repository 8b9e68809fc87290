"""Each rule of the library speaks when it is broken, and loading refuses what is broken."""

from dataclasses import replace

import pytest

from clients.choices import ItemKind
from programs.domain.library import load_library
from programs.library import LINES, MOVEMENTS
from programs.library.checks import LibraryFlaw, check_library, contradicts, line_flaws
from programs.library.schema import Edge, Line
from programs.models import Movement

BY_SLUG = {entry.slug: entry for entry in MOVEMENTS}
PULL_UP, PUSH_UP = BY_SLUG["pull-up"], BY_SLUG["push-up"]
DOSE = {"sets": 3, "amount_low": 3, "amount_high": 5, "target_rir": 3}


def _flaws(entries, lines=()):
    with pytest.raises(LibraryFlaw) as refused:
        check_library(entries, lines)
    return " ".join(refused.value.flaws)


def _line(*edges):
    return Line("x", "X", tuple(Edge(easier, harder, DOSE) for easier, harder in edges))


def test_shipped_library_has_no_flaw():
    check_library(MOVEMENTS, LINES)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"cues": ("One.",)}, "two or three cues"),
        ({"set_up": ""}, "set-up"),
        ({"muscles": {}}, "muscles"),
        ({"share": None}, "a share of body mass"),
        ({"share": BY_SLUG["push-up"].share}, "a share of 1"),
        ({"areas": ()}, "areas"),
        ({"details": {ItemKind.BAR: {"colour": 1}}}, "is not asked about colour"),
        ({"details": {ItemKind.BAR: {"height_cm": 9999}}}, "no height_cm"),
        ({"details": {ItemKind.RINGS: {"height_cm": 150}}}, "does not need"),
    ],
)
def test_flawed_entry_is_named(changed, said):
    assert said in _flaws([replace(PULL_UP, **changed)])


def test_step_of_an_offered_line_that_does_not_say_why_it_is_harder_is_named():
    line = Line("x", "X", (Edge("chin-up", "pull-up", DOSE),))

    assert _flaws([BY_SLUG["chin-up"], PULL_UP], [line]) == "x: chin-up > pull-up does not say why"


def test_doubled_movement_is_named():
    assert "2 movements of this slug" in _flaws([PULL_UP, PULL_UP])


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (_line(("pull-up", "nowhere")), "no movement is called nowhere"),
        (_line(("chin-up", "pull-up"), ("pull-up", "chin-up")), "a circle"),
        (_line(("chin-up", "pull-up"), ("dead-hang", "active-hang")), "one first step"),
        (_line(("push-up", "incline-push-up-60cm")), "its share falls from 0.64"),
        (_line(("cat-cow", "child-pose")), "has no line"),
        (Line("x", "X", (Edge("pull-up", "weighted-pull-up"),)), "needs an entry dose"),
        (Line("x", "X", (Edge("chin-up", "pull-up", DOSE | {"target_rir": 0}),)), "entry dose of pull-up"),
    ],
)
def test_flawed_line_is_named(line, said):
    assert said in " ".join(line_flaws(line, BY_SLUG))


@pytest.mark.parametrize("line", LINES, ids=lambda line: line.slug)
def test_no_shipped_edge_leads_to_a_clearly_smaller_share(line):
    for edge in line.edges:
        easier, harder = BY_SLUG[edge.easier], BY_SLUG[edge.harder]
        assert not contradicts(easier, harder)


@pytest.mark.django_db
def test_loading_a_flawed_library_changes_nothing():
    with pytest.raises(LibraryFlaw):
        load_library((PUSH_UP, replace(PULL_UP, cues=())), ())

    assert not Movement.objects.exists()


def test_path_to_the_first_pull_up_says_how_to_load_each_step():
    line = next(line for line in LINES if line.slug == "pull-up-line")
    said = {(edge.easier, edge.harder): edge.reason for edge in line.edges}

    for step in ("ring-row-45deg", "foot-assisted-pull-up", "band-assisted-pull-up", "pull-up-negative"):
        assert any(reason for (_easier, harder), reason in said.items() if harder == step), step
    lowering = next(edge for edge in line.edges if edge.harder == "pull-up-negative")
    assert lowering.entry_dose["amount_high"] <= 3
