"""Background work of the desk."""

import datetime

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

import jobs


@jobs.task("coaching.rebuild_client", label=_("Working out weeks, attention and suggestions of a client again"))
def rebuild_client(client_id: int) -> None:
    from clients.models import Client  # noqa: PLC0415 -- task
    from coaching.domain import rebuild  # noqa: PLC0415 -- task

    rebuild.rebuild_client(Client.objects.get(pk=client_id), at=timezone.now())


@jobs.periodic(
    "coaching.rebuild_changed",
    label=_("Looking for clients about whom something new is known"),
    every=datetime.timedelta(seconds=30),
)
def rebuild_changed() -> None:
    """Ask for a rebuild of every client about whom something new is known."""
    from coaching.domain import rebuild  # noqa: PLC0415 -- task

    rebuild.request_rebuilds(at=timezone.now())


@jobs.task("coaching.make_data_copy", label=_("Making a copy of a client's data"), lease_seconds=60)
def make_data_copy(copy_id: int) -> None:
    from coaching.domain import data_copy  # noqa: PLC0415 -- task

    data_copy.make_copy(copy_id, at=timezone.now())


@jobs.periodic("coaching.remove_old_copies", label=_("Removing copies of data that were kept a week"), hour=4)
def remove_old_copies() -> None:
    from coaching.domain import data_copy  # noqa: PLC0415 -- task

    data_copy.remove_old_copies(at=timezone.now())
