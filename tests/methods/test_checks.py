"""The room stays checked against the outside: counts by tag may only grow."""

import sys
from collections import Counter
from types import SimpleNamespace

import pytest

from tests.methods import checks
from tests.methods.checks import all_checks, counts_by_tag, main, outside_sources
from tests.methods.registry import MOST_LIBRARY, MOST_PER_SOURCE, Check, Tag

CHECKS_OF_ALL = all_checks()
AT_LEAST = {
    Tag.READ: 187,
    Tag.SECONDARY: 75,
    Tag.MEMORY: 82,
    Tag.ARITHMETIC: 323,
    Tag.PRACTICE: 39,
}
OUTSIDE_AT_LEAST = 262
SOURCES_AT_LEAST = 71
LIBRARY_AT_LEAST = 26


@pytest.mark.parametrize("tag", AT_LEAST)
def test_counts_by_tag_do_not_drop(tag):
    assert counts_by_tag(CHECKS_OF_ALL)[tag] >= AT_LEAST[tag]


def test_the_values_from_outside_do_not_drop():
    assert sum(outside_sources(CHECKS_OF_ALL).values()) >= OUTSIDE_AT_LEAST


def test_their_sources_do_not_drop():
    assert len(outside_sources(CHECKS_OF_ALL)) >= SOURCES_AT_LEAST


def test_no_source_counts_more_than_eight_times():
    crowded = {source: count for source, count in outside_sources(CHECKS_OF_ALL).items() if count > MOST_PER_SOURCE}

    assert crowded == {}


@pytest.mark.slow
def test_reference_libraries_agree():
    from tests.methods.libraries import library_checks  # noqa: PLC0415 -- takes seconds to import

    library = library_checks()
    assert [str(check) for check in library if not check.passes()] == []
    assert LIBRARY_AT_LEAST <= len(library) <= MOST_LIBRARY
    assert len({check.method for check in library}) == len(library)


def test_every_check_names_its_source():
    assert all(check.source for check in CHECKS_OF_ALL)


def test_checks_are_not_written_twice():
    assert [name for name, count in Counter(map(str, CHECKS_OF_ALL)).items() if count > 1] == []


def test_a_wrong_value_is_reported(monkeypatch, capsys):
    wrong = Check("methods.x", "case", 1, lambda: 2, "nowhere", Tag.READ)
    monkeypatch.setattr(checks, "all_checks", lambda: [wrong])
    monkeypatch.setitem(sys.modules, "tests.methods.libraries", SimpleNamespace(library_checks=list))

    assert main() == 1
    assert "WRONG" in capsys.readouterr().out
