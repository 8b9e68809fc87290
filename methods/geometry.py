"""Angles in image coordinates, with what a phone can and cannot show."""

from math import atan2, cos, degrees, radians, sqrt

from methods.undefined import Undefined
from methods.units import round_half_up

Point = tuple[float, float]

SMALLEST_CHANGE_DEG = 10  # house rule from the published errors of two-dimensional video: same camera, same set-up


def three_point_angle_deg(a: Point, b: Point, c: Point, *, pixel_aspect: float = 1.0) -> float | Undefined:
    """Give the angle at b between a and c, from image points. [degree]

    Parameters
    ----------
    a, b, c : (x, y)
        Pixels. The direction of y does not matter.
    pixel_aspect : float, > 0
        Width of a pixel over its height; 1 for square pixels.

    Returns
    -------
    float 0 to 180, or Undefined when a or c lies on b.

    Notes
    -----
    atan2 of cross and dot product: stable near 0 and 180 degrees.

    Examples
    --------
    >>> round(three_point_angle_deg((100, 50), (120, 150), (80, 240)), 6)
    144.727579
    """
    if pixel_aspect <= 0:
        raise ValueError(f"pixel_aspect must be positive, got {pixel_aspect}")
    ux, uy = (a[0] - b[0]) * pixel_aspect, a[1] - b[1]
    vx, vy = (c[0] - b[0]) * pixel_aspect, c[1] - b[1]
    if (ux == 0 and uy == 0) or (vx == 0 and vy == 0):
        return Undefined("two of the points are the same")
    return degrees(atan2(abs(ux * vy - uy * vx), ux * vx + uy * vy))


def joint_flexion_deg(angle_deg: float) -> float:
    """Turn the inner angle of a joint into flexion: 0 is straight. [degree]"""
    if not 0 <= angle_deg <= 180:
        raise ValueError(f"an inner angle lies between 0 and 180, got {angle_deg}")
    return 180 - angle_deg


def shown_angle_deg(angle_deg: float) -> int:
    """Round an angle to the whole degrees that are shown; finer would pretend.

    Examples
    --------
    >>> shown_angle_deg(144.727579)
    145
    """
    return round_half_up(angle_deg)


def angle_changed(before_deg: float, now_deg: float) -> bool:
    """Say whether a change may be called one: at least 10 degrees, same camera place."""
    return abs(now_deg - before_deg) >= SMALLEST_CHANGE_DEG


def display_point(point: Point, *, width: float, height: float, rotation_deg: int) -> Point:
    """Turn a point of the stored picture into the picture as it is shown. [pixel]

    Parameters
    ----------
    point : (x, y) in the stored picture, y downwards
    width, height : float, > 0
        Size of the stored picture.
    rotation_deg : 0, 90, 180 or 270
        Clockwise rotation that the player applies.

    Examples
    --------
    >>> display_point((0, 0), width=1920, height=1080, rotation_deg=90)
    (1080, 0)
    """
    x, y = point
    turned = {0: (x, y), 90: (height - y, x), 180: (width - x, height - y), 270: (y, width - x)}
    if rotation_deg not in turned:
        raise ValueError(f"rotation_deg must be 0, 90, 180 or 270, got {rotation_deg}")
    return turned[rotation_deg]


def foreshortening(yaw_deg: float) -> float:
    """Give the share by which a length in the plane looks shorter when the camera is turned away. [fraction]

    Examples
    --------
    >>> round(foreshortening(20), 4)
    0.0603
    """
    if not 0 <= yaw_deg <= 90:
        raise ValueError(f"yaw_deg must lie between 0 and 90, got {yaw_deg}")
    return 1 - cos(radians(yaw_deg))


def seen_angle_deg(a: Point, b: Point, c: Point, *, yaw_deg: float) -> float | Undefined:
    """Give the angle a camera sees when it is turned away from perpendicular. [degree]

    Horizontal lengths shrink with the cosine of the yaw (no perspective).
    """
    if not 0 <= yaw_deg < 90:
        raise ValueError(f"yaw_deg must lie between 0 and 90, got {yaw_deg}")
    return three_point_angle_deg(a, b, c, pixel_aspect=cos(radians(yaw_deg)))


def degrees_per_frame(speed_deg_s: float, frames_per_s: float) -> float:
    """Give how far a joint turns from one frame to the next. [degree]

    Examples
    --------
    >>> degrees_per_frame(150, 30)
    5.0
    """
    if speed_deg_s < 0 or frames_per_s <= 0:
        raise ValueError("speed must not be negative and the frame rate must be positive")
    return speed_deg_s / frames_per_s


def distance_px(a: Point, b: Point, *, pixel_aspect: float = 1.0) -> float:
    """Give the distance between two points, in heights of a pixel."""
    if pixel_aspect <= 0:
        raise ValueError(f"pixel_aspect must be positive, got {pixel_aspect}")
    return sqrt(((a[0] - b[0]) * pixel_aspect) ** 2 + (a[1] - b[1]) ** 2)
