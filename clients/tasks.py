"""Background work of the people's room."""

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

import jobs


@jobs.task("clients.send_mail", label=_("Sending a letter"))
def send_mail(mail_id: int) -> None:
    from clients.domain import mail  # noqa: PLC0415 -- task

    mail.send_mail(mail_id, at=timezone.now())


@jobs.task("clients.tell_owners_of_unopened", label=_("Telling owners that a client waits"))
def tell_owners_of_unopened(report_id: int) -> None:
    from clients.domain import notices  # noqa: PLC0415 -- task

    notices.tell_owners_of_unopened(report_id)


@jobs.task("clients.ask_next_morning", label=_("Asking how it was the next morning"))
def ask_next_morning(report_id: int) -> None:
    from clients.domain import pain  # noqa: PLC0415 -- task

    pain.ask_next_morning(report_id)


@jobs.periodic("clients.forget_enquiries", label=_("Forgetting old enquiries"), hour=3)
def forget_enquiries() -> None:
    from clients.domain import enquiring  # noqa: PLC0415 -- task

    enquiring.forget_enquiries(at=timezone.now())
