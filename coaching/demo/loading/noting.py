"""What coaches keep in mind about a client, and who else would like to be one."""

import datetime
import uuid

from clients.choices import NoteKind
from clients.domain.enquiring import Asked, answer_enquiry, send_enquiry
from clients.domain.notes import pin_lines, write_note
from clients.models import Client, Practice, User
from coaching.demo.loading.days import DAY, Now
from coaching.demo.person import Enquired, Person

WRITTEN_AT = datetime.time(17, 45)
NAMESPACE = uuid.UUID("c5d4a6de-64c1-4b0a-9c53-30a2f8ef4f6e")


def keep_in_mind(client: Client, person: Person, coach: User, *, now: Now) -> None:
    for note in person.notes:
        at = now.on(client, note.days, WRITTEN_AT)
        on = now.today(client) - note.days * DAY
        write_note(client, kind=NoteKind(note.kind), on=on, text=note.text, by=coach, at=at)
    if person.pinned:
        pin_lines(client, dict(enumerate(person.pinned, start=1)), by=coach, at=now.on(client, 3, WRITTEN_AT))


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
        answer_enquiry(kept, text=enquiry.answer, by=owner, at=at + datetime.timedelta(hours=9))
