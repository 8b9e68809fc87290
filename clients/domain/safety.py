"""Whether a client may start, and how hard: the one rule that builder, publishing, resolver and suggestions ask."""

import datetime
from dataclasses import dataclass

from clients.choices import Ceiling, ConsentKind
from clients.domain.consent import has_consent
from clients.errors import ClearanceMissing, ConsentMissing, GuardianNeeded, IntakeIncomplete, Locked, ScreeningExpired
from clients.models import Clearance, Client, ProtectedArea, RedFlagReport, Screening

CEILING_ORDER = [Ceiling.NONE, Ceiling.LIGHT, Ceiling.MODERATE, Ceiling.VIGOROUS]


@dataclass(frozen=True)
class Start:
    """Leave to train: on which outcome, up to which effort, until when."""

    screening: Screening
    clearance: Clearance | None
    ceiling: Ceiling
    until: datetime.date


def is_within(needed: Ceiling | str, ceiling: Ceiling | str) -> bool:
    return CEILING_ORDER.index(Ceiling(needed)) <= CEILING_ORDER.index(Ceiling(ceiling))


def require_start(client: Client, *, on: datetime.date) -> Start:
    """Leave to train on a day, or the error that says what is missing.

    Raises GuardianNeeded, ConsentMissing, Locked, IntakeIncomplete, ScreeningExpired, ClearanceMissing. No role
    overrides them.
    """
    if client.needs_guardian:
        raise GuardianNeeded
    if not has_consent(client, ConsentKind.HEALTH):
        raise ConsentMissing
    if RedFlagReport.objects.of(client).locking().exists():
        raise Locked
    screening = current_screening(client)
    if screening is None:
        raise IntakeIncomplete
    if screening.expires_on is None:
        raise IntakeIncomplete
    if screening.expires_on < on:
        raise ScreeningExpired
    clearance = standing_clearance(client, screening, on=on)
    if clearance is not None:
        # The clinician saw the person: the clearance speaks for the effort, up or down.
        until = min(screening.expires_on, clearance.expires_on)
        return Start(screening, clearance, Ceiling(clearance.ceiling), until)
    if screening.needs_clearance or screening.ceiling == Ceiling.NONE:
        raise ClearanceMissing
    return Start(screening, None, Ceiling(screening.ceiling), screening.expires_on)


def current_screening(client: Client) -> Screening | None:
    return Screening.objects.current().filter(client=client).first()


def standing_clearance(client: Client, screening: Screening, *, on: datetime.date) -> Clearance | None:
    """The newest clearance for this outcome that is in force on the day."""
    return (
        Clearance.objects.current()
        .filter(client=client, screening=screening, given_on__lte=on, expires_on__gte=on)
        .order_by("-recorded_at", "-pk")
        .first()
    )


def barred_areas(client: Client, *, on: datetime.date) -> set[str]:
    """Areas that nothing may load on this day."""
    return _areas(client, on=on, barred=True)


def protected_areas(client: Client, *, on: datetime.date) -> set[str]:
    """Areas to go around or to warn about on this day, barred ones included."""
    return _areas(client, on=on)


def _areas(client: Client, *, on: datetime.date, **only: bool) -> set[str]:
    rows = ProtectedArea.objects.current().filter(client=client, from_on__lte=on, **only)
    return {row.area for row in rows if row.until_on is None or row.until_on >= on}
