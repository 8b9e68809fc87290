import pytest

from programs.choices import LoadKind
from programs.domain.graph import Entered, Known, Link, graph_from

SHARE = LoadKind.BODY_SHARE.value


def known(slug, **facts):
    return Known(
        **{"slug": slug, "name": slug.title(), "pattern": "hpush", "measure": "reps", "load_kind": SHARE, **facts}
    )


def below(source, *others, links=()):
    """What is offered below a movement, the nearest first."""
    graph = graph_from([source, *others], [Link(easier, harder, Entered()) for easier, harder in links])
    return [option.movement.slug for option in graph.easier_than(source.slug)]


@pytest.mark.parametrize(
    ("facts", "load"),
    [
        ({"share": 0.3}, 0.3),
        ({"share": 0.3, "one_sided": True}, 0.6),
        ({"share": None, "one_sided": True}, None),
        ({"share": 0.3, "lowering": True}, None),
        ({"share": 0.3, "load_kind": LoadKind.ASSISTED.value}, None),
        ({"share": 0.3, "load_kind": LoadKind.BODY_PLUS.value}, 0.3),
    ],
)
def test_share_tells_the_load_of_a_side_only_where_it_is_the_load(facts, load):
    assert known("a", **facts).side_load == load


def test_what_is_harder_on_a_line_is_never_below_however_light_its_share():
    assert below(known("low", share=0.6), known("high", share=0.3), links=[("low", "high")]) == []


def test_movement_is_not_below_itself():
    assert below(known("one", share=0.6)) == []


@pytest.mark.parametrize(("source_is", "expected"), [(True, ["jump"]), (False, [])])
def test_jump_stands_in_only_for_another_jump(source_is, expected):
    assert below(known("source", share=0.6, vigorous=source_is), known("jump", share=0.3, vigorous=True)) == expected


@pytest.mark.parametrize(("share", "expected"), [(0.5, ["easier"]), (0.51, ["easier"]), (0.52, [])])
def test_step_below_may_weigh_as_much_as_two_measurements_differ(share, expected):
    assert below(known("source", share=0.5), known("easier", share=share), links=[("easier", "source")]) == expected


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ({}, ["other"]),
        ({"pattern": "dip"}, ["other"]),
        ({"pattern": "squat"}, []),
        ({"measure": "seconds"}, []),
        ({"share": None}, []),
        ({"share": 0.58}, []),
    ],
)
def test_without_a_line_only_clearly_less_of_the_same_kind_counts(facts, expected):
    assert below(known("source", share=0.6), known("other", **{"share": 0.3, **facts})) == expected


def test_nearest_is_the_same_pattern_then_the_known_load_then_the_fewest_steps():
    source = known("source", share=0.6)
    others = [
        known("hold", share=0.6, measure="seconds"),
        known("light", share=0.2),
        known("near", share=0.5),
        known("other-pattern", share=0.55, pattern="dip"),
        known("far-step"),
        known("step"),
    ]
    links = [("step", "source"), ("far-step", "step"), ("hold", "far-step")]

    assert below(source, *others, links=links) == ["near", "light", "step", "far-step", "hold", "other-pattern"]


def test_harder_is_one_step_up_with_the_dose_of_the_line():
    movements = [known("one"), known("two"), known("three"), known("aside", pattern="dip")]
    few = Entered(sets=2)
    graph = graph_from(movements, [Link("one", "aside"), Link("one", "two", few), Link("two", "three")])

    assert [(o.movement.slug, o.entry) for o in graph.harder_than("one")] == [("two", few), ("aside", Entered())]


def test_step_to_a_movement_that_is_not_offered_leads_nowhere():
    graph = graph_from([known("one")], [Link("one", "hidden"), Link("gone", "one")])

    assert graph.harder_than("one") == ()
    assert graph.easier_than("one") == ()
