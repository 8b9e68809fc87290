"""Background work of the people's room."""

from django.utils import timezone

import jobs


@jobs.task("clients.send_mail")
def send_mail(mail_id: int) -> None:
    from clients.domain import mail  # noqa: PLC0415 -- task

    mail.send_mail(mail_id, at=timezone.now())
