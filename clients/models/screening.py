"""Whether it is safe to start, how hard, and until when."""

from django.db import models
from django.db.models import Q

from clients.choices import Ceiling, Lane
from clients.models.base import ClientFact, ClientRow, FactQuerySet


class Screening(ClientFact):
    """The outcome of the pre-participation algorithm on what the client answered (methods.screening)."""

    intake = models.ForeignKey("clients.Intake", null=True, on_delete=models.PROTECT, related_name="+")
    code = models.CharField(max_length=2, blank=True)
    outcome = models.CharField(max_length=20)
    ceiling = models.CharField(max_length=10, choices=Ceiling)
    needs_clearance = models.BooleanField()
    decided_at = models.DateTimeField()
    expires_on = models.DateField(null=True)
    # The inputs the rule saw, so that the outcome can be computed again.
    inputs = models.JSONField()

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["client"], condition=Q(is_current=True, erased_at=None), name="one_current_screening"
            ),
        ]


class Clearance(ClientFact):
    """What a licensed professional allowed, as the coach recorded it."""

    screening = models.ForeignKey(Screening, null=True, on_delete=models.PROTECT, related_name="+")
    clinician_role = models.CharField(max_length=100)
    given_on = models.DateField()
    # On the client's clock. Without it, the clearance speaks about the days before it only.
    given_time = models.TimeField(null=True, blank=True)
    expires_on = models.DateField()
    ceiling = models.CharField(max_length=10, choices=Ceiling)
    limits = models.TextField(max_length=2000)
    # A photo or file of the letter: a storage name below MEDIA_ROOT, made by us.
    document = models.CharField(max_length=200, blank=True)
    recorded_by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()


class RedFlagQuerySet(FactQuerySet):
    def locking(self) -> "RedFlagQuerySet":
        return self.filter(locks=True, lifted_by=None, erased_at=None)


class RedFlagReport(ClientRow):
    """Warning signs that someone ticked. Fixed text at once; a lock opens only with a clearance."""

    groups = models.JSONField()
    items = models.JSONField()
    lane = models.CharField(max_length=10, choices=Lane)
    locks = models.BooleanField()
    source = models.CharField(max_length=20)
    reported_at = models.DateTimeField()
    seen_by = models.ForeignKey("clients.User", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    seen_at = models.DateTimeField(null=True, blank=True)
    lifted_by = models.ForeignKey(Clearance, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    erased_at = models.DateTimeField(null=True, blank=True)

    objects = RedFlagQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash
    fact_open_columns = ("seen_by_id", "seen_at", "lifted_by_id")
    fact_columns_set_once = fact_open_columns
