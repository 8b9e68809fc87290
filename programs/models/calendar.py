import datetime
import uuid

from django.db import models
from django.db.models import Q

from clients.models import ClientRow
from clients.models.base import ClientRowQuerySet
from programs.choices import SessionState, SkipReason
from programs.models.blocks import BlockSession


class ScheduledSessionQuerySet(ClientRowQuerySet):
    def on_the_plan(self) -> "ScheduledSessionQuerySet":
        """Without what moved away or was withdrawn by a new revision."""
        return self.exclude(state__in=[SessionState.MOVED, SessionState.WITHDRAWN])

    def between(self, first: datetime.date, last: datetime.date) -> "ScheduledSessionQuerySet":
        return self.filter(on__gte=first, on__lte=last)


class ScheduledSession(ClientRow):
    """A session on a day. The state follows the client's log; a planned day that has passed is "not recorded"."""

    session = models.ForeignKey(BlockSession, on_delete=models.PROTECT, related_name="scheduled")
    lineage = models.UUIDField(default=uuid.uuid4)
    on = models.DateField()
    time_zone = models.CharField(max_length=64)
    state = models.CharField(max_length=12, choices=SessionState, default=SessionState.PLANNED)
    reason = models.CharField(max_length=10, choices=SkipReason, blank=True)
    moved_from = models.OneToOneField("self", null=True, blank=True, on_delete=models.PROTECT, related_name="moved_to")

    objects = ScheduledSessionQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta:
        ordering = ["on", "pk"]
        indexes = [models.Index(fields=["client", "on"])]
        constraints = [
            models.UniqueConstraint(
                fields=["session"],
                condition=~Q(state__in=["moved", "withdrawn"]),
                name="a_block_session_stands_on_one_day",
            ),
        ]

    def state_on(self, today: datetime.date) -> SessionState:
        if self.state == SessionState.PLANNED and self.on < today:
            return SessionState.UNKNOWN
        return SessionState(self.state)
