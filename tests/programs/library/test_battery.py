from dataclasses import replace

import pytest

from clients.choices import Area
from programs.choices import LoggedSide
from programs.library import MOVEMENTS
from programs.library.battery import BATTERY, BY_CODE
from programs.library.battery_schema import Amount, BatteryFlaw, Way, check_battery

NORMS = {"push-ups", "pull-ups"}
PUSH_UPS = BY_CODE["push-ups"]


def test_shipped_battery_has_no_flaw():
    check_battery(BATTERY, MOVEMENTS, NORMS)

    assert {test.code for test in BATTERY} >= {
        "push-ups", "pull-ups", "top-hold", "rows", "dead-hang", "hollow-hold", "side-bridge", "sit-to-stand",
        "overhead-reach",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"how": ""}, "what counts and a source"),
        ({"movement": "no-such", "ways": ()}, "no movement no-such"),
        ({"areas": (Area.CHEST,)}, "leaves out areas that push-up stresses"),
        ({"ways": (Way("knees", "On the knees", "knee-push-up"),)}, "first way is the movement itself"),
        ({"sides": (LoggedSide.BOTH, LoggedSide.LEFT)}, "both sides at once, or each"),
        ({"sides": ()}, "both sides at once, or each"),
        ({"amount": Amount.CENTIMETRES}, "no variant to the limit"),
        ({"amount": Amount.SECONDS, "clock_s": 30}, "against a clock"),
        ({"norm": "hearsay"}, "known table"),
        ({"maximal": ""}, "known table"),
        ({"below": "push-ups"}, "belongs to another test"),
    ],
)
def test_flaw_of_a_test_is_told(change, words):
    with pytest.raises(BatteryFlaw, match=words):
        check_battery([replace(PUSH_UPS, **change)], MOVEMENTS, NORMS)


def test_code_stands_once():
    with pytest.raises(BatteryFlaw, match="several of this code"):
        check_battery([PUSH_UPS, PUSH_UPS], MOVEMENTS, NORMS)
