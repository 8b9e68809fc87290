"""From the invitation to an answered intake, by the verbs that people use."""

import datetime
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.utils import timezone

from clients.choices import ITEMS_WANTING_A_SET_UP_CHECK, Ceiling, ConsentKind, ItemKind
from clients.domain import body, equipment
from clients.domain.consent import decide_consent
from clients.domain.guardians import ask_guardian
from clients.domain.intake import finish_intake, open_intake, save_answers
from clients.domain.inviting import accept_invitation, invite_client
from clients.domain.screening import record_clearance
from clients.domain.things import metric
from clients.domain.tokens import new_token, token_hash
from clients.library.equipment import TESTS
from clients.library.intake import STEPS
from clients.models import Client, EquipmentItem, Invitation, Membership, User
from coaching.demo import person as people
from coaching.demo.loading.days import ARRIVES_BEFORE, DAY, HOUR, WEEK, Now
from coaching.demo.person import Person

MASS_EVERY = 4 * WEEK
RENEWS_AT = datetime.time(9, 15)


def arrive(person: Person, coach: Membership, *, now: Now) -> Client:
    """Invite, and go as far as this person went."""
    # The practice's clock until the client has named one: what is dated by it is only the letter.
    stranger = Client(practice=coach.practice, time_zone=person.zone)
    at = now.arrival(stranger, person)
    client = invite_client(coach, name=person.name, email=person.email, at=at if person.accepts else now.at - 2 * DAY)
    if not person.accepts:
        return client
    _accept(client, person, at=at + 5 * HOUR)
    if _answer_intake(client, person, now=now, at=at + 6 * HOUR) and person.screened.cleared:
        clear(client, person.screened.cleared, coach.user, now=now)
    client.refresh_from_db()
    return client


def _accept(client: Client, person: Person, *, at: datetime.datetime) -> None:
    """As if the letter was opened. Only a token's hash is kept, so the demo makes one of its own."""
    user = User.objects.create_user(person.email, None, name=person.name, is_demo=True)
    token = new_token()
    Invitation.objects.filter(client=client).update(token_sha256=token_hash(token), expires_at=timezone.now() + DAY)
    # With a sign-in there is no password to hash, which the demo never uses.
    accept_invitation(token, name=person.name, password="", signed_in=user, at=at)
    client.refresh_from_db()


def person_of(client: Client) -> User:
    if client.user is None:
        raise ValueError(f"{client.name} has not accepted yet")
    return client.user


def _answer_intake(client: Client, person: Person, *, now: Now, at: datetime.datetime) -> bool:
    """True when there is an outcome; under the age limit it stops at once."""
    user = person_of(client)
    for kind in ConsentKind:
        decide_consent(client, kind=kind, given=True, by=user, at=at)
    intake = open_intake(client, at=at)
    for answers in _steps(person, on=at.astimezone(client.zone).date()):
        save_answers(intake, answers, by=user, at=at)
        if intake.client.needs_guardian:
            _ask_guardian(client, person, at=at)
            return False
    client.refresh_from_db()
    _keep_things(client, person, now=now)
    _keep_body(client, person, now=now, at=at)
    finish_intake(intake, by=user, at=at)
    return True


def _ask_guardian(client: Client, person: Person, *, at: datetime.datetime) -> None:
    if person.guardian is not None:
        asked = person.guardian
        ask_guardian(client, name=asked.name, email=asked.email, relation=asked.relation, at=at)


def _steps(person: Person, *, on: datetime.date) -> Iterable[dict[str, Any]]:
    said = _answers(person, on=on)
    for step in STEPS:
        answers = {question.code: said[question.code] for question in step.questions if question.code in said}
        if answers:
            yield answers


def _answers(person: Person, *, on: datetime.date) -> dict[str, Any]:
    return {
        "born_on": _birthday(person, on),
        "country": person.country,
        "time_zone": person.zone,
        "goal": person.goal,
        "goal_words": person.goal_words,
        "experience": person.experience,
        "days": len(person.plan.days) if person.plan else 2,
        "minutes": person.minutes,
        "contact_name": person.contact,
        "contact_phone": "+49 30 555 0100",
        "regular": person.screened.regular,
        "disease": list(person.screened.disease),
        "symptoms": [],
        "special": list(person.screened.special),
        "desired": person.screened.desired,
        "medicines": person.medicines,
    }


def _birthday(person: Person, on: datetime.date) -> datetime.date:
    """As old as the data says, whatever the day; the day of the year comes from the address."""
    day = datetime.date(2001, 1, 1) + sum(person.email.encode()) % 365 * DAY
    is_ahead = (day.month, day.day) > (on.month, on.day)
    return day.replace(year=on.year - person.age - is_ahead)


def _keep_things(client: Client, person: Person, *, now: Now) -> None:
    """The intake names one place; the others are added later, on the page of places."""
    user, at = person_of(client), _settled(client, person, now=now)
    first, *others = person.places
    checked = set(first.items) & ITEMS_WANTING_A_SET_UP_CHECK - set(first.untested)
    equipment.save_place(client, name=first.name, items=_items(first, person.unit), checked=checked, at=at, by=user)
    for place in others:
        row = equipment.add_place(client, name=place.name)
        equipment.save_items(row, _items(place, person.unit), at=at)
        _check(client, place, by=user, at=at)


def _settled(client: Client, person: Person, *, now: Now) -> datetime.datetime:
    """Shortly before the first block, for somebody who has been here for longer than it."""
    at = now.arrival(client, person)
    return at if person.plan is None else max(at, now.block_begins(client, person.plan) - ARRIVES_BEFORE)


def renew_checks(client: Client, person: Person, *, now: Now) -> None:
    """A set-up check holds for three months; most people look again in time."""
    for place in person.places:
        if person.plan is not None and place.renewed is not None:
            _check(client, place, by=person_of(client), at=now.on(client, place.renewed, RENEWS_AT))


def _check(client: Client, place: people.Place, *, by: User, at: datetime.datetime) -> None:
    there = EquipmentItem.objects.filter(client=client, place__name=place.name, kind__in=ITEMS_WANTING_A_SET_UP_CHECK)
    for item in there.exclude(kind__in=place.untested).select_related("client"):
        equipment.check_set_up(item, tested=[test.code for test in TESTS[ItemKind(item.kind)]], by=by, at=at)


def _items(place: people.Place, unit: str) -> dict[str, dict[str, Any]]:
    masses = [metric(Decimal(str(mass)), unit) for mass in place.masses]
    weighs = {ItemKind.DUMBBELL.value, ItemKind.KETTLEBELL.value}
    return {kind: {"masses_kg": masses} if kind in weighs else {} for kind in place.items}


def _keep_body(client: Client, person: Person, *, now: Now, at: datetime.datetime) -> None:
    on = at.astimezone(client.zone).date()
    if person.protects:
        areas = [body.AreaToProtect(area, side, why, barred=False) for area, side, why in person.protects]
        body.save_areas(client, areas, on=on)
    for n, mass in enumerate(person.masses):
        told = min(on + n * MASS_EVERY, now.today(client))
        body.record_body_mass(client, entered=Decimal(mass), unit=person.unit, on=told)
    since = now.first_monday(client, person.plan) if person.plan else None
    Client.objects.filter(pk=client.pk).update(
        mass_unit=person.unit, length_unit=person.length_unit, training_since=since
    )


def clear(client: Client, said: people.Cleared, coach: User, *, now: Now) -> None:
    on = now.today(client) - said.days * DAY
    record_clearance(
        client,
        clinician_role=said.role,
        given_on=on,
        expires_on=on + 365 * DAY,
        ceiling=Ceiling(said.ceiling),
        limits=said.limits,
        by=coach,
        at=now.on(client, said.days - 1, datetime.time(11, 5)),
    )
