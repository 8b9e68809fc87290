"""Letters to people. Written with what caused them; a job sends them once."""

import datetime

from django.conf import settings
from django.core.mail import EmailMessage

import jobs
from clients.models import OutgoingMail, Practice


def request_mail(practice: Practice, *, to: str, subject: str, body: str) -> OutgoingMail:
    """Write a letter and ask for its delivery in the caller's transaction."""
    mail = OutgoingMail.objects.create(practice=practice, to=to, subject=subject, body=body)
    jobs.request("clients.send_mail", mail.pk, practice=practice.pk)
    return mail


def send_mail(mail_id: int, *, at: datetime.datetime) -> None:
    """Deliver a letter that was not sent yet.

    A mail server that took the letter just before we died gets it twice: the protocol has no idempotency. The
    Message-ID stays the same, so that a reader's mailbox can tell.
    """
    mail = OutgoingMail.objects.get(pk=mail_id)
    if mail.sent_at is not None:
        return
    EmailMessage(
        mail.subject, mail.body, settings.DEFAULT_FROM_EMAIL, [mail.to], headers={"Message-ID": f"<{mail.uuid}@purlin>"}
    ).send()
    OutgoingMail.objects.filter(pk=mail.pk, sent_at=None).update(sent_at=at)


def absolute(path: str) -> str:
    return settings.SITE_URL.rstrip("/") + path
