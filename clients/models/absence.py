from django.db import models
from django.db.models import F, Q

from clients.choices import PromisesMeanwhile
from clients.models.base import PracticeRow


class Absence(PracticeRow):
    """A coach is away. Who covers gets the clients for just that time, by assignments that end with it."""

    coach = models.ForeignKey("clients.Membership", on_delete=models.PROTECT, related_name="+")
    cover = models.ForeignKey("clients.Membership", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    from_at = models.DateTimeField()
    until_at = models.DateTimeField()
    promises = models.CharField(max_length=12, choices=PromisesMeanwhile, default=PromisesMeanwhile.KEPT)
    # What the clients were told, as it was edited.
    message = models.TextField(max_length=2000, blank=True)
    told_at = models.DateTimeField(null=True, blank=True)
    made_by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    # Came back early, or it was called off.
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(until_at__gt=F("from_at")), name="absence_ends_after_start"),
            models.CheckConstraint(condition=Q(cover=None) | ~Q(cover=F("coach")), name="nobody_covers_for_themself"),
        ]
        indexes = [models.Index(fields=["coach", "from_at"])]
