import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods.bodyweight import (
    HANG_SHARE,
    PULL_UP_SHARE,
    PUSH_UP_SHARES,
    SPLIT_SQUAT_FRONT_LEG_SHARE,
    Basis,
    Share,
    band_assistance_kg,
    band_line,
    band_tension_kg,
    calf_raise_share,
    comparable_steps,
    plank_lever_share,
    pull_up_raised_share,
    push_up_share,
    row_share_from_floor,
    row_share_from_vertical,
    single_leg_squat_share,
    squat_share,
    system_load_kg,
)
from methods.undefined import Undefined
from tests.methods.registry import Checks, Tag

CHECKS = Checks("bodyweight")

EBBEN = "Ebben et al. 2011, J Strength Cond Res 25(10):2891"
for case, expected, got in [
    ("regular", 0.64, lambda: push_up_share().value),
    ("knees", 0.49, lambda: PUSH_UP_SHARES["knees"].value),
    ("hands on 60.96 cm", 0.41, lambda: push_up_share(hands_elevation_m=0.6096).value),
    ("feet on 30.48 cm", 0.70, lambda: push_up_share(feet_elevation_m=0.3048).value),
    ("feet on 60.96 cm", 0.74, lambda: push_up_share(feet_elevation_m=0.6096).value),
    ("hands on 30.48 cm between knees and regular", True,
     lambda: PUSH_UP_SHARES["knees"].value < push_up_share(hands_elevation_m=0.3048).value < push_up_share().value),
]:  # fmt: skip
    CHECKS.add(Tag.SECONDARY, EBBEN, "push_up_share", case, expected, got, 1e-9 if expected is not True else 0)

GOUVALI = "Gouvali & Boudolos 2005, J Strength Cond Res 19(1):146"
for name, expected, tag in [
    ("regular_start", 0.664, Tag.READ), ("knees_start", 0.529, Tag.READ), ("hands_narrow", 0.65, Tag.SECONDARY),
    ("hands_wide", 0.63, Tag.SECONDARY), ("hands_behind", 0.73, Tag.SECONDARY), ("hands_ahead", 0.61, Tag.SECONDARY),
]:  # fmt: skip
    CHECKS.add(tag, GOUVALI, "PUSH_UP_SHARES", name, expected, lambda name=name: PUSH_UP_SHARES[name].value)

MIER = "Mier et al. 2014, Int J Exerc Sci 7(2):161"
for name, expected in [
    ("regular_static_top_male", 0.670), ("regular_static_top_female", 0.651), ("regular_static_bottom_male", 0.746),
    ("regular_static_bottom_female", 0.703), ("knees_static_top_male", 0.525), ("knees_static_top_female", 0.515),
    ("knees_static_bottom_male", 0.601), ("knees_static_bottom_female", 0.566),
]:  # fmt: skip
    CHECKS.add(Tag.READ, MIER, "PUSH_UP_SHARES", name, expected, lambda name=name: PUSH_UP_SHARES[name].value)

SUPRAK = "Suprak et al. 2011, J Strength Cond Res 25(2):497"
for name, expected in [
    ("regular_top_hold", 69), ("regular_bottom_hold", 75), ("knees_top_hold", 54), ("knees_bottom_hold", 62),
]:  # fmt: skip
    CHECKS.add(Tag.SECONDARY, SUPRAK, "PUSH_UP_SHARES", f"{name}, rounded %", expected,
               lambda name=name: round(100 * PUSH_UP_SHARES[name].value))  # fmt: skip

GULMEZ = "Gulmez 2017, J Strength Cond Res 31(4):1017"
for name, expected in [("suspended_horizontal_straight", 0.504), ("suspended_horizontal_bent", 0.753)]:
    CHECKS.add(Tag.READ, GULMEZ, "PUSH_UP_SHARES", name, expected, lambda name=name: PUSH_UP_SHARES[name].value)

MELROSE = "Melrose & Dawes 2015, J Athl Enhanc"
for angle, expected in [(30, 0.3744), (45, 0.5288), (60, 0.6808), (75, 0.7938)]:
    CHECKS.add(Tag.READ, MELROSE, "row_share_from_vertical", f"{angle} degrees", expected,
               lambda angle=angle: row_share_from_vertical(angle).value, 1e-9)  # fmt: skip

A = Tag.ARITHMETIC
CHECKS.add(A, "worked by hand", "push_up_share", "hands 0.45 m", 0.48331,
           lambda: push_up_share(hands_elevation_m=0.45).value, 1e-5)  # fmt: skip
CHECKS.add(A, "worked by hand", "push_up_share", "hands 0.20 m", 0.58094,
           lambda: push_up_share(hands_elevation_m=0.20).value, 1e-5)  # fmt: skip
CHECKS.add(A, "worked by hand", "push_up_share", "feet 0.45 m", 0.71906,
           lambda: push_up_share(feet_elevation_m=0.45).value, 1e-5)  # fmt: skip
CHECKS.add(A, "worked by hand", "row_share_from_vertical", "50 degrees", 0.57947,
           lambda: row_share_from_vertical(50).value, 1e-5)  # fmt: skip
CHECKS.add(A, "worked by hand", "row_share_from_vertical", "20 degrees, sine law", 0.2561,
           lambda: row_share_from_vertical(20).value, 1e-4)  # fmt: skip
CHECKS.add(A, "segment masses", "squat_share", "male", 0.886, lambda: squat_share("male").value, 1e-9)
CHECKS.add(A, "segment masses", "squat_share", "female", 0.878, lambda: squat_share("female").value, 1e-9)
CHECKS.add(
    A, "segment masses", "single_leg_squat_share", "male", 0.943, lambda: single_leg_squat_share("male").value, 1e-9
)
CHECKS.add(A, "segment masses", "calf_raise_share", "female", 0.9742, lambda: calf_raise_share("female").value, 1e-9)
CHECKS.add(
    A, "segment masses", "pull_up_raised_share", "male", 0.9554, lambda: pull_up_raised_share("male").value, 1e-9
)
CHECKS.add(
    A, "segment masses", "pull_up_raised_share", "female", 0.9612, lambda: pull_up_raised_share("female").value, 1e-9
)
CHECKS.add(A, "body 80 kg, regular push-up", "system_load_kg", "80 kg", 51.2, lambda: system_load_kg(80, 0.64), 1e-9)
CHECKS.add(A, "body 70 kg, row at 45 degrees", "system_load_kg", "70 kg", 37.016,
           lambda: system_load_kg(70, row_share_from_vertical(45).value), 1e-9)  # fmt: skip
CHECKS.add(
    A, "statics", "plank_lever_share", "0.56 of 0.82 m", 0.6829, lambda: plank_lever_share(0.56, 0.82).value, 1e-4
)
CHECKS.add(
    Tag.PRACTICE, "mean of both ends", "band_assistance_kg", "25 to 5 kg", 15.0, lambda: band_assistance_kg(25, 5)
)
CHECKS.add(A, "a printed grade: 4.6 lb at 100 %, 6.7 lb at 200 %", "band_tension_kg", "150 %", 5.65,
           lambda: band_tension_kg(band_line((100, 4.6), (200, 6.7)), 150), 1e-9)  # fmt: skip
for case, body, share, expected in [
    ("Gouvali's start, 70 kg", 70, PUSH_UP_SHARES["regular_start"], 46.48),
    ("Gouvali's knees, 70 kg", 70, PUSH_UP_SHARES["knees_start"], 37.03),
    ("Mier's bottom, woman of 60 kg", 60, PUSH_UP_SHARES["regular_static_bottom_female"], 42.18),
    ("Gulmez' bent, 78.8 kg", 78.8, PUSH_UP_SHARES["suspended_horizontal_bent"], 59.34),
]:
    CHECKS.add(A, "measured share x body mass", "system_load_kg", case, expected,
               lambda body=body, share=share: system_load_kg(body, share.value), 0.005)  # fmt: skip
CHECKS.add(A, "worked by hand", "row_share_from_vertical", "40 degrees", 0.47733,
           lambda: row_share_from_vertical(40).value, 1e-5)  # fmt: skip
CHECKS.add(A, "segment masses", "single_leg_squat_share", "over one leg's share of two", 2.13,
           lambda: single_leg_squat_share("male").value / (squat_share("male").value / 2), 0.005)  # fmt: skip
CHECKS.add(A, "segment masses", "single_leg_squat_share", "female", 0.939,
           lambda: single_leg_squat_share("female").value, 1e-9)  # fmt: skip
CHECKS.add(A, "segment masses", "calf_raise_share", "male", 0.9726, lambda: calf_raise_share("male").value, 1e-9)
CHECKS.add(Tag.MEMORY, "Cormie, McBride 2007: system load 0.88 of body mass", "squat_share", "both sexes", 0.88,
           lambda: squat_share().value, 0.005)  # fmt: skip
CHECKS.add(A, "body 80 kg, band 25 to 5 kg of help", "system_load_kg", "pull-up", 65.0,
           lambda: system_load_kg(80, 1.0, assistance_kg=band_assistance_kg(25, 5)))  # fmt: skip
MELROSE_SD = [(30, 0.0145), (45, 0.0059), (60, 0.0195), (75, 0.0214)]
CHECKS.add(
    Tag.READ,
    MELROSE,
    "row_share_from_vertical",
    "SD between people at the four angles",
    tuple(sd for _, sd in MELROSE_SD),
    lambda: tuple(row_share_from_vertical(a).sd for a, _ in MELROSE_SD),
)


def test_bodyweight_agrees_with_the_outside():
    assert CHECKS.wrong() == []


def test_the_lever_stays_inside_the_measured_start_positions():
    assert 0.66 < plank_lever_share(0.56, 0.82).value < 0.70


def test_system_load_adds_and_subtracts():
    assert system_load_kg(80, 1.0, external_kg=10, assistance_kg=25) == 65


def test_external_load_needs_no_body_mass():
    assert system_load_kg(None, 0, external_kg=24) == 24


def test_share_without_body_mass_is_undefined():
    assert system_load_kg(None, 0.64) == Undefined("no body mass on or before this day")


def test_unscored_movement_is_undefined():
    assert system_load_kg(80, None) == Undefined("this movement is not scored in kg")


def test_more_help_than_load_is_undefined():
    assert isinstance(system_load_kg(60, 0.5, assistance_kg=40), Undefined)


@pytest.mark.parametrize("arguments", [(0, 0.5), (-1, 0.5), (80, -0.1), (80, 1.01), (80, 1, -1), (80, 1, 0, -1)])
def test_system_load_refuses_impossible_arguments(arguments):
    with pytest.raises(ValueError, match="must"):
        system_load_kg(*arguments)


@given(st.floats(30, 200), st.floats(0, 1), st.floats(0, 100), st.floats(0, 30))
def test_more_external_load_never_lowers_the_system_load(body, share, external, more):
    assert system_load_kg(body, share, external + more) >= system_load_kg(body, share, external)


@pytest.mark.parametrize("height", [-0.01, 0.61, 1.0])
@pytest.mark.parametrize("end", ["hands_elevation_m", "feet_elevation_m"])
def test_push_up_share_refuses_heights_nobody_measured(end, height):
    with pytest.raises(ValueError, match="measured"):
        push_up_share(**{end: height})


def test_push_up_share_refuses_both_ends_raised():
    with pytest.raises(ValueError, match="together"):
        push_up_share(hands_elevation_m=0.3, feet_elevation_m=0.3)


@given(st.floats(0, 0.6096), st.floats(0, 0.6096))
def test_higher_hands_are_never_harder(low, high):
    low, high = sorted((low, high))
    assert push_up_share(hands_elevation_m=high).value <= push_up_share(hands_elevation_m=low).value


@pytest.mark.parametrize("angle", [-1, 75.1, 90])
def test_row_share_refuses_angles_nobody_measured(angle):
    with pytest.raises(ValueError, match="75 degrees"):
        row_share_from_vertical(angle)


@given(st.floats(0, 75), st.floats(0, 75))
def test_leaning_further_back_is_never_easier(a, b):
    a, b = sorted((a, b))
    assert row_share_from_vertical(a).value <= row_share_from_vertical(b).value + 1e-12


def test_row_share_counts_from_the_floor_too():
    assert row_share_from_floor(30) == row_share_from_vertical(60)


def test_row_share_below_thirty_degrees_is_marked_derived():
    assert row_share_from_vertical(20).basis is Basis.DERIVED


def test_row_share_from_thirty_degrees_is_marked_measured():
    assert row_share_from_vertical(30).basis is Basis.MEASURED


def test_squat_share_without_a_sex_is_the_mean_of_both():
    assert squat_share().value == pytest.approx(0.882)


@pytest.mark.parametrize(
    ("share", "basis"),
    [(PULL_UP_SHARE, Basis.CONVENTION), (HANG_SHARE, Basis.DERIVED), (SPLIT_SQUAT_FRONT_LEG_SHARE, Basis.GUESS)],
)
def test_share_says_how_it_is_known(share, basis):
    assert share.basis is basis


@pytest.mark.parametrize(
    ("a", "b", "comparable"),
    [
        (push_up_share(hands_elevation_m=0.3), push_up_share(feet_elevation_m=0.3), True),
        (PUSH_UP_SHARES["regular"], PUSH_UP_SHARES["regular_start"], False),
        (row_share_from_vertical(20), row_share_from_vertical(60), False),
        (SPLIT_SQUAT_FRONT_LEG_SHARE, SPLIT_SQUAT_FRONT_LEG_SHARE, False),
    ],
)
def test_steps_join_a_trend_only_when_measured_alike(a, b, comparable):
    assert comparable_steps(a, b) == comparable


def test_every_push_up_share_names_its_source():
    assert all(share.source for share in PUSH_UP_SHARES.values())


@pytest.mark.parametrize(("value", "source"), [(1.1, "x"), (-0.1, "x"), (0.5, "")])
def test_share_refuses_nonsense(value, source):
    with pytest.raises(ValueError, match="share"):
        Share(value, source, Basis.GUESS)


@pytest.mark.parametrize(
    ("first", "second", "reason"),
    [
        ((100, 5), (100, 6), "two different"),
        ((100, 5), (200, 4), "harder"),
        ((-1, 5), (200, 6), "negative"),
        ((100, -5), (200, 6), "negative"),
    ],
)
def test_band_line_refuses_readings_that_cannot_be(first, second, reason):
    with pytest.raises(ValueError, match=reason):
        band_line(first, second)


def test_band_line_does_not_care_about_the_order_of_readings():
    assert band_line((200, 6.7), (100, 4.6)) == band_line((100, 4.6), (200, 6.7))


@pytest.mark.parametrize("elongation", [99, 201])
def test_band_tension_refuses_what_was_not_calibrated(elongation):
    with pytest.raises(ValueError, match="calibrated"):
        band_tension_kg(band_line((100, 4.6), (200, 6.7)), elongation)


def test_band_assistance_refuses_negative_help():
    with pytest.raises(ValueError, match="negative"):
        band_assistance_kg(-1, 5)


def test_plank_lever_refuses_a_centre_beyond_the_hands():
    with pytest.raises(ValueError, match="between"):
        plank_lever_share(0.9, 0.8)
