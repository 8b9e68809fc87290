"""What coaches keep in mind about a client: dated notes, calls, and three pinned lines. Facts, so versions."""

import datetime

from django.db import transaction

from clients.choices import NoteKind
from clients.domain.versions import supersede
from clients.errors import ReplacedMeanwhile
from clients.models import Client, Note, PinnedLine, User

PLACES = (1, 2, 3)


def write_note(
    client: Client, *, kind: NoteKind, on: datetime.date, text: str, by: User, at: datetime.datetime
) -> Note:
    """Keep a note, or that there was a call. The same words of the same day, sent twice, are kept once."""
    said = {"client": client, "kind": kind, "on": on, "text": text, "by": by}
    with transaction.atomic():
        # Lock the client: a form may be sent twice at once.
        Client.objects.select_for_update().get(pk=client.pk)
        known = Note.objects.current().filter(**said).first()
        return known or Note.objects.create(practice_id=client.practice_id, at=at, **said)


def correct_note(note: Note, *, text: str, by: User, at: datetime.datetime) -> Note:
    """A corrected note is a new version; the old one stays in the record. Raises ReplacedMeanwhile."""
    return supersede(
        note,
        Note(
            practice_id=note.practice_id,
            client_id=note.client_id,
            kind=note.kind,
            on=note.on,
            text=text,
            by=by,
            at=at,
        ),
    )


def pin_lines(
    client: Client,
    lines: dict[int, str],
    *,
    seen: dict[int, str] | None = None,
    by: User,
    at: datetime.datetime,
) -> int:
    """Set the lines at these places; an empty one takes its line down. Returns how many changed.

    `seen` is what the writer had on the screen. Raises ReplacedMeanwhile, and keeps nothing, when a line that is to
    change was changed by somebody else since.
    """
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        there = {line.place: line for line in PinnedLine.objects.current().filter(client=client)}
        changed = {place: text for place, text in lines.items() if text != _text(there.get(place))}
        for place, text in changed.items():
            current = there.get(place)
            if seen is not None and seen.get(place, "") != _text(current):
                raise ReplacedMeanwhile
            version = PinnedLine(practice_id=client.practice_id, client=client, place=place, text=text, by=by, at=at)
            supersede(current, version)
    return len(changed)


def pinned_lines(client: Client) -> list[PinnedLine]:
    """What is pinned now, in the order of the places."""
    return list(PinnedLine.objects.current().filter(client=client).exclude(text="").order_by("place"))


def newest_notes(client: Client, *, most: int) -> list[Note]:
    """The newest notes as they stand now."""
    return list(Note.objects.current().filter(client=client).order_by("-on", "-at", "-pk")[:most])


def _text(line: PinnedLine | None) -> str:
    return line.text if line is not None else ""
