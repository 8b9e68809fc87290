"""The invented cast of the demo: a practice, its coaches and its clients. No one here exists."""

from coaching.demo.cast import jonte, mara, oda
from coaching.demo.cast.practice import COACHES, ENQUIRIES, GIVEN_OUT, HOLIDAYS, PRACTICE
from coaching.demo.person import Person

PEOPLE: tuple[Person, ...] = (*mara.CLIENTS, *jonte.CLIENTS, *oda.CLIENTS)

__all__ = ["COACHES", "ENQUIRIES", "GIVEN_OUT", "HOLIDAYS", "PEOPLE", "PRACTICE"]
