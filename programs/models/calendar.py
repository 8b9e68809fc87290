import datetime
import uuid

from django.db import models
from django.db.models import F, Q

from clients.models import ClientFact, ClientRow, FactQuerySet
from clients.models.base import ClientRowQuerySet
from programs.choices import EXCUSES, SessionState, SkipReason
from programs.models.blocks import BlockSession

# An excused day without a log: the excuse is about the day, nobody has done anything about the session.
UNTOUCHED = (SessionState.PLANNED, SessionState.EXCUSED)


class ScheduledSessionQuerySet(ClientRowQuerySet):
    def untouched(self) -> "ScheduledSessionQuerySet":
        """Nothing was said or logged about them, not even what was taken back: a new revision may take their place."""
        return self.filter(state__in=UNTOUCHED, logs=None, sets=None)

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
    # Goes up along the lineage with every change, over moves and revisions: calendars tell old from new by it.
    changes = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField(auto_now=True)

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


class ExcuseQuerySet(FactQuerySet):
    def counting(self) -> "ExcuseQuerySet":
        """The newest versions that nobody took back."""
        return self.current().filter(is_withdrawn=False)

    def touching(self, first: datetime.date, last: datetime.date) -> "ExcuseQuerySet":
        return self.filter(first_on__lte=last, last_on__gte=first)


class Excuse(ClientFact):
    """Days on which a client does not have to train: ill, or travelling. Told by the client or a coach."""

    first_on = models.DateField()
    last_on = models.DateField()
    reason = models.CharField(max_length=10, choices=[(reason.value, reason.label) for reason in sorted(EXCUSES)])
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    # A version that takes the excuse back.
    is_withdrawn = models.BooleanField(default=False)

    objects = ExcuseQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta(ClientFact.Meta):
        indexes = [models.Index(fields=["client", "first_on"])]
        constraints = [
            *ClientFact.Meta.constraints,
            models.CheckConstraint(condition=Q(last_on__gte=F("first_on")), name="excuse_ends_after_its_start"),
            models.CheckConstraint(condition=Q(reason__in=sorted(EXCUSES)), name="excuse_is_for_a_reason"),
        ]


class CalendarFeed(ClientRow):
    """An address at which calendar programs read a client's sessions. Whoever knows it can read; a new one ends it."""

    token_sha256 = models.CharField(max_length=64, unique=True)
    # The time of day of every session, in that zone; without one, events are whole days.
    starts_at = models.TimeField(null=True, blank=True)
    time_zone = models.CharField(max_length=64)
    made_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    # When it was last asked for, to the hour.
    read_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["client"], condition=Q(revoked_at=None), name="one_calendar_feed_a_client"),
        ]
