"""The intake: answers saved step by step as versions, finished once, with the screening outcome at the end."""

import datetime
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.choices import Ceiling, ClientState, ConsentKind
from clients.domain.body import age_on
from clients.domain.consent import has_consent
from clients.domain.guardians import guardian_missing
from clients.domain.history import move_client
from clients.domain.mail import absolute, request_mail
from clients.domain.notices import coaches_to_wake
from clients.domain.screening import current_answers, screen_client
from clients.domain.versions import supersede
from clients.errors import ConsentMissing, GuardianNeeded, IntakeIncomplete
from clients.library.intake import GOALS, QUESTIONS, STEPS, Question, Step
from clients.models import Client, Goal, Intake, IntakeAnswer, Screening, User


def open_intake(client: Client, *, at: datetime.datetime) -> Intake:
    """The intake under way, or a new one. A new one starts from the last one's answers, but for health."""
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        current = Intake.objects.filter(client=client, finished_at=None).first()
        if current is not None:
            return current
        last = last_finished(client)
        fresh = Intake.objects.create(practice_id=client.practice_id, client=client, started_at=at)
        if last is not None:
            _carry_over(last, fresh)
        return fresh


def _carry_over(last: Intake, fresh: Intake) -> None:
    for answer in IntakeAnswer.objects.current().filter(intake=last):
        if answer.question in QUESTIONS and not QUESTIONS[answer.question].is_health:
            _save_answer(fresh, answer.question, answer.value, by=answer.answered_by, at=answer.answered_at)


def last_finished(client: Client) -> Intake | None:
    return Intake.objects.filter(client=client).exclude(finished_at=None).order_by("-finished_at").first()


def save_answers(intake: Intake, answers: dict[str, Any], *, by: User, at: datetime.datetime) -> None:
    """Keep a step's answers. A changed one is a new version; the same one again keeps nothing.

    Raises ConsentMissing before a health question without the consent, GuardianNeeded past the age question.
    """
    client = intake.client
    if any(QUESTIONS[code].is_health for code in answers) and not has_consent(client, ConsentKind.HEALTH):
        raise ConsentMissing
    if guardian_missing(client) and "born_on" not in answers:
        raise GuardianNeeded
    with transaction.atomic():
        Intake.objects.select_for_update().get(pk=intake.pk)
        for code, value in answers.items():
            _save_answer(intake, code, _plain(value), by=by, at=at)
        _keep_on_client(client, answers, on=at.astimezone(client.zone).date())


def _plain(value: Any) -> Any:
    """As it is stored: JSON knows neither days nor exact decimals."""
    if isinstance(value, datetime.date):
        return value.isoformat()
    return str(value) if isinstance(value, Decimal) else value


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


def finish_intake(intake: Intake, *, by: User, at: datetime.datetime) -> Screening:
    """Close the questionnaire and decide the outcome; a satisfied one makes the client active.

    Raises IntakeIncomplete with what is open. Finishing again returns the outcome there is.
    """
    with transaction.atomic():
        locked = Intake.objects.select_for_update().select_related("client__practice").get(pk=intake.pk)
        if locked.finished_at is not None:
            return Screening.objects.get(intake=locked, is_current=True)
        if guardian_missing(locked.client):
            raise GuardianNeeded
        if open_questions(locked):
            raise IntakeIncomplete
        outcome = screen_client(locked, at=at)
        locked.finished_at = at
        locked.save(update_fields=["finished_at"])
        _keep_goal(locked, by=by, at=at)
        if outcome.ceiling != Ceiling.NONE and locked.client.state == ClientState.INTAKE:
            move_client(locked.client, to=ClientState.ACTIVE, by=by, at=at)
        _tell_coach(locked.client)
    return outcome


def _keep_goal(intake: Intake, *, by: User, at: datetime.datetime) -> None:
    """What the client wants, as a goal of its own; the same goal again keeps nothing."""
    answers = current_answers(intake)
    label = str(dict(GOALS).get(answers.get("goal", ""), ""))
    said = {
        "words": (answers.get("goal_words") or label)[:500],
        "target": Decimal(answers["goal_target"]) if answers.get("goal_target") else None,
        "unit": answers.get("goal_unit") or "",
        "by_on": datetime.date.fromisoformat(answers["goal_by"]) if answers.get("goal_by") else None,
    }
    current = Goal.objects.current().filter(client=intake.client, reached_on=None).order_by("-said_at", "-pk").first()
    if current is not None and all(getattr(current, name) == value for name, value in said.items()):
        return
    version = Goal(practice_id=intake.practice_id, client_id=intake.client_id, said_by=by, said_at=at, **said)
    supersede(current, version)


@dataclass(frozen=True)
class Change:
    """An answer that differs from the one of the intake before."""

    question: Question
    before: Any
    now: Any


def changes_since_last(intake: Intake) -> list[Change]:
    """What a client answers differently from their intake before this one; empty for the first."""
    earlier = Intake.objects.filter(client=intake.client, finished_at__lt=intake.finished_at)
    last = earlier.order_by("-finished_at").first()
    if last is None:
        return []
    before, now = current_answers(last), current_answers(intake)
    return [
        Change(question, before.get(code), now.get(code))
        for code, question in QUESTIONS.items()
        if before.get(code) != now.get(code)
    ]


def open_questions(intake: Intake) -> list[str]:
    """Codes of required questions without an answer."""
    answers = current_answers(intake)
    return [code for code, question in QUESTIONS.items() if question.required and answers.get(code) is None]


def next_step(intake: Intake) -> Step:
    """The first step with an open question; the last one when none is open."""
    missing = set(open_questions(intake))
    for step in STEPS:
        if any(question.code in missing for question in step.questions):
            return step
    return STEPS[-1]


def _tell_coach(client: Client) -> None:
    for membership in coaches_to_wake(client):
        request_mail(
            client.practice,
            to=membership.user.email,
            subject=_("An intake was finished"),
            body=_("%(name)s has finished the intake:\n%(link)s")
            % {"name": client.name, "link": absolute(reverse("client-safety", args=[client.uuid]))},
        )


def _keep_on_client(client: Client, answers: dict[str, Any], *, on: datetime.date) -> None:
    """What the rest of the house reads from the client's row."""
    fields = {"country": "country", "time_zone": "time_zone"}
    changed = [field for code, field in fields.items() if code in answers]
    for code, field in fields.items():
        if code in answers:
            setattr(client, field, answers[code])
    if answers.get("born_on"):
        born = datetime.date.fromisoformat(str(answers["born_on"]))
        client.needs_guardian = age_on(born, on) < client.practice.minimum_age
        changed.append("needs_guardian")
    if changed:
        client.save(update_fields=changed)
