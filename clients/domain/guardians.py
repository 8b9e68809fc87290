"""Under the practice's age limit nothing works before a guardian has agreed, nor after they took it back."""

import datetime

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.choices import GuardianAnswer
from clients.domain.mail import absolute, request_mail
from clients.domain.notices import coaches_to_wake
from clients.domain.tokens import new_token, token_hash
from clients.domain.versions import supersede
from clients.errors import GuardianIsTheClient, GuardianLinkNotOpen
from clients.library.consents import GUARDIAN_CONSENT
from clients.models import Client, GuardianDecision, GuardianRequest

LINK_DAYS = 30


def guardian_missing(client: Client) -> bool:
    """Under the age limit, and no guardian's consent stands."""
    return client.needs_guardian and standing_decision(client) is None


def standing_decision(client: Client) -> GuardianDecision | None:
    decision = newest_decision(client)
    return decision if decision is not None and decision.answer == GuardianAnswer.AGREED else None


def newest_decision(client: Client) -> GuardianDecision | None:
    return GuardianDecision.objects.current().filter(client=client).order_by("-at", "-pk").first()


def ask_guardian(client: Client, *, name: str, email: str, relation: str, at: datetime.datetime) -> GuardianRequest:
    """Write to a guardian. An earlier letter that was not answered stops working. Raises GuardianIsTheClient."""
    if email.lower() in {client.email.lower(), client.user.email if client.user else ""}:
        raise GuardianIsTheClient
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        open_ones = GuardianRequest.objects.of(client).filter(answered_at=None, revoked_at=None)
        open_ones.update(revoked_at=at)
        token = new_token()
        request = GuardianRequest.objects.create(
            practice_id=client.practice_id,
            client=client,
            name=name,
            email=email.lower(),
            relation=relation,
            token_sha256=token_hash(token),
            sent_at=at,
            expires_at=at + datetime.timedelta(days=LINK_DAYS),
        )
        request_mail(
            client.practice,
            to=request.email,
            subject=_("%(client)s asks for your consent") % {"client": client.name},
            body=_(
                "Hello %(name)s,\n\n%(client)s would like to train with %(practice)s and is under the age at which the "
                "practice trains people without a guardian.\n\nPlease read what it is about, and decide:\n%(link)s\n\n"
                "Keep this letter: the same page lets you take a consent back."
            )
            % {
                "name": name,
                "client": client.name,
                "practice": client.practice.name,
                "link": absolute(reverse("guardian", args=[token])),
            },
        )
    return request


def request_behind(token: str, *, at: datetime.datetime) -> GuardianRequest:
    """The letter behind a link: to be answered, or answered and to be taken back. Raises GuardianLinkNotOpen."""
    rows = GuardianRequest.objects.filter(token_sha256=token_hash(token), revoked_at=None)
    request = rows.select_related("client__practice").first()
    if request is None or (request.answered_at is None and request.expires_at <= at):
        raise GuardianLinkNotOpen
    return request


def decide(
    request: GuardianRequest, *, agreed: bool, phone: str = "", at: datetime.datetime
) -> GuardianDecision | None:
    """Keep the guardian's answer with the text they saw. The same answer again keeps nothing. Coaches are told."""
    client = request.client
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        current = newest_decision(client)
        answer = _answer(agreed, had_agreed=standing_decision(client) is not None)
        if current is not None and current.answer == answer:
            return None
        decision = GuardianDecision(
            practice_id=client.practice_id,
            client=client,
            request=request,
            answer=answer,
            name=request.name,
            email=request.email,
            phone=phone,
            relation=request.relation,
            text_version=GUARDIAN_CONSENT.version,
            text=str(GUARDIAN_CONSENT.text),
            at=at,
        )
        supersede(current, decision)
        GuardianRequest.objects.filter(pk=request.pk).update(answered_at=at)
        _tell_coaches(client)
    return decision


def _answer(agreed: bool, *, had_agreed: bool) -> GuardianAnswer:
    if agreed:
        return GuardianAnswer.AGREED
    return GuardianAnswer.WITHDRAWN if had_agreed else GuardianAnswer.REFUSED


def _tell_coaches(client: Client) -> None:
    for membership in coaches_to_wake(client):
        request_mail(
            client.practice,
            to=membership.user.email,
            subject=_("A guardian has answered"),
            body=_("A guardian has answered. Open the client's page:\n%(link)s")
            % {"link": absolute(reverse("client-safety", args=[client.uuid]))},
        )
