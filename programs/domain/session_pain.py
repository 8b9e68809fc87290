"""Pain told from a session's page: on its training day, during one of its movements if the client knows which."""

import datetime
import uuid as uuids
from typing import Any

from django.db.models import Exists, OuterRef

from clients.domain.pain import report_pain
from clients.domain.telling_pain import LOOK_BACK
from clients.domain.versions import newest
from clients.models import Client, PainReport, User
from programs.domain.days import training_day
from programs.models import Prescription, ScheduledSession, TrainingLog


def tell_pain_in(
    scheduled: ScheduledSession,
    *,
    prescription: uuids.UUID | None,
    uuid: uuids.UUID | None,
    by: User,
    at: datetime.datetime,
    **told: Any,
) -> PainReport:
    """Keep where it hurts; the pages of the people's room ask the rest. A prescription of another session is none."""
    planned = Prescription.objects.filter(group__section__session=scheduled.session_id)
    during_what = planned.select_related("movement__movement").filter(uuid__in=[prescription]).first()
    report = report_pain(
        scheduled.client,
        on=training_day(scheduled.on, at, scheduled.client.time_zone),
        told_in=scheduled.uuid,
        movement_slug=during_what.movement.movement.slug if during_what else "",
        uuid=uuid,
        by=by,
        at=at,
        **told,
    )
    return newest(report)


def hurt_but_not_told(client: Client, *, on: datetime.date) -> list[TrainingLog]:
    """Sessions of the last two weeks in which something hurt, by the client's own word, and nobody knows where."""
    said = TrainingLog.objects.counting().filter(client=client, anything_hurt=True, training_day__gt=on - LOOK_BACK)
    told = PainReport.objects.of(client).filter(told_in=OuterRef("scheduled__uuid"))
    return list(said.exclude(Exists(told)).select_related("scheduled__session").order_by("-training_day"))
