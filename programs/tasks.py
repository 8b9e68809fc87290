"""Background work of the training room."""

import datetime

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

import jobs


@jobs.task("programs.recompute_sets", label=_("Working out the figures of sets again"))
def recompute_sets(client_id: int) -> None:
    from clients.models import Client  # noqa: PLC0415 -- task
    from programs.domain import figures  # noqa: PLC0415 -- task

    figures.recompute_sets(Client.objects.get(pk=client_id))


@jobs.periodic(
    "programs.request_recomputing",
    label=_("Looking for sets whose figures have to be worked out again"),
    every=datetime.timedelta(minutes=1),
)
def request_recomputing() -> None:
    from programs.domain import figures  # noqa: PLC0415 -- task

    figures.request_recomputing(at=timezone.now())
