"""From answers to an outcome with a ceiling and an expiry; red flags; clearance."""

import datetime
from typing import Any

from django.db import transaction

import jobs
from clients.choices import Ceiling, ClientState, Lane
from clients.domain.history import move_client
from clients.domain.notices import wake_coaches
from clients.domain.safety import ceiling_of, current_screening, decide
from clients.domain.versions import supersede
from clients.models import Clearance, Client, Intake, IntakeAnswer, RedFlagReport, Screening, User
from methods import red_flags
from methods.referral import ReferFirst

# Answers are asked again after a year, whatever the outcome was.
ANSWERS_VALID_MONTHS = 12


def current_answers(intake: Intake) -> dict[str, Any]:
    rows = IntakeAnswer.objects.current().filter(intake=intake)
    return {row.question: row.value for row in rows}


def inputs_from(answers: dict[str, Any]) -> dict[str, Any]:
    """The rule's inputs. A question without an answer stays None, and None is never "no"."""

    def ticked(code: str) -> bool | None:
        return None if answers.get(code) is None else bool(answers[code])

    return {
        "regular": answers.get("regular"),
        "symptoms": ticked("symptoms"),
        "disease": ticked("disease"),
        "refer_first": answers.get("special"),
        "desired": answers.get("desired"),
    }


def screen_client(intake: Intake, *, at: datetime.datetime) -> Screening:
    """Decide the outcome from the intake's answers and keep it as the client's current one.

    A new outcome starts without clearance: what a clinician said was about the old answers.
    """
    client = intake.client
    inputs = inputs_from(current_answers(intake))
    if client.needs_guardian and inputs["refer_first"] is not None:
        # With a guardian's consent, a minor still needs a professional's word: the algorithm is about adults.
        inputs["refer_first"] = [*inputs["refer_first"], ReferFirst.MINOR.value]
    decision = decide(inputs)
    day = at.astimezone(client.zone).date()
    version = Screening(
        practice_id=client.practice_id,
        client=client,
        intake=intake,
        code=decision.code or "",
        outcome=decision.outcome.value,
        ceiling=ceiling_of(decision),
        needs_clearance=decision.needs_clearance,
        decided_at=at,
        expires_on=_months_after(day, ANSWERS_VALID_MONTHS) if decision.code else None,
        inputs=inputs,
    )
    return supersede(current_screening(client), version)


def say_health_changed(client: Client, *, at: datetime.datetime) -> Screening | None:
    """The client says that the old answers no longer hold: their outcome ends now, until they have answered again.

    None when there was no outcome in force. The coaches are told without details.
    """
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        current = current_screening(client)
        yesterday = at.astimezone(client.zone).date() - datetime.timedelta(days=1)
        if current is None or current.expires_on is None or current.expires_on <= yesterday:
            return None
        ended = supersede(current, _ending(current, on=yesterday, at=at))
        wake_coaches(client)
    return ended


def _ending(current: Screening, *, on: datetime.date, at: datetime.datetime) -> Screening:
    return Screening(
        practice_id=current.practice_id,
        client_id=current.client_id,
        intake_id=current.intake_id,
        code=current.code,
        outcome=current.outcome,
        ceiling=current.ceiling,
        needs_clearance=current.needs_clearance,
        decided_at=current.decided_at,
        expires_on=on,
        inputs=current.inputs | {"health_changed_at": at.isoformat()},
    )


def _months_after(day: datetime.date, months: int) -> datetime.date:
    year, month = divmod(day.month - 1 + months, 12)
    first = datetime.date(day.year + year, month + 1, 1)
    next_month = (first + datetime.timedelta(days=32)).replace(day=1)
    return min(first + datetime.timedelta(days=day.day - 1), next_month - datetime.timedelta(days=1))


def report_red_flags(client: Client, *, items: list[str], source: str, at: datetime.datetime) -> RedFlagReport | None:
    """Keep ticked warning signs, lock what they lock, and wake the coaches. None when nothing was ticked.

    Left unopened, the owners are told as well, once (clients.domain.notices). The page shows the fixed text at once,
    whatever happens here.
    """
    decision = red_flags.evaluate(items)
    if not decision.groups:
        return None
    with transaction.atomic():
        report = RedFlagReport.objects.create(
            practice_id=client.practice_id,
            client=client,
            groups=list(decision.groups),
            items=items,
            lane=Lane(decision.lane.name.lower()),
            locks=decision.locks,
            source=source,
            reported_at=at,
        )
        wake_coaches(client)
        jobs.request(
            "clients.tell_owners_of_unopened",
            report.pk,
            practice=client.practice_id,
            key=f"unopened:{report.uuid}",
            run_at=at + datetime.timedelta(minutes=client.practice.warning_sign_wait_minutes),
        )
    return report


def record_clearance(
    client: Client,
    *,
    clinician_role: str,
    given_on: datetime.date,
    expires_on: datetime.date,
    ceiling: Ceiling,
    limits: str,
    by: User,
    at: datetime.datetime,
    document: str = "",
    given_time: datetime.time | None = None,
) -> Clearance:
    """Keep what a licensed professional allowed. It lifts the red flags reported before the moment it was given.

    Without a time of day that moment is the start of its day: nobody knows whether a later one was looked at.

    `document` is the storage name of a photo of the letter, where there is one (clients.domain.photos).
    """
    with transaction.atomic():
        clearance = Clearance.objects.create(
            practice_id=client.practice_id,
            client=client,
            screening=current_screening(client),
            clinician_role=clinician_role,
            given_on=given_on,
            given_time=given_time,
            expires_on=expires_on,
            ceiling=ceiling,
            limits=limits,
            document=document,
            recorded_by=by,
            recorded_at=at,
        )
        given = datetime.datetime.combine(given_on, given_time or datetime.time.min, tzinfo=client.zone)
        looked_at = RedFlagReport.objects.of(client).locking().filter(reported_at__lt=min(given, at))
        looked_at.update(lifted_by=clearance)
        if client.state == ClientState.INTAKE:
            move_client(client, to=ClientState.ACTIVE, by=by, at=at)
    return clearance
