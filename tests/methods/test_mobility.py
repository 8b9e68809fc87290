import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import mobility
from tests.methods.registry import Checks, Tag

CHECKS = Checks("mobility")
HARVARD = "university health page on the ACSM dose: 15 s and three more, 20 s and two more"
CHECKS.add(Tag.READ, HARVARD, "stretch_repetitions_acsm", "15 s", 4, lambda: mobility.stretch_repetitions_acsm(15))
CHECKS.add(Tag.READ, HARVARD, "stretch_repetitions_acsm", "20 s", 3, lambda: mobility.stretch_repetitions_acsm(20))
BEHM = "Behm et al. 2016, Appl Physiol Nutr Metab 41(1):1 (60 s a muscle)"
CHECKS.add(
    Tag.READ, BEHM, "long_stretch_before_strength", "60 s", True, lambda: mobility.long_stretch_before_strength(60)
)
CHECKS.add(
    Tag.READ, BEHM, "long_stretch_before_strength", "59 s", False, lambda: mobility.long_stretch_before_strength(59)
)
KAY = "Kay & Blazevich 2012, Med Sci Sports Exerc 44(1):154 (harm likely from 60 s)"
CHECKS.add(
    Tag.READ, KAY, "long_stretch_before_strength", "45 s", False, lambda: mobility.long_stretch_before_strength(45)
)
for seconds, expected in [(59, -1.1), (60, -4.6)]:
    CHECKS.add(Tag.READ, BEHM, "strength_change_percent_behm", f"{seconds} s", expected,
               lambda s=seconds: mobility.strength_change_percent_behm(s))  # fmt: skip
for hold, expected in [(30, 2), (10, 6)]:
    CHECKS.add(Tag.ARITHMETIC, "60 s in all", "stretch_repetitions_acsm", f"{hold} s", expected,
               lambda h=hold: mobility.stretch_repetitions_acsm(h))  # fmt: skip
GARBER = "Garber et al. 2011 (ACSM), Med Sci Sports Exerc 43(7):1334"
for older, expected in [(False, (10, 30)), (True, (30, 60))]:
    CHECKS.add(Tag.READ, GARBER, "stretch_dose_acsm", f"one hold, {'older' if older else 'adults'}", expected,
               lambda older=older: mobility.stretch_dose_acsm(older=older).hold_s)  # fmt: skip
CHECKS.add(Tag.READ, GARBER, "stretch_dose_acsm", "60 s in all, 2 to 4 times, 2 days or more", (60, (2, 4), 2),
           lambda: (mobility.stretch_dose_acsm().total_s, mobility.stretch_dose_acsm().repetitions,
                    mobility.stretch_dose_acsm().days_a_week))  # fmt: skip
# 2 x 30 = 60 s on 3 days meets it; 2 x 20 = 40 s does not; 35 s is long for adults and inside for older ones.
for a, older, expected in [
    ((30, 2, 3), False, ()),
    ((20, 2, 2), False, ("under 60 s in all",)),
    ((35, 2, 2), False, ("held for more than 30 s",)),
    ((35, 2, 2), True, ()),
    ((10, 6, 2), False, ("held more than 4 times",)),
    ((60, 1, 2), True, ("held fewer than 2 times",)),
    ((15, 4, 1), True, ("held for less than 30 s", "on fewer than 2 days a week")),
]:
    CHECKS.add(Tag.ARITHMETIC, "the published dose, applied", "stretch_dose_notes", f"{a}, older {older}", expected,
               lambda a=a, older=older: mobility.stretch_dose_notes(*a, older=older))  # fmt: skip
CHECKS.add(Tag.SECONDARY, "Ingram et al. 2025, Sports Med, as reported", "LEVELS_OFF_WEEK_MIN", "4 and 10 minutes",
           (4, 10), lambda: (mobility.LEVELS_OFF_SESSION_MIN, mobility.LEVELS_OFF_WEEK_MIN))  # fmt: skip
CHECKS.add(Tag.READ, "Jeffreys 2007, Prof Strength Cond 6:12 (phases)", "RAMP_PHASES", "in order",
           ("raise", "activate and mobilise", "potentiate"), lambda: mobility.RAMP_PHASES)  # fmt: skip
# 40 % of 60 kg is 24, 60 % 36, 75 % 45, 90 % 54; for 8, 5, 3 and 1.
CHECKS.add(Tag.PRACTICE, "40, 60, 75, 90 % for 8, 5, 3, 1", "ramp_sets", "60 kg",
           ((24.0, 8), (36.0, 5), (45.0, 3), (54.0, 1)), lambda: mobility.ramp_sets(60))  # fmt: skip


def test_mobility_agrees_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize("hold_s", [9, 61])
def test_stretch_refuses_holds_nobody_advises(hold_s):
    with pytest.raises(ValueError, match="10 to 60"):
        mobility.stretch_repetitions_acsm(hold_s)


def test_stretch_refuses_negative_time():
    with pytest.raises(ValueError, match="negative"):
        mobility.long_stretch_before_strength(-1)


def test_ramp_rises_to_a_single_at_ninety_per_cent():
    assert mobility.ramp_sets(80)[-1] == (72.0, 1)


def test_ramp_refuses_no_load():
    with pytest.raises(ValueError, match="positive"):
        mobility.ramp_sets(0)


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: mobility.stretch_dose_notes(0, 2, 2), "positive"),
        (lambda: mobility.stretch_dose_notes(20, -1, 2), "negative"),
    ],
)
def test_stretch_notes_refuse_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


@given(st.integers(15, 30), st.integers(2, 7))
def test_the_repetitions_of_the_dose_leave_no_note(hold_s, days):
    assert mobility.stretch_dose_notes(hold_s, mobility.stretch_repetitions_acsm(hold_s), days) == ()


@given(st.floats(1, 500))
def test_ramp_sets_rise_in_load_and_fall_in_repetitions(work_load_kg):
    loads, counts = zip(*mobility.ramp_sets(work_load_kg), strict=True)

    assert (list(loads), list(counts)) == (sorted(loads), sorted(counts, reverse=True))
    assert max(loads) < work_load_kg
