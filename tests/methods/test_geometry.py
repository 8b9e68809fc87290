from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methods import geometry
from methods.undefined import Undefined
from tests.methods.registry import Checks, Tag

CHECKS = Checks("geometry")
A, HAND = Tag.ARITHMETIC, "worked by hand"
for points, expected in [
    (((0, 1), (0, 0), (1, 0)), 90), (((0, 1), (0, 0), (0, -1)), 180), (((0, 1), (0, 0), (1, 1)), 45),
    (((3, 0), (0, 0), (1, 3**0.5)), 60), (((100, 50), (120, 150), (80, 240)), 144.727579),
]:  # fmt: skip
    CHECKS.add(A, HAND, "three_point_angle_deg", str(points), expected,
               lambda p=points: geometry.three_point_angle_deg(*p), 1e-6)  # fmt: skip
for yaw, expected in [(5, 0.0038), (10, 0.0152), (15, 0.0341), (20, 0.0603), (30, 0.1340)]:
    CHECKS.add(A, HAND, "foreshortening", f"{yaw} degrees", expected, lambda y=yaw: geometry.foreshortening(y), 5e-5)
for fps, expected in [(24, 6.25), (30, 5.0), (60, 2.5), (120, 1.25)]:
    CHECKS.add(A, HAND, "degrees_per_frame", f"150 degrees/s at {fps}", expected,
               lambda f=fps: geometry.degrees_per_frame(150, f))  # fmt: skip


# Hip, knee, ankle at the bottom of a squat: thigh 20 degrees above the horizontal, shank leaning forward.
SQUAT = tuple((cos(radians(d)), sin(radians(d))) for d in (160, 255.96))
for yaw, expected in [(0, 95.96), (10, 96.45), (20, 97.95), (30, 100.58), (45, 107.21)]:
    CHECKS.add(A, HAND, "seen_angle_deg", f"camera {yaw} degrees off", expected,
               lambda y=yaw: geometry.seen_angle_deg(SQUAT[0], (0, 0), SQUAT[1], yaw_deg=y), 0.01)  # fmt: skip


def test_geometry_agrees_with_the_outside():
    assert CHECKS.wrong() == []


pixels = st.tuples(st.integers(0, 2000), st.integers(0, 2000))


@given(pixels, pixels, pixels, st.sampled_from([0, 90, 180, 270]))
def test_turning_the_picture_keeps_the_angle(a, b, c, rotation):
    turned = [geometry.display_point(p, width=2000, height=1500, rotation_deg=rotation) for p in (a, b, c)]

    before, after = geometry.three_point_angle_deg(a, b, c), geometry.three_point_angle_deg(*turned)
    assert (isinstance(before, Undefined) and isinstance(after, Undefined)) or before == pytest.approx(after, abs=1e-9)


@given(st.floats(1, 179), st.floats(0, 360), st.floats(1, 500))
def test_a_drawn_angle_is_read_back(angle, tilt, length):
    a = (length * cos(radians(tilt)), length * sin(radians(tilt)))
    c = (cos(radians(tilt + angle)), sin(radians(tilt + angle)))

    assert geometry.three_point_angle_deg(a, (0, 0), c) == pytest.approx(angle, abs=1e-6)


def test_wide_pixels_are_corrected():
    assert geometry.three_point_angle_deg((1, 0), (0, 0), (1, 2), pixel_aspect=2) == pytest.approx(45)


@pytest.mark.parametrize("points", [((1, 1), (1, 1), (2, 2)), ((1, 1), (2, 2), (2, 2))])
def test_an_angle_needs_three_places(points):
    assert isinstance(geometry.three_point_angle_deg(*points), Undefined)


@pytest.mark.parametrize(("before", "now", "changed"), [(90, 99.9, False), (90, 100, True), (100, 90, True)])
def test_only_ten_degrees_are_a_change(before, now, changed):
    assert geometry.angle_changed(before, now) == changed


def test_flexion_is_what_the_angle_lacks_to_straight():
    assert geometry.joint_flexion_deg(95) == 85


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: geometry.three_point_angle_deg((0, 1), (0, 0), (1, 0), pixel_aspect=0), "positive"),
        (lambda: geometry.joint_flexion_deg(181), "between 0 and 180"),
        (lambda: geometry.display_point((0, 0), width=1, height=1, rotation_deg=45), "0, 90, 180"),
        (lambda: geometry.foreshortening(91), "between 0 and 90"),
        (lambda: geometry.seen_angle_deg((0, 1), (0, 0), (1, 0), yaw_deg=90), "between 0 and 90"),
        (lambda: geometry.degrees_per_frame(1, 0), "positive"),
        (lambda: geometry.distance_px((0, 0), (1, 1), pixel_aspect=0), "positive"),
    ],
)
def test_geometry_refuses_impossible_arguments(call, reason):
    with pytest.raises(ValueError, match=reason):
        call()


def test_distance_counts_wide_pixels():
    assert geometry.distance_px((0, 0), (3, 4), pixel_aspect=1) == 5
