"""Situations in which a coach asks a professional first and no method ever answers "continue"."""

from collections.abc import Collection
from enum import StrEnum


class ReferFirst(StrEnum):
    """Who is sent to a professional before training goes on. The list is not exhaustive."""

    POST_OPERATIVE = "post_operative"
    NERVE_SIGNS = "nerve_signs"
    PREGNANT = "pregnant"
    AFTER_BIRTH = "after_birth"  # less than 12 weeks ago
    MINOR = "minor"
    NEW_INJURY = "new_injury"
    SUSPECTED_BONE_STRESS = "suspected_bone_stress"
    LOCKED_JOINT = "locked_joint"


REFER_FIRST_WORDS: dict[ReferFirst, str] = {
    ReferFirst.POST_OPERATIVE: "An operation on this part that no clinician has released for training yet.",
    ReferFirst.NERVE_SIGNS: "Numbness, tingling or weakness that does not go away.",
    ReferFirst.PREGNANT: "Pregnant.",
    ReferFirst.AFTER_BIRTH: "Gave birth less than 12 weeks ago.",
    ReferFirst.MINOR: "Under the age at which the practice trains people without a guardian.",
    ReferFirst.NEW_INJURY: "A fresh injury: a fall, a blow, a sudden pull or a snap.",
    ReferFirst.SUSPECTED_BONE_STRESS: "Pain on one point of a bone that grows with impact.",
    ReferFirst.LOCKED_JOINT: "A joint that locks or gives way.",
}


def refer_first_reason(groups: Collection[str]) -> str:
    """Name the groups that apply, in plain words, sorted so that the same input gives the same text.

    Raises
    ------
    ValueError
        If a group is not one of `ReferFirst`.

    Evidence: T (house rule, from the limits the sources state).

    Examples
    --------
    >>> refer_first_reason(["pregnant"])
    'ask a professional first: Pregnant.'
    """
    words = [REFER_FIRST_WORDS[ReferFirst(group)] for group in sorted(groups)]
    return "ask a professional first: " + " ".join(words) if words else ""
