"""A client's way through the practice, and who looked at what."""

import datetime
import uuid

from clients.choices import ClientState, ReadKind
from clients.models import AccessRecord, Client, ClientStateChange, User


def move_client(
    client: Client, *, to: ClientState, by: User | None, at: datetime.datetime, reason: str = ""
) -> ClientStateChange | None:
    """Change the client's state and keep the step. Nothing happens when the client is there already."""
    if client.state == to:
        return None
    change = ClientStateChange.objects.create(
        practice_id=client.practice_id,
        client=client,
        from_state=client.state,
        to_state=to,
        at=at,
        by=by,
        reason=reason,
    )
    client.state = to
    client.save(update_fields=["state"])
    return change


def record_read(
    client: Client, *, reader: User, kind: ReadKind, at: datetime.datetime, subject: uuid.UUID | None = None
) -> None:
    """Keep that someone looked at health data or a clip. Reading one's own is not recorded."""
    if client.user_id == reader.pk:
        return
    AccessRecord.objects.create(
        practice_id=client.practice_id, client=client, reader=reader, kind=kind, subject_uuid=subject, at=at
    )
