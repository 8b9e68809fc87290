"""The invented practice and its three coaches."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Coach:
    name: str
    email: str
    role: str
    truth: str


PRACTICE: dict[str, Any] = {
    "name": "Lintel Lane Coaching (invented)",
    "time_zone": "Europe/Berlin",
    "emergency_text_addition": "This practice is invented. In real life, its own advice would stand here.",
}

COACHES = {
    "mara": Coach("Mara Quell", "mara@lintel-lane.example", "owner", "owns the practice, sees everybody, leads half"),
    "jonte": Coach(
        "Jonte Abram", "jonte@lintel-lane.example", "coach", "leads the other half, and is late with one answer"
    ),
    "oda": Coach("Oda Brask", "oda@lintel-lane.example", "coach", "new on the team, with three clients"),
}
