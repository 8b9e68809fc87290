from functools import partial

import pytest

from methods.segments import (
    DE_LEVA_1996,
    LIMB_SEGMENTS,
    PARTS_OF_THE_TRUNK,
    WINTER_2009_MASS_SHARE,
    leg_raise_hip_torque_nm,
    moved_mass_share,
    moved_mass_share_winter,
    segment_mass_share_de_leva,
)
from tests.methods.registry import Checks, Tag

CHECKS = Checks("segments")
DE_LEVA = "de Leva 1996, J Biomech 29(9):1223 (data files)"
WINTER = "Winter 2009 after Dempster (data file)"


def whole_body(sex):
    whole = {name: s for name, s in DE_LEVA_1996[sex].items() if name not in PARTS_OF_THE_TRUNK}
    return sum(s.mass_share * (2 if name in LIMB_SEGMENTS else 1) for name, s in whole.items())


CHECKS.add(Tag.READ, DE_LEVA, "DE_LEVA_1996", "male masses sum", 1.0, lambda: whole_body("male"), 1e-9)
CHECKS.add(Tag.READ, DE_LEVA, "DE_LEVA_1996", "female masses sum", 0.9999, lambda: whole_body("female"), 1e-9)
for sex, name, expected in [("male", "thigh", 0.1416), ("female", "shank", 0.0481), ("female", "trunk", 0.4257)]:
    CHECKS.add(Tag.READ, DE_LEVA, "segment_mass_share_de_leva", f"{sex} {name}", expected,
               lambda sex=sex, name=name: segment_mass_share_de_leva(name, sex), 1e-9)  # fmt: skip
for sex, name, expected in [("male", "thigh", 0.4095), ("female", "thigh", 0.3612)]:
    CHECKS.add(Tag.READ, DE_LEVA, "DE_LEVA_1996", f"{sex} {name} centre of mass", expected,
               lambda sex=sex, name=name: DE_LEVA_1996[sex][name].centre_share, 1e-9)  # fmt: skip
CHECKS.add(Tag.READ, WINTER, "WINTER_2009_MASS_SHARE", "leg parts make the printed total leg", 0.161,
           lambda: sum(WINTER_2009_MASS_SHARE[name] for name in ("thigh", "shank", "foot")), 1e-9)  # fmt: skip
CHECKS.add(Tag.READ, WINTER, "WINTER_2009_MASS_SHARE", "arm parts make the printed total arm", 0.050,
           lambda: sum(WINTER_2009_MASS_SHARE[name] for name in ("upper_arm", "forearm", "hand")), 1e-9)  # fmt: skip
for sex, mass, bent, expected in [
    ("male", 73.0, False, 90.17),
    ("male", 73.0, True, 69.53),
    ("female", 61.9, False, 69.21),
    ("female", 61.9, True, 51.19),
]:
    got = partial(leg_raise_hip_torque_nm, mass, sex, knees_bent=bent, gravity_m_s2=9.81)
    CHECKS.add(Tag.ARITHMETIC, "worked by hand", "leg_raise_hip_torque_nm", f"{sex} bent={bent}", expected, got, 0.05)
CHECKS.add(
    Tag.READ,
    DE_LEVA,
    "DE_LEVA_1996",
    "parts make the printed trunks",
    (0.4346, 0.4257),
    lambda: tuple(sum(DE_LEVA_1996[sex][part].mass_share for part in PARTS_OF_THE_TRUNK) for sex in DE_LEVA_1996),
    1e-9,
)
CHECKS.add(
    Tag.MEMORY,
    "de Leva 1996, lengths",
    "DE_LEVA_1996",
    "parts make the trunks' lengths",
    (0.5319, 0.5293),
    lambda: tuple(sum(DE_LEVA_1996[sex][part].length_m for part in PARTS_OF_THE_TRUNK) for sex in DE_LEVA_1996),
    1e-9,
)
for case, still, expected in [
    ("squat", {"shank": 2, "foot": 2}, 0.878), ("single-leg squat", {"shank": 1, "foot": 1}, 0.939),
    ("calf raise", {"foot": 2}, 0.971),
]:  # fmt: skip
    CHECKS.add(Tag.ARITHMETIC, "Winter 2009 masses", "moved_mass_share_winter", case, expected,
               lambda still=still: moved_mass_share_winter(still), 5e-4)  # fmt: skip
CHECKS.add(Tag.ARITHMETIC, "worked by hand", "leg_raise_hip_torque_nm", "male, bent to straight", 0.771,
           lambda: leg_raise_hip_torque_nm(73, "male", knees_bent=True)
           / leg_raise_hip_torque_nm(73, "male", knees_bent=False), 5e-4)  # fmt: skip


def test_segments_agree_with_the_outside():
    assert CHECKS.wrong() == []


@pytest.mark.parametrize(("segment", "sex"), [("wing", "male"), ("thigh", "other")])
def test_segment_mass_refuses_what_is_not_in_the_table(segment, sex):
    with pytest.raises(ValueError, match=r"got|no segment"):
        segment_mass_share_de_leva(segment, sex)


def test_moved_mass_refuses_three_legs():
    with pytest.raises(ValueError, match="at most two"):
        moved_mass_share({"shank": 3}, "male")


def test_leg_raise_refuses_no_body():
    with pytest.raises(ValueError, match="positive"):
        leg_raise_hip_torque_nm(0, "male", knees_bent=True)
