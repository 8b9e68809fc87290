"""The invented practice and its three coaches."""

from dataclasses import dataclass
from typing import Any

from coaching.demo.person import Enquired, GivenOut, Holiday


@dataclass(frozen=True)
class Coach:
    name: str
    email: str
    role: str
    truth: str


PRACTICE: dict[str, Any] = {
    "name": "Lintel Lane Coaching (invented)",
    "time_zone": "Europe/Berlin",
    "takes_enquiries": True,
    "enquiry_welcome": "This practice is invented, and so is everybody in it. What would you like to be able to do?",
    "emergency_text_addition": "This practice is invented. In real life, its own advice would stand here.",
}

COACHES = {
    "mara": Coach("Mara Quell", "mara@lintel-lane.example", "owner", "owns the practice, sees everybody, leads half"),
    "jonte": Coach(
        "Jonte Abram", "jonte@lintel-lane.example", "coach", "leads the other half, and is late with one answer"
    ),
    "oda": Coach("Oda Brask", "oda@lintel-lane.example", "coach", "new on the team, with three clients"),
}

ENQUIRIES = (
    Enquired(
        "Marit Olde",
        "marit@visitor.example",
        hours=19,
        goal="Twenty push-ups in a row before I turn fifty. I have a floor and no patience.",
        equipment="A floor, a chair.",
    ),
    Enquired(
        "Tadeo Brix",
        "tadeo@visitor.example",
        hours=70,
        goal="Climb without sore elbows.",
        equipment="Bar, rings, a rucksack.",
        zone="Europe/Madrid",
        answer="Thank you for writing. Two questions before we talk: how often do you climb now, and who has looked at "
        "the elbows so far?",
    ),
    Enquired(
        "Brina Aalto",
        "brina@visitor.example",
        hours=24 * 9,
        goal="Snatch my own body mass at a meet in spring.",
        equipment="A barbell, plates, a platform.",
        zone="Europe/Helsinki",
        answer="Thank you for telling us what you want. Nobody here teaches the barbell lifts, so we would be the "
        "wrong people for it. A club near you will watch you lift, and that is worth more. All the best!",
        declined=True,
    ),
)

HOLIDAYS = (
    Holiday(
        "oda",
        cover="mara",
        since=1,
        days=6,
        message="Oda is away for a week. Mara reads what you send meanwhile and answers in the usual time.",
    ),
)

GIVEN_OUT = (
    GivenOut(
        "Kojo Halvorsen",
        "Pull",
        title="Pull, with whatever hangs",
        about="For anyone with a bar, rings, a band or just a floor. Invented, like everything here.",
        hours=24 * 4,
    ),
)
