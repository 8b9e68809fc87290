"""Consents: each given or withdrawn on its own, with the text that was shown."""

import datetime

from django.db import transaction

from clients.choices import ConsentAction, ConsentKind
from clients.library.consents import CONSENT_TEXTS
from clients.models import Client, ConsentEvent, User


def decide_consent(
    client: Client, *, kind: ConsentKind, given: bool, by: User, at: datetime.datetime
) -> ConsentEvent | None:
    """Keep a consent or its withdrawal. Saying the same again keeps nothing new; "no" from the start neither."""
    text = CONSENT_TEXTS[kind]
    with transaction.atomic():
        # Lock the client: two tabs may answer at once.
        Client.objects.select_for_update().get(pk=client.pk)
        latest = _latest(client, kind)
        standing = latest.text_version if latest is not None and latest.action == ConsentAction.GIVEN else None
        if (given and standing == text.version) or (not given and standing is None):
            return None
        return ConsentEvent.objects.create(
            practice_id=client.practice_id,
            client=client,
            kind=kind,
            action=ConsentAction.GIVEN if given else ConsentAction.WITHDRAWN,
            text_version=text.version,
            text=str(text.text),
            at=at,
            by=by,
        )


def has_consent(client: Client, kind: ConsentKind) -> bool:
    latest = _latest(client, kind)
    return latest is not None and latest.action == ConsentAction.GIVEN


def _latest(client: Client, kind: ConsentKind) -> ConsentEvent | None:
    return ConsentEvent.objects.current().filter(client=client, kind=kind).order_by("-at", "-pk").first()
