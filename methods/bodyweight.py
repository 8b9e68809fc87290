"""One currency for bodyweight, loaded and assisted work: system load = body mass x share + external - assistance."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from math import radians, sin

from methods.ranges import require_not_negative, require_positive
from methods.segments import Sex, moved_mass_share
from methods.undefined import Undefined


class Basis(StrEnum):
    """How a share of body mass is known."""

    MEASURED = "measured"
    DERIVED = "derived"
    GUESS = "guess"
    CONVENTION = "convention"


@dataclass(frozen=True, slots=True)
class Share:
    """A share of body mass with its source, so that no number travels without its doubt."""

    value: float
    source: str
    basis: Basis
    position: str = ""
    sd: float | None = None  # between people, where it was published

    def __post_init__(self) -> None:
        if not 0 <= self.value <= 1:
            raise ValueError(f"a share of body mass lies between 0 and 1, got {self.value}")
        if not self.source:
            raise ValueError("a share needs its source")


def system_load_kg(
    body_mass_kg: float | None, share: float | None, external_kg: float = 0.0, assistance_kg: float = 0.0
) -> float | Undefined:
    """Give the load that the working muscles face. [kg]

    Parameters
    ----------
    body_mass_kg : float > 0, or None when no dated body mass is known [kg]
    share : float, 0 to 1, or None when the movement is not scored in kg
        Share of body mass that is lifted; 0 for purely external load. [fraction]
    external_kg : float, >= 0
        Added load. [kg]
    assistance_kg : float, >= 0
        Help from a band, a foot or a counterweight. [kg]

    Raises
    ------
    ValueError
        If a mass is not positive, a load is negative, or the share lies outside 0 to 1.

    Notes
    -----
    .. math:: system = body mass \\cdot share + external - assistance

    Adding the plate to the body before any formula follows the weighted pull-up studies [1]_. Without a body mass
    the answer is undefined, never a guess; so it is when the help exceeds the load.

    References
    ----------
    .. [1] D. Johnson et al., "Relationship of lat-pull repetitions and pull-ups to maximal lat-pull and pull-up
       strength in men and women," J Strength Cond Res, vol. 23, no. 3, pp. 1022-1028, 2009.

    Evidence: V (that body and plate are added, in pull-up studies), A (the sum).

    Examples
    --------
    >>> system_load_kg(80, 1.0, external_kg=10)
    90.0
    >>> system_load_kg(None, 0.64).reason
    'no body mass on or before this day'
    """
    if share is not None and not 0 <= share <= 1:
        raise ValueError(f"share must lie between 0 and 1, got {share}")
    require_not_negative(external_kg=external_kg, assistance_kg=assistance_kg)
    if body_mass_kg is not None:
        require_positive(body_mass_kg=body_mass_kg)
    if share is None:
        return Undefined("this movement is not scored in kg")
    if share > 0 and body_mass_kg is None:
        return Undefined("no body mass on or before this day")
    load_kg = (body_mass_kg or 0) * share + external_kg - assistance_kg
    return float(load_kg) if load_kg >= 0 else Undefined("the help is larger than the load")


_EBBEN = "Ebben et al. 2011, J Strength Cond Res 25(10):2891-2894 (secondary report)"
_GOUVALI = "Gouvali & Boudolos 2005, J Strength Cond Res 19(1):146-151"
_MIER = "Mier et al. 2014, Int J Exerc Sci 7(2):161-168"
_SUPRAK = "Suprak et al. 2011, J Strength Cond Res 25(2):497-503 (decimals from memory)"
_GULMEZ = "Gulmez 2017, J Strength Cond Res 31(4):1017-1023"
_MELROSE = "Melrose & Dawes 2015, J Athl Enhanc"
_DE_LEVA = "segment masses of de Leva 1996, J Biomech 29(9):1223-1230"
_PULL_UP_PRACTICE = "convention of Johnson et al. 2009 and Coyne et al. 2015: whole body mass"


def _measured(value: float, source: str, position: str, sd: float | None = None) -> Share:
    return Share(value, source, Basis.MEASURED, position, sd)


PUSH_UP_SHARES: dict[str, Share] = {
    "regular": _measured(0.64, _EBBEN, "peak"),
    "knees": _measured(0.49, _EBBEN, "peak"),
    "regular_start": _measured(0.664, _GOUVALI, "top"),
    "knees_start": _measured(0.529, _GOUVALI, "top"),
    "hands_narrow": _measured(0.65, _GOUVALI, "top"),
    "hands_wide": _measured(0.63, _GOUVALI, "top"),
    "hands_behind": _measured(0.73, _GOUVALI, "top"),
    "hands_ahead": _measured(0.61, _GOUVALI, "top"),
    "regular_top_hold": _measured(0.6916, _SUPRAK, "top"),
    "regular_bottom_hold": _measured(0.7504, _SUPRAK, "bottom"),
    "knees_top_hold": _measured(0.5356, _SUPRAK, "top"),
    "knees_bottom_hold": _measured(0.6180, _SUPRAK, "bottom"),
    "regular_static_top_male": _measured(0.670, _MIER, "top", 0.038),
    "regular_static_top_female": _measured(0.651, _MIER, "top", 0.031),
    "regular_static_bottom_male": _measured(0.746, _MIER, "bottom", 0.036),
    "regular_static_bottom_female": _measured(0.703, _MIER, "bottom", 0.031),
    "knees_static_top_male": _measured(0.525, _MIER, "top", 0.037),
    "knees_static_top_female": _measured(0.515, _MIER, "top", 0.031),
    "knees_static_bottom_male": _measured(0.601, _MIER, "bottom", 0.045),
    "knees_static_bottom_female": _measured(0.566, _MIER, "bottom", 0.027),
    "regular_peak_male": _measured(0.977, _MIER, "peak", 0.081),
    "regular_peak_female": _measured(0.800, _MIER, "peak", 0.039),
    "knees_peak_male": _measured(0.797, _MIER, "peak", 0.074),
    "knees_peak_female": _measured(0.682, _MIER, "peak", 0.030),
    "suspended_horizontal_straight": _measured(0.504, _GULMEZ, "top"),
    "suspended_horizontal_bent": _measured(0.753, _GULMEZ, "bottom"),
}

MAX_PUSH_UP_ELEVATION_M = 0.6096
# The 0.3048 m hands-raised value is from memory; its place between the others was read.
_HANDS_RAISED = ((0.0, 0.64), (0.3048, 0.55), (MAX_PUSH_UP_ELEVATION_M, 0.41))
_FEET_RAISED = ((0.0, 0.64), (0.3048, 0.70), (MAX_PUSH_UP_ELEVATION_M, 0.74))


def _interpolate(points: Sequence[tuple[float, float]], x: float) -> float:
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    raise ValueError(f"{x} lies outside the measured {points[0][0]} to {points[-1][0]}")


def push_up_share(*, hands_elevation_m: float = 0.0, feet_elevation_m: float = 0.0) -> Share:
    """Give the share of body mass on the hands in a push-up with hands or feet raised. [fraction]

    Parameters
    ----------
    hands_elevation_m, feet_elevation_m : float, 0 to 0.6096
        Height of the box under the hands or under the feet, not both. [m]

    Raises
    ------
    ValueError
        If both are raised, or one lies outside the measured 0 to 0.6096 m.

    Notes
    -----
    Straight lines between the three measured heights (0, 0.3048 and 0.6096 m). A rigid plank on a lever predicts a
    constant share when the hands are raised, against the measurement, so it is not used.

    References
    ----------
    .. [1] W. Ebben et al., "Kinetic analysis of several variations of push-ups," J Strength Cond Res, vol. 25,
       no. 10, pp. 2891-2894, 2011.

    Evidence: V2 (secondary report); M for hands at 0.3048 m, whose place between the others was read; A between the
    heights.

    Examples
    --------
    >>> round(push_up_share(hands_elevation_m=0.45).value, 4)
    0.4833
    """
    if hands_elevation_m and feet_elevation_m:
        raise ValueError("raised hands and raised feet together were not measured")
    for name, height_m in (("hands_elevation_m", hands_elevation_m), ("feet_elevation_m", feet_elevation_m)):
        if not 0 <= height_m <= MAX_PUSH_UP_ELEVATION_M:
            raise ValueError(f"{name} was measured from 0 to {MAX_PUSH_UP_ELEVATION_M} m, got {height_m}")
    points, height_m = (_FEET_RAISED, feet_elevation_m) if feet_elevation_m else (_HANDS_RAISED, hands_elevation_m)
    return Share(_interpolate(points, height_m), _EBBEN, Basis.MEASURED, "peak")


_ROW_SD = {30.0: 0.0145, 45.0: 0.0059, 60.0: 0.0195, 75.0: 0.0214}
_ROW_POINTS = ((30.0, 0.3744), (45.0, 0.5288), (60.0, 0.6808), (75.0, 0.7938))


def row_share_from_vertical(angle_deg: float) -> Share:
    """Give the share of body mass on the straps in a row, by lean from the vertical. [fraction]

    Parameters
    ----------
    angle_deg : float, 0 to 75
        Lean of the body from the vertical; arms straight, feet under the anchor. [degree]

    Raises
    ------
    ValueError
        Outside 0 to 75 degrees: beyond 75 nothing was measured.

    Notes
    -----
    Measured at 30, 45, 60 and 75 degrees, with straight lines between; below 30 degrees the sine law through the
    30-degree point, marked derived.

    References
    ----------
    .. [1] D. Melrose and J. Dawes, "Resistance characteristics of a suspension-training system at different angles
       and distances from the hanging point," J Athl Enhanc, 2015.

    Evidence: V at the four angles (SD 0.6 to 2.1 % of body mass), A between and below them.

    Examples
    --------
    >>> row_share_from_vertical(45).value
    0.5288
    """
    if not 0 <= angle_deg <= 75:
        raise ValueError(f"rows were measured up to 75 degrees from the vertical, got {angle_deg}")
    if angle_deg < 30:
        return Share(0.3744 * sin(radians(angle_deg)) / sin(radians(30)), _MELROSE, Basis.DERIVED, "arms straight")
    return Share(
        _interpolate(_ROW_POINTS, angle_deg), _MELROSE, Basis.MEASURED, "arms straight", _ROW_SD.get(angle_deg)
    )


def row_share_from_floor(angle_deg: float) -> Share:
    """Give the same share by the angle of the body above the floor. [fraction]

    Evidence: V and A, as `row_share_from_vertical`.

    Examples
    --------
    >>> row_share_from_floor(45) == row_share_from_vertical(45)
    True
    """
    return row_share_from_vertical(90 - angle_deg)


def _derived(still: dict[str, int], sex: Sex | None) -> Share:
    return Share(moved_mass_share(still, sex), _DE_LEVA, Basis.DERIVED, "moved mass")


def squat_share(sex: Sex | None = None) -> Share:
    """Give the share of body mass moved in a two-leg squat or a sit-to-stand: all but shanks and feet. [fraction]

    Evidence: A on V (segment masses read, the exercise not measured); jump studies use 0.88 (M).

    Examples
    --------
    >>> round(squat_share("female").value, 3)
    0.878
    """
    return _derived({"shank": 2, "foot": 2}, sex)


def single_leg_squat_share(sex: Sex | None = None) -> Share:
    """Give the share moved in a single-leg squat: all but the stance shank and foot. [fraction]

    Evidence: A on V (segment masses).

    Examples
    --------
    >>> round(single_leg_squat_share("male").value, 3)
    0.943
    """
    return _derived({"shank": 1, "foot": 1}, sex)


def calf_raise_share(sex: Sex | None = None) -> Share:
    """Give the share moved in a two-leg calf raise: all but the feet. [fraction]

    Evidence: A on V (segment masses).

    Examples
    --------
    >>> round(calf_raise_share("female").value, 3)
    0.974
    """
    return _derived({"foot": 2}, sex)


def pull_up_raised_share(sex: Sex | None = None) -> Share:
    """Give the share really raised in a pull-up, dip or handstand push-up: all but forearms and hands. [fraction]

    Notes
    -----
    By convention pull-ups and dips are counted with the whole body mass (`PULL_UP_SHARE`), as in the studies that
    estimate their one-rep max; keep one of the two, never both.

    Evidence: A on V (segment masses).

    Examples
    --------
    >>> round(pull_up_raised_share("male").value, 4)
    0.9554
    """
    return _derived({"forearm": 2, "hand": 2}, sex)


def comparable_steps(a: Share, b: Share) -> bool:
    """Say whether the system loads of two steps of a line may be joined into one trend.

    Only shares measured by the same study, or derived from the same masses: between studies the same push-up differs by
    several per cent, which would look like progress. Guesses are never comparable.

    Evidence: T (house rule).

    Examples
    --------
    >>> comparable_steps(push_up_share(hands_elevation_m=0.3), push_up_share())
    True
    """
    return a.basis is b.basis and a.basis is not Basis.GUESS and a.source == b.source


PULL_UP_SHARE = Share(1.0, _PULL_UP_PRACTICE, Basis.CONVENTION, "whole body")
DIP_SHARE = PULL_UP_SHARE
HANG_SHARE = Share(1.0, "statics: the whole body hangs from the hands", Basis.DERIVED, "whole body")
SPLIT_SQUAT_FRONT_LEG_SHARE = Share(
    0.75 * 0.882, "front leg about three quarters of the moved mass: coaches' figure, not measured", Basis.GUESS
)


def plank_lever_share(centre_from_pivot_m: float, hands_from_pivot_m: float) -> Share:
    """Give the share on the hands of a rigid body pivoting at the feet, on flat ground only. [fraction]

    Parameters
    ----------
    centre_from_pivot_m, hands_from_pivot_m : float, > 0
        Horizontal distances of the centre of mass and of the hands from the pivot. [m]

    Notes
    -----
    .. math:: share = d_{centre} / d_{hands}

    Evidence: A (statics); close to the measured 0.66 to 0.69 on flat ground (V).

    Examples
    --------
    >>> round(plank_lever_share(0.56, 0.82).value, 3)
    0.683
    """
    require_positive(hands_from_pivot_m=hands_from_pivot_m)
    if not 0 < centre_from_pivot_m <= hands_from_pivot_m:
        raise ValueError("the centre of mass must lie between the pivot and the hands")
    return Share(centre_from_pivot_m / hands_from_pivot_m, "statics of a rigid lever", Basis.DERIVED, "static")


@dataclass(frozen=True, slots=True)
class BandLine:
    """A band's measured line: tension = intercept + slope x elongation."""

    intercept_kg: float
    slope_kg_per_percent: float
    lowest_percent: float
    highest_percent: float


def band_line(first: tuple[float, float], second: tuple[float, float]) -> BandLine:
    """Fit a band's line through two readings of a hanging scale. [kg, kg per % elongation]

    Parameters
    ----------
    first, second : (elongation in %, tension in kg)
        Elongation is (length - rest length) / rest length x 100.

    Notes
    -----
    Tension grows linearly with elongation but not through zero [1]_; printed tables were too high for most grades
    [2]_, so every band is calibrated by its owner.

    References
    ----------
    .. [1] G. Santos et al., "Mechanical evaluation of the resistance of elastic bands," Rev Bras Fisioter, 13(6), 2009.
    .. [2] M. Uchida et al., J Phys Ther Sci, vol. 28, 2016.

    Evidence: V (linear, not through zero; printed tables too high), V2 (one printed grade).

    Examples
    --------
    >>> round(band_tension_kg(band_line((100, 4.6), (200, 6.7)), 150), 2)
    5.65
    """
    (low, low_kg), (high, high_kg) = sorted((first, second))
    require_not_negative(elongation=low, tension=low_kg, higher_elongation=high, higher_tension=high_kg)
    if high == low:
        raise ValueError("two different elongations are needed")
    if high_kg <= low_kg:
        raise ValueError("a longer band must pull harder: read the scale again")
    slope = (high_kg - low_kg) / (high - low)
    return BandLine(low_kg - slope * low, slope, low, high)


def band_tension_kg(band: BandLine, elongation_percent: float) -> float:
    """Read a calibrated band at an elongation inside the calibrated range. [kg]

    Evidence: A (the line through the two readings).

    Examples
    --------
    >>> round(band_tension_kg(band_line((100, 2.1), (200, 3.0)), 125), 3)
    2.325
    """
    if not band.lowest_percent <= elongation_percent <= band.highest_percent:
        raise ValueError(
            f"calibrated from {band.lowest_percent} to {band.highest_percent} % elongation, got {elongation_percent}"
        )
    return band.intercept_kg + band.slope_kg_per_percent * elongation_percent


def band_assistance_kg(help_at_bottom_kg: float, help_at_top_kg: float) -> float:
    """Score the help of a band over a repetition as the mean of its two ends. [kg] (common practice)

    Evidence: T (common practice).

    Examples
    --------
    >>> band_assistance_kg(25, 5)
    15.0
    """
    require_not_negative(help_at_bottom_kg=help_at_bottom_kg, help_at_top_kg=help_at_top_kg)
    return (help_at_bottom_kg + help_at_top_kg) / 2
