"""Body segment masses, and the shares of body mass that statics derives from them where nobody measured."""

from dataclasses import dataclass
from typing import Literal

from methods.ranges import require_positive
from methods.units import STANDARD_GRAVITY_M_S2

Sex = Literal["male", "female"]


@dataclass(frozen=True, slots=True)
class Segment:
    """One body segment (limbs: one side)."""

    mass_share: float
    centre_share: float  # distance of the centre of mass from the upper end, as a share of the length
    length_m: float  # in the reference sample; from memory except where REFERENCES.md says otherwise


def _segments(**rows: tuple[float, float, float]) -> dict[str, Segment]:
    return {
        name: Segment(mass / 100, centre / 100, length_mm / 1000) for name, (mass, centre, length_mm) in rows.items()
    }


# de Leva 1996: mass % of body mass, centre of mass % of length, length in mm; the trunk, and its three parts.
DE_LEVA_1996: dict[str, dict[str, Segment]] = {
    "male": _segments(
        head=(6.94, 59.76, 203.3),
        trunk=(43.46, 44.86, 531.9),
        upper_trunk=(15.96, 29.99, 170.7),
        middle_trunk=(16.33, 45.02, 215.5),
        lower_trunk=(11.17, 61.15, 145.7),
        upper_arm=(2.71, 57.72, 281.7),
        forearm=(1.62, 45.74, 268.9),
        hand=(0.61, 79.00, 86.2),
        thigh=(14.16, 40.95, 422.2),
        shank=(4.33, 43.95, 440.3),
        foot=(1.37, 44.15, 258.1),
    ),
    "female": _segments(
        head=(6.68, 58.94, 200.2),
        trunk=(42.57, 41.51, 529.3),
        upper_trunk=(15.45, 20.77, 142.5),
        middle_trunk=(14.65, 45.12, 205.3),
        lower_trunk=(12.47, 49.20, 181.5),
        upper_arm=(2.55, 57.54, 275.1),
        forearm=(1.38, 45.59, 264.3),
        hand=(0.56, 74.74, 78.0),
        thigh=(14.78, 36.12, 368.5),
        shank=(4.81, 43.52, 438.6),
        foot=(1.29, 40.14, 228.3),
    ),
}

# Winter 2009 after Dempster; both sexes. Never mix with de Leva: the thigh is cut elsewhere.
WINTER_2009_MASS_SHARE = {
    "hand": 0.006,
    "forearm": 0.016,
    "upper_arm": 0.028,
    "total_arm": 0.050,
    "foot": 0.0145,
    "shank": 0.0465,
    "thigh": 0.100,
    "total_leg": 0.161,
    "trunk": 0.497,
    "head_arms_trunk": 0.678,
}
# Centre of mass from the upper end, as a share of the length.
WINTER_2009_CENTRE_SHARE = {
    "forearm": 0.430,
    "upper_arm": 0.436,
    "shank": 0.433,
    "thigh": 0.433,
    "total_leg": 0.447,
    "total_arm": 0.530,
}

PARTS_OF_THE_TRUNK = ("upper_trunk", "middle_trunk", "lower_trunk")
LIMB_SEGMENTS = ("upper_arm", "forearm", "hand", "thigh", "shank", "foot")


def segment_mass_share_de_leva(segment: str, sex: Sex) -> float:
    """Give the mass of one segment (limbs: one side) as a share of body mass. [fraction]

    References
    ----------
    .. [1] P. de Leva, "Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters," J Biomech, vol. 29,
       no. 9, pp. 1223-1230, 1996. doi:10.1016/0021-9290(95)00178-6

    Evidence: V (data files of a teaching repository).

    Examples
    --------
    >>> round(segment_mass_share_de_leva("thigh", "male"), 4)
    0.1416
    """
    if sex not in DE_LEVA_1996:
        raise ValueError(f"sex must be 'male' or 'female' (the two samples measured), got {sex!r}")
    if segment not in DE_LEVA_1996[sex]:
        raise ValueError(f"no segment {segment!r}; there are {', '.join(DE_LEVA_1996[sex])}")
    return DE_LEVA_1996[sex][segment].mass_share


def moved_mass_share(still: dict[str, int], sex: Sex | None = None) -> float:
    """Give the share of body mass that moves when some segments stay put. [fraction]

    Parameters
    ----------
    still : dict of segment name to how many of them stay put (0 to 2)
    sex : "male", "female" or None
        None gives the mean of the two samples, for a client who was never asked.

    Notes
    -----
    Arithmetic on measured segment masses: derived, not measured on the exercise.

    References
    ----------
    .. [1] P. de Leva, 1996. doi:10.1016/0021-9290(95)00178-6

    Evidence: A on V.

    Examples
    --------
    A two-leg squat leaves both shanks and feet where they are:

    >>> round(moved_mass_share({"shank": 2, "foot": 2}, "male"), 3)
    0.886
    """
    if sex is None:
        return (moved_mass_share(still, "male") + moved_mass_share(still, "female")) / 2
    if any(not 0 <= count <= 2 for count in still.values()):
        raise ValueError(f"a body has at most two of each segment, got {still}")
    return 1 - sum(segment_mass_share_de_leva(name, sex) * count for name, count in still.items())


def moved_mass_share_winter(still: dict[str, int]) -> float:
    """Give the same share from Winter's table, for comparison: never mix the two tables in one sum. [fraction]

    Parameters
    ----------
    still : dict of segment name to how many of them stay put (0 to 2)

    References
    ----------
    .. [1] D. Winter, Biomechanics and Motor Control of Human Movement, 4th ed., Wiley, 2009, after Dempster.

    Evidence: V (the masses), A (the share).

    Examples
    --------
    >>> round(moved_mass_share_winter({"shank": 2, "foot": 2}), 3)
    0.878
    """
    unknown = sorted(set(still) - set(WINTER_2009_MASS_SHARE))
    if unknown:
        raise ValueError(f"no segment {unknown[0]!r}; there are {', '.join(WINTER_2009_MASS_SHARE)}")
    if any(not 0 <= count <= 2 for count in still.values()):
        raise ValueError(f"a body has at most two of each segment, got {still}")
    return 1 - sum(WINTER_2009_MASS_SHARE[name] * count for name, count in still.items())


def leg_raise_hip_torque_nm(
    body_mass_kg: float, sex: Sex, *, knees_bent: bool, gravity_m_s2: float = STANDARD_GRAVITY_M_S2
) -> float:
    """Estimate the hip torque of a hanging leg raise with the thighs horizontal. [N·m]

    Parameters
    ----------
    body_mass_kg : float, > 0 [kg]
    sex : "male" or "female"
    knees_bent : bool
        True: the shanks hang straight down. False: straight legs.
    gravity_m_s2 : float [m/s2]

    Notes
    -----
    Both legs, foot mass placed at the ankle, segment lengths of the reference sample (not of this person), so only
    the ratio between the two forms is worth much for one client.

    References
    ----------
    .. [1] P. de Leva, 1996. doi:10.1016/0021-9290(95)00178-6 (lengths from memory)

    Evidence: A on V (masses and centres) and M (most lengths).

    Examples
    --------
    >>> round(leg_raise_hip_torque_nm(73.0, "male", knees_bent=False, gravity_m_s2=9.81), 1)
    90.2
    """
    require_positive(body_mass_kg=body_mass_kg, gravity_m_s2=gravity_m_s2)
    table = DE_LEVA_1996[sex]
    thigh, shank, foot = table["thigh"], table["shank"], table["foot"]
    beyond_knee_m = 0.0 if knees_bent else shank.centre_share * shank.length_m
    ankle_m = 0.0 if knees_bent else shank.length_m
    arm_m = (
        thigh.mass_share * thigh.centre_share * thigh.length_m
        + shank.mass_share * (thigh.length_m + beyond_knee_m)
        + foot.mass_share * (thigh.length_m + ankle_m)
    )
    return 2 * gravity_m_s2 * body_mass_kg * arm_m
