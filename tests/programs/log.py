"""Entries as a phone sends them."""

import uuid

from programs.models import ScheduledSession
from tests import factories as f

EVENING = "2026-03-04T18:30:00+01:00"


def session_with(cast, *, sets=3, client=None, **prescription):
    """A scheduled session of the client with one prescription."""
    client = client or cast.client
    scheduled = f.ScheduledSessionFactory(client=client)
    section = f.SectionFactory(session=scheduled.session)
    dose = f.PrescriptionFactory(group=f.GroupFactory(section=section), sets=sets, **prescription)
    return scheduled, dose


def movement(**revision):
    return f.MovementFactory(**{f"revision__{name}": value for name, value in revision.items()}).current


def entry(kind: str, scheduled: ScheduledSession, **fields):
    return {
        "uuid": str(uuid.uuid4()),
        "kind": kind,
        "scheduled": str(scheduled.uuid),
        "device_at": EVENING,
        "time_zone": "Europe/Vienna",
        **fields,
    }


def set_entry(scheduled, dose, **fields):
    return entry("set", scheduled, **{"prescription": str(dose.uuid), "number": 1, "repetitions": 8, **fields})


def session_entry(scheduled, **fields):
    return entry("session", scheduled, **{"outcome": "with_numbers", **fields})


def pain_entry(scheduled, **fields):
    return entry("pain", scheduled, **{"area": "knee", "side": "left", "during": 4, **fields})
