"""Letters about an account. A person may belong to several practices, or to none any more; the letter has to go out."""

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction

from clients.domain.mail import request_mail
from clients.models import Client, Membership, Practice, User


def send_account_mail(user: User, *, to: str, subject: str, body: str) -> None:
    """Through the practice's outgoing mail, so that a job delivers it; at once for somebody without any practice."""
    practice = practice_for_mail(user)
    if practice is not None:
        # Of its own: the library's views hash passwords, and no transaction may wait for that.
        with transaction.atomic():
            request_mail(practice, to=to, subject=subject, body=body)
    else:
        EmailMessage(subject, body, settings.DEFAULT_FROM_EMAIL, [to]).send()


def practice_for_mail(user: User) -> Practice | None:
    """The practice whose post it is: where they are on the team, else where they are or were a client or coach."""
    rows = [
        Membership.objects.of(user).order_by("pk"),
        Client.objects.own(user).order_by("-pk"),
        Membership.objects.filter(user=user).order_by("-pk"),
    ]
    found = (row.select_related("practice").first() for row in rows)
    return next((row.practice for row in found if row is not None), None)
