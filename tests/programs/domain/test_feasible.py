from types import SimpleNamespace

import pytest

from clients.choices import Ceiling
from programs.domain import feasible
from programs.domain.feasible import why_not_for


@pytest.mark.parametrize(
    ("limits", "revision", "said"),
    [
        ({}, {}, ""),
        ({"no_start": "Not yet."}, {}, "Not yet."),
        ({"barred": frozenset({"wrist"})}, {"areas": ["wrist", "elbow"]}, "must not be loaded"),
        ({"barred": frozenset({"knee"})}, {"areas": ["wrist"]}, ""),
        ({"ceiling": Ceiling.MODERATE}, {"vigorous": True}, "Harder than the screening allows"),
        ({"ceiling": Ceiling.VIGOROUS}, {"vigorous": True}, ""),
        ({"ceiling": Ceiling.MODERATE}, {}, ""),
    ],
)
def test_what_protects_keeps_a_client_from_a_movement(monkeypatch, limits, revision, said):
    monkeypatch.setattr(feasible, "why_not", lambda revision, there: "")
    told = {"no_start": "", "barred": frozenset(), "ceiling": Ceiling.MODERATE, "there": None} | limits
    movement = {"areas": ["wrist"], "vigorous": False} | revision

    answer = why_not_for(SimpleNamespace(**movement), SimpleNamespace(**told))

    assert said in answer
    assert bool(answer) == bool(said)
