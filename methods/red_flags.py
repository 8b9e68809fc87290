"""Warning signs that stop training: groups, lanes, locks and who unlocks. Not exhaustive, and not diagnostic.

Words are our own. Sources: IFOMPT framework (Finucane et al. 2020), a hospital leaflet on cauda equina, the sideline
concussion tool (Echemendia et al. 2023), Nye et al. 2021 on muscle breakdown, the symptom list of the screening
algorithm, and general first-aid knowledge for clots and injuries (from memory). See REFERENCES.md.
"""

from collections.abc import Collection
from dataclasses import dataclass
from enum import IntEnum, StrEnum


class Lane(IntEnum):
    """How soon help is needed. Ordered: higher is sooner."""

    NONE = 0
    SOON = 1
    URGENT = 2
    EMERGENCY = 3


class UnlockedBy(StrEnum):
    """Who ends the consequence of a flag."""

    CLINICIAN = "clinician"  # the coach records the clinician's role, the date and the limits
    NOBODY_NEEDED = "nobody_needed"  # there is no lock


@dataclass(frozen=True, slots=True)
class RedFlagItem:
    """One tick box. The code is stable and never reused."""

    code: str
    words: str
    lane: Lane


@dataclass(frozen=True, slots=True)
class RedFlagGroup:
    """Items that belong together, the fixed text they show, and what they lock."""

    code: str
    title: str
    items: tuple[RedFlagItem, ...]
    locks: bool
    unlocked_by: UnlockedBy
    text_key: str


def _group(code: str, title: str, lane: Lane, *items: tuple[str, str] | tuple[str, str, Lane]) -> RedFlagGroup:
    rows = tuple(RedFlagItem(f"{code.lower()}.{row[0]}", row[1], row[2] if len(row) == 3 else lane) for row in items)
    return RedFlagGroup(code, title, rows, True, UnlockedBy.CLINICIAN, f"red_flag.{code.lower()}")


_E, _U, _S = Lane.EMERGENCY, Lane.URGENT, Lane.SOON

GROUPS: tuple[RedFlagGroup, ...] = (
    _group(
        "CARD",
        "Heart and lungs",
        _E,
        ("chest", "Pressure, tightness or pain in the chest"),
        ("spread", "Discomfort in an arm, the jaw, the neck or the back that comes with effort"),
        ("faint", "Fainted or nearly fainted, above all while training"),
        ("breath", "Short of breath at rest, or far more than the effort explains"),
        ("beat", "A new racing or irregular heartbeat together with feeling ill"),
    ),
    _group(
        "CES",
        "Lower back with bladder, bowel or saddle signs",
        _E,
        ("saddle", "Numb or tingling between the legs, around the genitals or the back passage"),
        ("wiping", "Wiping feels different from usual"),
        ("urine", "New trouble starting, stopping or feeling urine, or leaking"),
        ("bowel", "Lost control or feeling of the bowel"),
        ("sexual", "New loss of sexual function or feeling"),
        ("legs", "Weakness or pain in both legs together with back pain"),
    ),
    _group(
        "NEURO",
        "Nerves",
        _U,
        ("stroke", "Sudden weakness of the face, an arm or a leg, or trouble speaking or seeing", _E),
        ("weaker", "A limb is getting weaker, or a foot drops"),
        ("spreading", "Numbness that is spreading"),
        ("gait", "Unsteady walking or clumsy hands together with neck pain"),
    ),
    _group(
        "HEAD",
        "After a blow to the head",
        _E,
        ("out", "Lost consciousness or had a seizure"),
        ("vomit", "Vomited more than once"),
        ("headache", "A severe or growing headache"),
        ("neck", "Neck pain or tenderness"),
        ("vision", "Double vision"),
        ("limbs", "Weakness or tingling in arms or legs"),
        ("confused", "More and more confused, restless or drowsy"),
    ),
    _group(
        "RHABDO",
        "Muscle breakdown",
        _E,
        ("urine", "Dark urine, like tea or cola"),
        ("muscle", "Severe pain, swelling or weakness out of proportion, one to three days after unusual work"),
        ("less", "Passing much less urine than usual"),
        ("ill", "Vomiting or confused after very hard work"),
    ),
    _group(
        "VTE",
        "Clot",
        _U,
        ("calf", "One calf or arm is swollen, warm and tender"),
        ("risk", "That, after an operation, a long journey, a cast, or while pregnant or on hormones"),
        ("breath", "That, with breathlessness or chest pain", _E),
    ),
    _group(
        "TRAUMA",
        "Injury",
        _U,
        ("shape", "A fall or crash and something looks out of shape"),
        ("weight", "Cannot bear weight on it or use it"),
        ("snap", "Heard or felt a snap and it no longer works"),
        ("joint", "A joint is locked or out of place"),
        ("spine", "New back pain in later age, with thin bones, or after long use of steroids"),
    ),
    _group(
        "SYST",
        "Feeling ill with the pain",
        _U,
        ("fever", "Fever or feeling ill together with back or joint pain"),
        ("joint", "A hot, swollen joint"),
        ("weight", "Losing weight without a reason"),
        ("cancer", "Had cancer in the past"),
        ("night", "Pain at night that no position eases"),
        ("growing", "Constant pain that keeps growing"),
    ),
    _group(
        "BONE",
        "Bone",
        _S,
        ("point", "Pain on one point of a bone, worse with impact"),
        ("rest", "That pain also at rest or at night"),
        ("energy", "That pain, with missed periods or eating little"),
    ),
    _group(
        "PREG",
        "Pregnancy",
        _E,
        ("bleeding", "Bleeding or losing fluid"),
        ("contractions", "Regular painful contractions"),
        ("faint", "Faint, or pain in the chest"),
        ("headache", "A headache with changes in vision"),
        ("calf", "A swollen calf", _U),
        ("movement", "The baby moves less"),
    ),
    RedFlagGroup(
        "MIND",
        "Thoughts of self-harm",
        (RedFlagItem("mind.harm", "Thoughts of harming myself or of not wanting to live", _E),),
        # Help at once and the coach told; nobody is asked to prove anything before training again.
        locks=False,
        unlocked_by=UnlockedBy.NOBODY_NEEDED,
        text_key="red_flag.crisis",
    ),
)

GROUP_BY_CODE: dict[str, RedFlagGroup] = {group.code: group for group in GROUPS}
_GROUP_OF_ITEM: dict[str, RedFlagGroup] = {item.code: group for group in GROUPS for item in group.items}
ITEM_BY_CODE: dict[str, RedFlagItem] = {item.code: item for group in GROUPS for item in group.items}

# Where pain is felt decides which questions come before anything else may be answered.
_OPENED_BY_AREA: dict[str, tuple[str, ...]] = {
    "chest": ("CARD",),
    "jaw": ("CARD",),
    "neck": ("CARD", "NEURO"),
    "shoulder": ("CARD",),
    "upper_arm": ("CARD",),
    "upper_back": ("CARD", "SYST"),
    "belly": ("CARD",),
    "head": ("NEURO", "HEAD"),
    "low_back": ("CES", "SYST"),
    "groin": ("CES",),
    "calf": ("VTE",),
}
AREAS_AFTER_WHICH_A_BLOW_IS_TO_THE_HEAD = ("head", "jaw", "neck")


def areas_opening_red_flags(
    area: str, *, pin_point: bool = False, after_blow: bool = False, pregnant: bool = False
) -> tuple[str, ...]:
    """Name the groups whose questions come first when this area hurts.

    Parameters
    ----------
    area : str
        Code of a body area. Areas without entry open nothing by themselves.
    pin_point : bool
        The pain sits on one point of a bone.
    after_blow : bool
        It began with a blow, a fall or a crash.
    pregnant : bool

    Returns
    -------
    tuple of group codes, in the order of `GROUPS`; empty when soreness may be answered straight away.

    Evidence: V (the lists), T (which area opens which).

    Examples
    --------
    >>> areas_opening_red_flags("calf"), areas_opening_red_flags("knee", after_blow=True)
    (('VTE',), ('TRAUMA',))
    """
    opened = set(_OPENED_BY_AREA.get(area, ()))
    if pin_point:
        opened.add("BONE")
    if after_blow:
        opened.add("TRAUMA")
        if area in AREAS_AFTER_WHICH_A_BLOW_IS_TO_THE_HEAD:
            opened.add("HEAD")
    if pregnant:
        opened.add("PREG")
    return tuple(group.code for group in GROUPS if group.code in opened)


@dataclass(frozen=True, slots=True)
class RedFlagDecision:
    """What ticked warning signs lead to, shown and done before any coach sees them."""

    lane: Lane
    stops: bool
    locks: bool
    alerts_coach: bool
    is_complete: bool
    groups: tuple[str, ...]
    items: tuple[str, ...]
    text_keys: tuple[str, ...]

    @property
    def is_clear(self) -> bool:
        """Every question answered and nothing ticked."""
        return self.is_complete and not self.items


def evaluate(ticked_items: Collection[str], unanswered_items: Collection[str] = ()) -> RedFlagDecision:
    """Decide what warning signs lead to.

    Parameters
    ----------
    ticked_items : collection of item codes
    unanswered_items : collection of item codes
        Questions that were opened and not answered: nothing is clear until they are.

    Raises
    ------
    ValueError
        If a code is not one of the items.

    Notes
    -----
    Any tick stops the session, shows its group's fixed text and alerts the coach in the most urgent lane ticked.
    Physical signs lock training until the coach records a clinician's role, date and limits. A mental-health sign
    shows crisis help and alerts the coach, and locks nothing. More ticks never lower a lane or open a lock.

    Evidence: V (the lists), T (lanes and locks).

    Examples
    --------
    >>> evaluate(["mind.harm"]).locks, evaluate(["bone.point", "card.chest"]).lane.name
    (False, 'EMERGENCY')
    """
    unknown = sorted({*ticked_items, *unanswered_items} - set(ITEM_BY_CODE))
    if unknown:
        raise ValueError(f"unknown warning signs: {', '.join(unknown)}")
    ticked = [item for item in ITEM_BY_CODE.values() if item.code in ticked_items]
    groups = [group for group in GROUPS if any(_GROUP_OF_ITEM[item.code] is group for item in ticked)]
    return RedFlagDecision(
        lane=max((item.lane for item in ticked), default=Lane.NONE),
        stops=bool(ticked),
        locks=any(group.locks for group in groups),
        alerts_coach=bool(ticked),
        is_complete=not set(unanswered_items) - {item.code for item in ticked},
        groups=tuple(group.code for group in groups),
        items=tuple(item.code for item in ticked),
        text_keys=tuple(group.text_key for group in groups),
    )


def lane_after(current: Lane, found: Lane) -> Lane:
    """Raise a lane on new data (a keyword in free text, say); nothing lowers it automatically.

    Evidence: T (house rule).

    Examples
    --------
    >>> lane_after(Lane.URGENT, Lane.SOON).name
    'URGENT'
    """
    return max(current, found)
