"""The invented cast of the demo: a practice, its coaches and its clients. No one here exists."""

from coaching.demo.cast import jonte, mara, oda
from coaching.demo.cast.practice import COACHES, ENQUIRIES, HOLIDAYS, PRACTICE
from coaching.demo.person import Person

PEOPLE: tuple[Person, ...] = (*mara.CLIENTS, *jonte.CLIENTS, *oda.CLIENTS)

__all__ = ["COACHES", "ENQUIRIES", "HOLIDAYS", "PEOPLE", "PRACTICE"]
