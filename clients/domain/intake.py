"""The intake: answers saved step by step as versions, finished once, with the screening outcome at the end."""

import datetime
from typing import Any

from django.db import transaction

from clients.choices import ClientState, ConsentKind
from clients.domain.consent import has_consent
from clients.domain.history import move_client
from clients.domain.screening import screen_client
from clients.domain.versions import supersede
from clients.errors import ConsentMissing, GuardianNeeded, IntakeIncomplete
from clients.library.intake import QUESTIONS, STEPS, Step
from clients.models import Client, Intake, IntakeAnswer, Screening, User


def open_intake(client: Client, *, at: datetime.datetime) -> Intake:
    """The intake under way, or a new one. A new one starts from the last one's answers, but for health."""
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        current = Intake.objects.filter(client=client, finished_at=None).first()
        return current or Intake.objects.create(practice_id=client.practice_id, client=client, started_at=at)


def last_finished(client: Client) -> Intake | None:
    return Intake.objects.filter(client=client).exclude(finished_at=None).order_by("-finished_at").first()


def save_answers(intake: Intake, answers: dict[str, Any], *, by: User, at: datetime.datetime) -> None:
    """Keep a step's answers. A changed one is a new version; the same one again keeps nothing.

    Raises ConsentMissing before a health question without the consent, GuardianNeeded past the age question.
    """
    client = intake.client
    if any(QUESTIONS[code].is_health for code in answers) and not has_consent(client, ConsentKind.HEALTH):
        raise ConsentMissing
    if client.needs_guardian and "age" not in answers:
        raise GuardianNeeded
    with transaction.atomic():
        Intake.objects.select_for_update().get(pk=intake.pk)
        for code, value in answers.items():
            _save_answer(intake, code, value, by=by, at=at)
        _keep_on_client(client, answers)


def _save_answer(intake: Intake, code: str, value: Any, *, by: User, at: datetime.datetime) -> None:
    current = IntakeAnswer.objects.current().filter(intake=intake, question=code).first()
    if current is not None and current.value == value:
        return
    version = IntakeAnswer(
        practice_id=intake.practice_id,
        client_id=intake.client_id,
        intake=intake,
        question=code,
        value=value,
        answered_at=at,
        answered_by=by,
    )
    supersede(current, version)


def _keep_on_client(client: Client, answers: dict[str, Any]) -> None:
    """What the rest of the house reads from the client's row."""
    fields = {"country": "country", "time_zone": "time_zone"}
    changed = [field for code, field in fields.items() if code in answers]
    for code, field in fields.items():
        if code in answers:
            setattr(client, field, answers[code])
    if "age" in answers:
        client.needs_guardian = answers["age"] < client.practice.minimum_age
        changed.append("needs_guardian")
    if changed:
        client.save(update_fields=changed)
