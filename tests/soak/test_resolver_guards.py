"""Take out or turn round every guard of what stands in for what, one at a time, and see its suite fail.

The list is generated from the source (tests.soak.mutating): conditions, their parts, borders, filters, entries of the
list of guards, arguments, and steps that lessen a dose. What lives through the suite is listed here with the reason why
nobody could tell it from the rule; an entry that no longer lives is removed.
"""

import pytest

from tests.soak.mutating import survivors

SUITE = [
    f"tests/programs/domain/{name}.py"
    for name in ("test_fitting", "test_graph", "test_resolving_doses", "test_resolving", "test_feasible")
]
# Of the library in memory, the functions that say what is never harder.
NEVER_HARDER = ("side_load", "is_not_harder", "nearness", "_sorted_easier", "harder_than")
# Module, which functions, and which share of its versions: each piece is some minutes.
PIECES = [
    ("feasible", (), (1, 1)),
    ("fitting", (), (1, 1)),
    ("graph", NEVER_HARDER, (1, 1)),
    ("resolving", (), (1, 3)),
    ("resolving", (), (2, 3)),
    ("resolving", (), (3, 3)),
]
SAME_BY_NATURE = {
    "fitting": {
        "is_fit: without not details": "a way out that saves time: without details all() has nothing to ask",
    },
    "graph": {
        "_sorted_easier: without other.slug != source.slug": "nothing is clearly lighter than itself",
    },
    "resolving": {
        "_options: without want is Want.EASIER": "the same movement again, after it was refused",
        "_options: without not _is_loaded(asked)": "the same movement again, after it was refused",
        "turned_amount: max without 1": "a set lasts a second at least, so it is a metre long at least",
        "turned_amount: max without 1 (3)": "a repetition lasts a second at least (methods.volume.parse_tempo)",
        "with_reserve: without stated is None": "effort is told by RIR or by RPE, never by both (a constraint)",
        "lessened: without since >= BREAK_DAYS": "methods.easing.return_after_break leaves shorter breaks alone",
        "_with_dose: without less.load_kg is not None": "a lessened dose has a load exactly when the dose has one",
        "_with_dose: without dose.load_kg is not None": "a lessened dose has a load exactly when the dose has one",
        "_with_dose: without 1": "every movement is counted in reps, seconds or metres",
    },
}


@pytest.mark.parametrize(
    ("module", "only", "part"), PIECES, ids=[f"{module} {share} of {of}" for module, _only, (share, of) in PIECES]
)
def test_taking_out_or_turning_round_any_guard_makes_the_suite_fail(module, only, part, capsys):
    found = survivors(f"programs.domain.{module}", SUITE, part=part, only=only)

    same = SAME_BY_NATURE.get(module, {})
    with capsys.disabled():
        print(f"\n{module}: {len(found['tried'])} tried, {len(found['alive'])} live")  # noqa: T201
    assert found["tried"]
    assert sorted(found["alive"]) == sorted(set(found["tried"]) & set(same))
