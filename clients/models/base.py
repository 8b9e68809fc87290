"""What all rows share: a public id, a practice that never changes, and versions of facts."""

import uuid
from typing import TYPE_CHECKING, ClassVar, Self

from django.db import models
from django.db.models import F, Q

if TYPE_CHECKING:
    from clients.models.people import Client, ClientQuerySet, User


class Row(models.Model):
    """The primary key stays inside; whatever leaves the house carries the uuid."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        abstract = True


class PracticeRow(Row):
    """A row of one practice, for good. The database refuses links across practices (jobs.guards)."""

    practice = models.ForeignKey("clients.Practice", on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True


class ClientRowQuerySet(models.QuerySet):
    """Every question about a client's rows starts from the person who asks."""

    def visible_to(self, user: "User") -> Self:
        return self.filter(client__in=_clients().visible_to(user))

    def coached_by(self, user: "User") -> Self:
        return self.filter(client__in=_clients().coached_by(user))

    def own(self, user: "User") -> Self:
        return self.filter(client__user_id=user.pk)

    def of(self, client: "Client") -> Self:
        return self.filter(client=client)


class FactQuerySet(ClientRowQuerySet):
    def current(self) -> Self:
        """The newest versions, without what was erased."""
        return self.filter(is_current=True, erased_at=None)


class ClientRow(PracticeRow):
    client = models.ForeignKey("clients.Client", on_delete=models.PROTECT, related_name="+")

    objects = ClientRowQuerySet.as_manager()

    class Meta:
        abstract = True


class ClientFact(ClientRow):
    """Something that was so. A correction is a new row that replaces the old one; erasure leaves a tombstone.

    The database refuses every other change and every delete (jobs.guards). New versions are stored by
    clients.domain.versions.supersede: the old one steps aside first, so that only one is ever current.
    """

    replaces = models.OneToOneField("self", null=True, blank=True, on_delete=models.PROTECT, related_name="replaced_by")
    is_current = models.BooleanField(default=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    objects = FactQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash
    fact_open_columns: ClassVar[tuple[str, ...]] = ("is_current",)

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                condition=Q(replaces=None) | ~Q(replaces=F("pk")), name="%(app_label)s_%(class)s_not_itself"
            )
        ]


def _clients() -> "ClientQuerySet":
    from clients.models.people import Client  # noqa: PLC0415 -- people builds on this module

    return Client.objects.all()
