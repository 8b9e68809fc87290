"""The shipped library is complete and consistent before anyone loads it."""

from graphlib import TopologicalSorter

import pytest

from programs.choices import LoadKind, Pattern
from programs.library import LINES, MOVEMENTS
from programs.library.schema import SCORED_BY_SHARE

BY_SLUG = {entry.slug: entry for entry in MOVEMENTS}
EACH = pytest.mark.parametrize("entry", MOVEMENTS, ids=lambda e: e.slug)
EACH_LINE = pytest.mark.parametrize("line", LINES, ids=lambda line: line.slug)
DOSE_KEYS = {"sets", "amount_low", "amount_high", "target_rir"}


def test_library_is_large_enough_and_covers_every_pattern():
    assert len(MOVEMENTS) >= 200
    assert {entry.pattern for entry in MOVEMENTS} == set(Pattern)


def test_slugs_and_names_are_unique():
    assert len({e.slug for e in MOVEMENTS}) == len({e.name.lower() for e in MOVEMENTS}) == len(MOVEMENTS)


@EACH
def test_entry_says_how_it_is_done_and_filmed(entry):
    assert entry.set_up
    assert entry.film_from
    assert 1 <= len(entry.cues) <= 3
    assert entry.areas


@EACH
def test_entry_has_a_share_exactly_when_body_mass_is_scored(entry):
    assert (entry.share is not None) == (entry.load_kind in SCORED_BY_SHARE)


@EACH
def test_entry_counts_muscles_whole_or_half(entry):
    assert entry.muscles
    assert set(entry.muscles.values()) <= {1, 0.5}


@EACH
def test_entry_texts_fit_their_columns(entry):
    assert len(entry.name) <= 120
    assert len(entry.film_from) <= 200
    assert entry.share is None or len(entry.share.source) <= 200


@EACH_LINE
def test_line_only_names_shipped_movements(line):
    assert line.steps <= set(BY_SLUG)


@EACH_LINE
def test_line_has_no_circle(line):
    sorter = TopologicalSorter()
    for edge in line.edges:
        sorter.add(edge.harder, edge.easier)

    assert set(sorter.static_order()) == line.steps


@EACH_LINE
def test_every_step_is_reachable_from_the_first(line):
    first = line.steps - {edge.harder for edge in line.edges}
    reached = set(first)
    for _ in line.steps:
        reached |= {edge.harder for edge in line.edges if edge.easier in reached}

    assert len(first) == 1
    assert reached == line.steps


@EACH_LINE
def test_every_edge_has_a_usable_entry_dose(line):
    for edge in line.edges:
        assert set(edge.entry_dose) == DOSE_KEYS
        assert 1 <= edge.entry_dose["amount_low"] <= edge.entry_dose["amount_high"]
        assert edge.entry_dose["target_rir"] >= 2


def test_bands_and_mobility_stand_on_no_line():
    steps = {slug for line in LINES for slug in line.steps}

    for slug in steps:
        assert BY_SLUG[slug].load_kind != LoadKind.BAND
        assert BY_SLUG[slug].pattern not in {Pattern.SHOULDER_MOBILITY, Pattern.HIP_MOBILITY}
