import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import holds
from tests.methods.registry import Checks, Tag

CHECKS = Checks("holds")
FREY_LAW = "Frey Law & Avin 2010, Ergonomics 53(1):109 (abstract: ranking)"
REGIONS = ("ankle", "trunk", "grip", "elbow", "knee", "shoulder")
CHECKS.add(Tag.READ, FREY_LAW, "endurance_time_frey_law", "ranking of regions at half effort", REGIONS,
           lambda: tuple(sorted(REGIONS, key=lambda r: -holds.endurance_time_frey_law(0.5, r))))  # fmt: skip
for region, expected in [("ankle", 144.7), ("trunk", 109.4), ("grip", 102.4), ("shoulder", 52.8), ("general", 86.5)]:
    CHECKS.add(Tag.MEMORY, "Frey Law & Avin 2010, coefficients", "endurance_time_frey_law", f"{region}, half", expected,
               lambda r=region: holds.endurance_time_frey_law(0.5, r), 0.06)  # fmt: skip
for f, expected in [(0.2, 390), (0.3, 152), (0.5, 66), (0.7, 34), (1.0, 6)]:
    CHECKS.add(Tag.MEMORY, "Rohmert 1960", "endurance_time_rohmert", str(f), expected,
               lambda f=f: round(holds.endurance_time_rohmert(f)))  # fmt: skip
CHECKS.add(Tag.PRACTICE, "50 to 70 % of the best", "skill_hold_dose_s", "best 24 s", (12.0, 16.8),
           lambda: tuple(round(s, 1) for s in holds.skill_hold_dose_s(24)))  # fmt: skip
for region, row in {
    "ankle": (414.6, 144.7, 72.4, 43.1), "trunk": (349.0, 109.4, 51.0, 28.8), "grip": (233.1, 102.4, 59.6, 39.8),
    "elbow": (257.2, 83.2, 39.5, 22.7), "knee": (186.4, 71.3, 37.9, 23.6), "shoulder": (134.6, 52.8, 28.5, 18.0),
    "general": (237.9, 86.5, 44.4, 27.0),
}.items():  # fmt: skip
    CHECKS.add(
        Tag.MEMORY,
        "Frey Law & Avin 2010, coefficients",
        "endurance_time_frey_law",
        f"{region} at .3 .5 .7 .9",
        row,
        lambda r=region: tuple(holds.endurance_time_frey_law(f, r) for f in (0.3, 0.5, 0.7, 0.9)),
        0.06,
    )
for seconds, region, expected in [(52.8, "shoulder", 0.500), (60, "trunk", 0.652), (60, "grip", 0.697)]:
    CHECKS.add(Tag.MEMORY, "Frey Law & Avin 2010, coefficients", "intensity_for_endurance_frey_law",
               f"{seconds} s, {region}", expected,
               lambda s=seconds, r=region: holds.intensity_for_endurance_frey_law(s, r), 6e-4)  # fmt: skip
for goal, seconds in [("size", (80, 150)), ("strength", (30, 90))]:
    CHECKS.add(
        Tag.MEMORY,
        "Lum & Barbosa 2019, Int J Sports Med 40(6):363",
        "isometric_dose_lum_barbosa",
        goal,
        seconds,
        lambda goal=goal: holds.isometric_dose_lum_barbosa(goal).session_s,
    )


def test_holds_agree_with_the_outside():
    assert CHECKS.wrong() == []


@given(st.floats(0.1, 0.95), st.sampled_from(REGIONS))
def test_the_inverse_undoes_the_power_law(intensity, region):
    seconds = holds.endurance_time_frey_law(intensity, region)
    if 0.101 < intensity < 0.949:
        assert holds.intensity_for_endurance_frey_law(seconds, region) == pytest.approx(intensity)


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: holds.endurance_time_frey_law(0.09), "0.1 to 0.95"),
        (lambda: holds.endurance_time_frey_law(0.96), "0.1 to 0.95"),
        (lambda: holds.endurance_time_frey_law(0.5, "tail"), "region"),
        (lambda: holds.intensity_for_endurance_frey_law(0), "positive"),
        (lambda: holds.intensity_for_endurance_frey_law(1), "outside"),
        (lambda: holds.endurance_time_rohmert(0.15), "0.15"),
        (lambda: holds.skill_hold_dose_s(0), "positive"),
        (lambda: holds.isometric_dose_lum_barbosa("fun"), "size or strength"),
    ],
)
def test_holds_refuse_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()
