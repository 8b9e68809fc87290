"""What coaches keep in mind about a client, and who else would like to be one."""

import datetime
import uuid

from clients.choices import NoteKind, PromisesMeanwhile, ReadKind
from clients.domain.enquiring import Asked, answer_enquiry, decline_enquiry, send_enquiry
from clients.domain.history import record_read
from clients.domain.notes import pin_lines, write_note
from clients.models import Client, Membership, Practice, User
from coaching.demo.loading.days import DAY, HOUR, Now
from coaching.demo.person import Enquired, Holiday, Person
from submissions.domain.absence import start_absence

WRITTEN_AT = datetime.time(17, 45)
NAMESPACE = uuid.UUID("c5d4a6de-64c1-4b0a-9c53-30a2f8ef4f6e")


def keep_in_mind(client: Client, person: Person, coach: User, owner: User, *, now: Now) -> None:
    for note in person.notes:
        at = now.on(client, note.days, WRITTEN_AT)
        on = now.today(client) - note.days * DAY
        write_note(client, kind=NoteKind(note.kind), on=on, text=note.text, by=coach, at=at)
    if person.pinned:
        pin_lines(client, dict(enumerate(person.pinned, start=1)), by=coach, at=now.on(client, 3, WRITTEN_AT))
    if person.notes or person.screened.cleared:
        _look(client, coach, owner, now=now)


def _look(client: Client, coach: User, owner: User, *, now: Now) -> None:
    """Who reads what is kept about health stands in the record of it, the owner as well."""
    for kind, days in [(ReadKind.SCREENING, 5), (ReadKind.NOTES, 3), (ReadKind.PROGRESS, 2)]:
        record_read(client, reader=coach, kind=kind, at=now.on(client, days, WRITTEN_AT))
    if owner != coach:
        record_read(client, reader=owner, kind=ReadKind.SCREENING, at=now.on(client, 1, WRITTEN_AT))


def enquire(practice: Practice, enquiry: Enquired, owner: User, *, now: Now) -> None:
    at = now.hours_ago(enquiry.hours)
    asked = Asked(
        name=enquiry.name,
        email=enquiry.email,
        goal=enquiry.goal,
        equipment=enquiry.equipment,
        time_zone=enquiry.zone,
    )
    kept = send_enquiry(practice, asked, key=uuid.uuid5(NAMESPACE, enquiry.email), at=at)
    if enquiry.answer:
        reply = decline_enquiry if enquiry.declined else answer_enquiry
        reply(kept, text=enquiry.answer, by=owner, at=at + datetime.timedelta(hours=9))


def go_on_holiday(holiday: Holiday, coaches: dict[str, Membership], *, now: Now) -> None:
    coach, from_at = coaches[holiday.coach], now.hours_ago(24 * holiday.since)
    start_absence(
        coach,
        from_at=from_at,
        until_at=now.at + holiday.days * DAY,
        cover=coaches[holiday.cover],
        promises=PromisesMeanwhile.KEPT,
        message=holiday.message,
        by=coach.user,
        at=from_at - HOUR,
    )
