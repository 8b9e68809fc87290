"""Angles in image coordinates, with what a phone can and cannot show."""

from math import atan2, cos, degrees, radians, sqrt

from methods.ranges import require_between, require_finite, require_not_negative, require_positive
from methods.undefined import Undefined
from methods.units import round_half_up

Point = tuple[float, float]


def _require_points(*points: Point) -> None:
    for x, y in points:
        require_finite(x=x, y=y)


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

    Evidence: A (geometry).

    Examples
    --------
    >>> round(three_point_angle_deg((100, 50), (120, 150), (80, 240)), 6)
    144.727579
    """
    require_positive(pixel_aspect=pixel_aspect)
    _require_points(a, b, c)
    ux, uy = (a[0] - b[0]) * pixel_aspect, a[1] - b[1]
    vx, vy = (c[0] - b[0]) * pixel_aspect, c[1] - b[1]
    if (ux == 0 and uy == 0) or (vx == 0 and vy == 0):
        return Undefined("two of the points are the same")
    return degrees(atan2(abs(ux * vy - uy * vx), ux * vx + uy * vy))


def joint_flexion_deg(angle_deg: float) -> float:
    """Turn the inner angle of a joint into flexion: 0 is straight. [degree]

    Evidence: A (geometry).

    Examples
    --------
    >>> joint_flexion_deg(150)
    30
    """
    if not 0 <= angle_deg <= 180:
        raise ValueError(f"an inner angle lies between 0 and 180, got {angle_deg}")
    return 180 - angle_deg


def shown_angle_deg(angle_deg: float) -> int:
    """Round an angle to the whole degrees that are shown; finer would pretend.

    Evidence: T (house rule, from errors of 3 to 10 degrees).

    Examples
    --------
    >>> shown_angle_deg(144.727579)
    145
    """
    return round_half_up(angle_deg)


def angle_changed(before_deg: float, now_deg: float) -> bool:
    """Say whether a change may be called one: at least 10 degrees, same camera place.

    Evidence: T (house rule, from a published SEM of 3.4 degrees, so 9.5 at 95 %).

    Examples
    --------
    >>> angle_changed(92, 101), angle_changed(92, 102)
    (False, True)
    """
    require_between(0, 180, before_deg=before_deg, now_deg=now_deg)
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

    Evidence: A (geometry).

    Examples
    --------
    >>> display_point((0, 0), width=1920, height=1080, rotation_deg=90)
    (1080, 0)
    """
    require_positive(width=width, height=height)
    _require_points(point)
    x, y = point
    turned = {0: (x, y), 90: (height - y, x), 180: (width - x, height - y), 270: (y, width - x)}
    if rotation_deg not in turned:
        raise ValueError(f"rotation_deg must be 0, 90, 180 or 270, got {rotation_deg}")
    return turned[rotation_deg]


def foreshortening(yaw_deg: float) -> float:
    """Give the share by which a length in the plane looks shorter when the camera is turned away. [fraction]

    Evidence: A (geometry).

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

    Evidence: A (geometry).

    Examples
    --------
    >>> round(seen_angle_deg((0, 1), (0, 0), (1, 1), yaw_deg=60), 1)
    26.6
    """
    if not 0 <= yaw_deg < 90:
        raise ValueError(f"yaw_deg must lie between 0 and 90, got {yaw_deg}")
    return three_point_angle_deg(a, b, c, pixel_aspect=cos(radians(yaw_deg)))


def degrees_per_frame(speed_deg_s: float, frames_per_s: float) -> float:
    """Give how far a joint turns from one frame to the next. [degree]

    Evidence: A (arithmetic).

    Examples
    --------
    >>> degrees_per_frame(150, 30)
    5.0
    """
    require_not_negative(speed_deg_s=speed_deg_s)
    require_positive(frames_per_s=frames_per_s)
    return speed_deg_s / frames_per_s


def distance_px(a: Point, b: Point, *, pixel_aspect: float = 1.0) -> float:
    """Give the distance between two points, in heights of a pixel. [heights of a pixel]

    Evidence: A (geometry).

    Examples
    --------
    >>> distance_px((0, 0), (3, 4))
    5.0
    """
    require_positive(pixel_aspect=pixel_aspect)
    _require_points(a, b)
    return sqrt(((a[0] - b[0]) * pixel_aspect) ** 2 + (a[1] - b[1]) ** 2)
