import pytest

from clients.choices import Ceiling
from programs.choices import LoadKind, Measure, Pattern
from programs.domain.feasible import why_not_for
from programs.domain.resolving import Day
from programs.models import MovementRevision

DIP = {"pattern": Pattern.DIP, "equipment": [["chair"]]}


@pytest.mark.parametrize(
    ("told", "changed", "said"),
    [
        ({}, {}, ""),
        ({"no_start": "Not yet."}, {}, "Not yet."),
        ({"barred": frozenset({"wrist"})}, {"areas": ["wrist", "elbow"]}, "must not be loaded"),
        ({"barred": frozenset({"knee"})}, {"areas": ["wrist"]}, ""),
        ({"ceiling": Ceiling.MODERATE}, {"vigorous": True}, "Harder than the screening allows"),
        ({"ceiling": Ceiling.VIGOROUS}, {"vigorous": True}, ""),
        ({"ceiling": Ceiling.MODERATE}, {}, ""),
        ({}, {"equipment": [["rings"]]}, "Not at this place"),
        ({"present": frozenset({"rings"})}, {"equipment": [["rings"]]}, "The set-up check is missing"),
        (
            {"usable": frozenset({"bar"}), "things": {"bar": [{"height_cm": 150}]}},
            {"equipment": [["bar"]], "details": {"bar": {"height_cm": 170}}},
            "Not as it has to be",
        ),
        ({"usable": frozenset({"chair"})}, DIP, "Chairs do not carry"),
        ({"usable": frozenset({"chair"}), "chairs_carry": True}, DIP, ""),
    ],
)
def test_what_keeps_a_client_from_a_movement(told, changed, said):
    day = Day(**{"present": frozenset(), "usable": frozenset(), "ceiling": Ceiling.MODERATE} | told)
    plain = {"pattern": Pattern.HORIZONTAL_PUSH, "measure": Measure.REPETITIONS, "load_kind": LoadKind.BODY_SHARE}
    revision = MovementRevision(**plain | {"areas": ["wrist"]} | changed)

    answer = why_not_for(revision, day)

    assert said in answer
    assert bool(answer) == bool(said)
