"""Whether a client may start, and how hard: the one rule that builder, publishing, resolver and suggestions ask."""

import datetime
from dataclasses import dataclass
from typing import Any

from clients.choices import Ceiling, ConsentKind
from clients.domain.consent import has_consent
from clients.domain.guardians import guardian_missing
from clients.errors import ClearanceMissing, ConsentMissing, GuardianNeeded, IntakeIncomplete, Locked, ScreeningExpired
from clients.models import Clearance, Client, ProtectedArea, RedFlagReport, Screening
from methods import screening as rules
from methods.referral import ReferFirst

DAYS_IN_MONTH = 365.25 / 12
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
    if guardian_missing(client):
        raise GuardianNeeded
    if not has_consent(client, ConsentKind.HEALTH):
        raise ConsentMissing
    if RedFlagReport.objects.of(client).locking().exists():
        raise Locked
    screening = current_screening(client)
    if screening is None or screening.expires_on is None:
        raise IntakeIncomplete
    if screening.expires_on < on:
        raise ScreeningExpired
    clearance = newest_clearance(client, screening)
    ceiling = ceiling_under(screening, clearance, on=on)
    if ceiling == Ceiling.NONE:
        raise ClearanceMissing
    if clearance is None or clearance.expires_on < on:
        return Start(screening, None, ceiling, screening.expires_on)
    return Start(screening, clearance, ceiling, min(screening.expires_on, clearance.expires_on))


def ceiling_under(screening: Screening, clearance: Clearance | None, *, on: datetime.date) -> Ceiling:
    """The outcome's ceiling together with what a clinician allowed (methods.screening). Limits outlast the leave."""
    referred = [ReferFirst(code) for code in screening.inputs.get("refer_first") or []]
    decision = decide(screening.inputs, refer=not _answers(clearance, screening, on) and bool(referred))
    if clearance is None:
        return ceiling_of(decision)
    age = max(0, (on - clearance.given_on).days) / DAYS_IN_MONTH
    if clearance.expires_on < on:
        age = max(age, rules.MAX_CLEARANCE_AGE_MONTHS + 1)
    said = rules.Clearance(
        rules.Intensity[clearance.ceiling.upper()], age, after_answers=_is_after(clearance, screening)
    )
    return ceiling_of(rules.with_clearance(decision, said, desired=_desired(screening.inputs)))


def _answers(clearance: Clearance | None, screening: Screening, on: datetime.date) -> bool:
    """Whether the clearance is in force and was given knowing these answers."""
    return clearance is not None and clearance.expires_on >= on and _is_after(clearance, screening)


def _is_after(clearance: Clearance, screening: Screening) -> bool:
    return clearance.given_on >= screening.decided_at.astimezone(screening.client.zone).date()


def refer_first_groups(client: Client, *, on: datetime.date) -> list[ReferFirst]:
    """Why this client asks a professional first, unless one has answered since."""
    screening = current_screening(client)
    if screening is None or _answers(newest_clearance(client, screening), screening, on):
        return []
    return said_groups(client)


def said_groups(client: Client) -> list[ReferFirst]:
    """What the client's answers say of themselves, whatever a professional allowed since."""
    screening = current_screening(client)
    return [ReferFirst(code) for code in screening.inputs.get("refer_first") or []] if screening else []


def has_clearance_given(client: Client, *, since: datetime.date, on: datetime.date) -> bool:
    """Whether a clearance that was given after a day is in force: what happened on that day was known to it."""
    rows = Clearance.objects.current().filter(client=client, given_on__gt=since, expires_on__gte=on)
    return rows.exists()


def decide(inputs: dict[str, Any], *, refer: bool | None = None) -> rules.ScreeningDecision:
    """The published rule on the intake's answers, and the list of those whom a coach refers on."""
    decision = rules.screen(
        regular=inputs["regular"],
        symptoms=inputs["symptoms"],
        disease=inputs["disease"],
        desired=_desired(inputs),
    )
    if inputs["refer_first"] is None:
        # An open question is never a "no".
        return rules.screen(regular=None, symptoms=None, disease=None, desired=_desired(inputs))
    groups = [ReferFirst(code) for code in inputs["refer_first"]]
    return rules.refer_first(decision, groups if refer is None or refer else [])


def _desired(inputs: dict[str, Any]) -> rules.Intensity:
    return rules.Intensity[(inputs.get("desired") or Ceiling.VIGOROUS).upper()]


def ceiling_of(decision: rules.ScreeningDecision) -> Ceiling:
    return Ceiling(decision.ceiling.name.lower())


def current_screening(client: Client) -> Screening | None:
    return Screening.objects.current().filter(client=client).first()


def newest_clearance(client: Client, screening: Screening) -> Clearance | None:
    """The newest clearance recorded for this outcome, in force or not."""
    rows = Clearance.objects.current().filter(client=client, screening=screening)
    return rows.order_by("-recorded_at", "-pk").first()


def barred_areas(client: Client, *, on: datetime.date) -> set[str]:
    """Areas that nothing may load on this day."""
    return _areas(client, on=on, barred=True)


def protected_areas(client: Client, *, on: datetime.date) -> set[str]:
    """Areas to go around or to warn about on this day, barred ones included."""
    return _areas(client, on=on)


def _areas(client: Client, *, on: datetime.date, **only: bool) -> set[str]:
    rows = ProtectedArea.objects.current().filter(client=client, from_on__lte=on, **only)
    return {row.area for row in rows if row.until_on is None or row.until_on >= on}
