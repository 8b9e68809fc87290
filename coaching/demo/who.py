"""Who is in the demo, by role, with what is true of each: for the sign-in page."""

import uuid
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from clients.models import User


@dataclass(frozen=True)
class Somebody:
    """`uuid` is what one signs in by; somebody who is only invited has none yet."""

    name: str
    truth: str
    uuid: uuid.UUID | None
    coach: str = ""


def people_by_role() -> list[tuple[Promise, list[Somebody]]]:
    from coaching.demo.cast import COACHES, PEOPLE  # noqa: PLC0415 -- nobody needs the cast but this page

    ids = dict(User.objects.filter(is_demo=True, is_active=True).values_list("email", "uuid"))
    team = [
        (coach.role, Somebody(coach.name, coach.truth, ids[coach.email]))
        for coach in COACHES.values()
        if coach.email in ids
    ]
    clients = [
        Somebody(person.name, person.truth.sentence, ids.get(person.email), COACHES[person.coach].name)
        for person in PEOPLE
    ]
    return [
        (_("Owner"), [somebody for role, somebody in team if role == "owner"]),
        (_("Coaches"), [somebody for role, somebody in team if role == "coach"]),
        (_("Clients"), clients if team else []),
    ]
