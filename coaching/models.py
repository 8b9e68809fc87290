"""The desk. Weekly rows, attention and suggestions are derived: deleted and computed again, they are the same.

What a coach decides about them is a fact, and keeps a copy of what it was decided on.
"""

import datetime
from typing import ClassVar

from django.db import models

from clients.models import ClientFact, ClientRow
from clients.models.base import ClientRowQuerySet
from coaching.choices import AttentionAnswer, AttentionKind, Decided


class DeskState(ClientRow):
    """When a client's derived rows were computed last, and for which of the client's days."""

    client = models.OneToOneField("clients.Client", on_delete=models.PROTECT, related_name="+")
    rebuilt_at = models.DateTimeField()
    day = models.DateField()


class UnseenChange(models.Model):
    """Something about this client was written that the derived rows do not know yet.

    The database leaves these with every change of what rebuild_client reads (jobs.guards.marks).
    """

    client = models.ForeignKey("clients.Client", on_delete=models.CASCADE, related_name="+", db_constraint=False)

    left_by_changes_of: ClassVar[tuple[str, ...]] = (
        "clients.BodyMass",
        "clients.CheckIn",
        "clients.Clearance",
        "clients.Client",
        "clients.ClientStateChange",
        "clients.ConsentEvent",
        "clients.EquipmentItem",
        "clients.PainReport",
        "clients.Place",
        "clients.ProtectedArea",
        "clients.RedFlagReport",
        "clients.Screening",
        "programs.Block",
        "programs.Excuse",
        "programs.ScheduledSession",
        "programs.SetLog",
        "programs.TrainingLog",
        "submissions.Review",
        "coaching.AttentionDecision",
    )


class WeeklyRow(ClientRow):
    """One client's Monday-to-Sunday week in numbers."""

    monday = models.DateField()
    planned = models.PositiveSmallIntegerField(default=0)
    done = models.PositiveSmallIntegerField(default=0)
    partly = models.PositiveSmallIntegerField(default=0)
    skipped = models.PositiveSmallIntegerField(default=0)
    excused = models.PositiveSmallIntegerField(default=0)
    not_recorded = models.PositiveSmallIntegerField(default=0)
    work_sets = models.PositiveSmallIntegerField(default=0)
    hard_sets = models.DecimalField(max_digits=7, decimal_places=2, default=0)
    volume_load_kg = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    # Sets whose load in kg is not known, so that the sum above can say what it leaves out.
    sets_without_load = models.PositiveSmallIntegerField(default=0)
    hold_s = models.PositiveIntegerField(default=0)
    session_load_au = models.DecimalField(max_digits=10, decimal_places=2, null=True)
    sessions_without_effort = models.PositiveSmallIntegerField(default=0)
    pain_max = models.PositiveSmallIntegerField(null=True)
    # {"hpush": "6.5", ...}: hard sets per pattern.
    by_pattern = models.JSONField(default=dict)

    class Meta:
        ordering = ["monday"]
        constraints = [models.UniqueConstraint(fields=["client", "monday"], name="one_row_per_client_week")]


class Observation(ClientRow):
    """What the rules saw about one movement of one client: verdict, numbers, reason."""

    lineage = models.UUIDField()
    movement_name = models.CharField(max_length=120)
    verdict = models.CharField(max_length=20)
    reason = models.CharField(max_length=500)
    numbers = models.JSONField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["client", "lineage"], name="one_observation_per_lineage")]


class AttentionItemQuerySet(ClientRowQuerySet):
    def shown(self, on: datetime.date) -> "AttentionItemQuerySet":
        """Without what was put away."""
        return self.filter(models.Q(put_away_until=None) | models.Q(put_away_until__lte=on))


class AttentionItem(ClientRow):
    """A reason why this client needs the coach, with the numbers behind it."""

    # Names the same reason again after a rebuild: kind and what it is about.
    key = models.CharField(max_length=120)
    kind = models.CharField(max_length=20, choices=AttentionKind)
    rank = models.PositiveSmallIntegerField()
    since = models.DateField()
    reason = models.CharField(max_length=500)
    source = models.CharField(max_length=300, blank=True)
    numbers = models.JSONField(default=dict)
    # From the newest decision about it (domain.deciding); beside the item, so that a page need not read decisions.
    put_away_until = models.DateField(null=True, blank=True)

    objects = AttentionItemQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta:
        ordering = ["rank", "since", "uuid"]
        constraints = [models.UniqueConstraint(fields=["client", "key"], name="one_item_per_reason")]
        # The order of the desk, so that a page of it is read from the index.
        indexes = [models.Index(fields=["practice", "rank", "since", "uuid"], name="attention_in_desk_order")]


class AttentionDecision(ClientFact):
    """A coach dealt with an attention item, or wants to see it later."""

    key = models.CharField(max_length=120)
    answer = models.CharField(max_length=10, choices=AttentionAnswer)
    # The item as it was: a reason that comes back with newer numbers is shown again.
    since = models.DateField()
    numbers = models.JSONField(default=dict)
    until = models.DateField(null=True, blank=True)
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()


class Suggestion(ClientRow):
    """A step for the next block that the rules propose, with evidence. A person decides."""

    key = models.CharField(max_length=120)
    lineage = models.UUIDField()
    movement_name = models.CharField(max_length=120)
    action = models.CharField(max_length=30)
    rule = models.CharField(max_length=60)
    # methods.progression.Dose as a mapping.
    from_dose = models.JSONField()
    to_dose = models.JSONField()
    reasons = models.JSONField()
    sources = models.JSONField()
    numbers = models.JSONField()

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["client", "key"], name="one_suggestion_per_key")]


class SuggestionDecision(ClientFact):
    """What a coach decided about a suggestion, with the suggestion as it was."""

    key = models.CharField(max_length=120)
    lineage = models.UUIDField()
    decided = models.CharField(max_length=10, choices=Decided)
    suggestion = models.JSONField()
    # The dose that goes into the next block; of an edited suggestion the coach's own.
    dose = models.JSONField()
    reason = models.CharField(max_length=500, blank=True)
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta(ClientFact.Meta):
        constraints: ClassVar = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["client", "key"],
                condition=models.Q(is_current=True, erased_at=None),
                name="one_current_decision_per_suggestion",
            ),
        ]
