"""What happened. Facts with ids made on the client's device, so that sending twice stores once."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from clients.choices import MassUnit
from clients.models import ClientFact, FactQuerySet
from programs.choices import Grip, LoggedSide, Outcome, SetKind, ShareBasis, SkipReason
from programs.models.blocks import Prescription
from programs.models.calendar import ScheduledSession
from programs.models.movements import MovementRevision


class DeviceFactQuerySet(FactQuerySet):
    def counting(self) -> "DeviceFactQuerySet":
        """The newest versions that nobody took back: what figures and pages go by."""
        return self.current().filter(is_withdrawn=False)


class DeviceFact(ClientFact):
    """A fact told by a device: its own clock and zone, and the training day that never moves."""

    training_day = models.DateField()
    time_zone = models.CharField(max_length=64)
    device_at = models.DateTimeField()
    received_at = models.DateTimeField()
    # Hash of what was sent, so that the same id with other content is a conflict and not a repeat.
    sent_sha256 = models.CharField(max_length=64)
    # A correction that takes the entry back.
    is_withdrawn = models.BooleanField(default=False)

    objects = DeviceFactQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta(ClientFact.Meta):
        abstract = True


class TrainingLog(DeviceFact):
    """What the client says about a whole session: outcome, effort, minutes."""

    scheduled = models.ForeignKey(ScheduledSession, on_delete=models.PROTECT, related_name="logs")
    outcome = models.CharField(max_length=12, choices=Outcome)
    skip_reason = models.CharField(max_length=10, choices=SkipReason, blank=True)
    # Category-ratio 0 to 10, asked once about the whole session (Foster 2001).
    session_rpe = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MaxValueValidator(10)])
    minutes = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MaxValueValidator(600)])
    # A "no" is kept and erases nothing that was told before; a "yes" asks where (programs.domain.session_pain).
    anything_hurt = models.BooleanField(null=True, blank=True)
    note = models.CharField(max_length=1000, blank=True)
    place = models.ForeignKey("clients.Place", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    # Computed by methods when written.
    session_load_au = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)

    class Meta(DeviceFact.Meta):
        indexes = [models.Index(fields=["client", "training_day"])]
        constraints = [
            *DeviceFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["scheduled"],
                condition=Q(is_current=True, erased_at=None, is_withdrawn=False),
                name="one_current_log_per_session",
            ),
            models.CheckConstraint(
                condition=Q(session_rpe=None) | Q(session_rpe__lte=10), name="session_rpe_is_0_to_10"
            ),
            models.CheckConstraint(condition=~Q(outcome="skipped") | ~Q(skip_reason=""), name="skipped_has_a_reason"),
        ]


class SetLog(DeviceFact):
    """One set really done. Left and right of one set are one set with two sides."""

    scheduled = models.ForeignKey(ScheduledSession, on_delete=models.PROTECT, related_name="sets")
    prescription = models.ForeignKey(Prescription, null=True, on_delete=models.PROTECT, related_name="+")
    # Of the prescription it followed; joins revisions and blocks.
    lineage = models.UUIDField(db_index=True)
    movement = models.ForeignKey(MovementRevision, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=10, choices=SetKind, default=SetKind.WORK)
    number = models.PositiveSmallIntegerField(validators=[MinValueValidator(1)])
    side = models.CharField(max_length=6, choices=LoggedSide, default=LoggedSide.BOTH)
    repetitions = models.PositiveSmallIntegerField(null=True, blank=True)
    seconds = models.PositiveSmallIntegerField(null=True, blank=True)
    metres = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    load_entered = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    load_unit = models.CharField(max_length=2, choices=MassUnit, blank=True)
    load_kg = models.DecimalField(max_digits=8, decimal_places=3, null=True, blank=True)
    assistance_kg = models.DecimalField(max_digits=8, decimal_places=3, null=True, blank=True)
    grip = models.CharField(max_length=10, choices=Grip, blank=True)
    rir = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    place = models.ForeignKey("clients.Place", null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    # Computed by methods when written, and again when a fact they rest on is corrected; SQL only sums them.
    body_mass_kg = models.DecimalField(max_digits=7, decimal_places=3, null=True, blank=True)
    body_mass_on = models.DateField(null=True, blank=True)
    share = models.DecimalField(max_digits=5, decimal_places=4, null=True, blank=True)
    share_basis = models.CharField(max_length=10, choices=ShareBasis, blank=True)
    system_load_kg = models.DecimalField(max_digits=8, decimal_places=3, null=True, blank=True)
    system_load_unknown = models.CharField(max_length=120, blank=True)
    volume_load_kg = models.DecimalField(max_digits=10, decimal_places=3, null=True, blank=True)
    hold_kg_s = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    hard_set = models.DecimalField(max_digits=4, decimal_places=3, default=0)

    fact_open_columns = (
        *ClientFact.fact_open_columns,
        "body_mass_kg",
        "body_mass_on",
        "share",
        "share_basis",
        "system_load_kg",
        "system_load_unknown",
        "volume_load_kg",
        "hold_kg_s",
        "hard_set",
    )

    class Meta(DeviceFact.Meta):
        indexes = [
            models.Index(fields=["client", "training_day"]),
            models.Index(fields=["client", "lineage"]),
        ]
        constraints = [
            *DeviceFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["scheduled", "lineage", "kind", "number", "side"],
                condition=Q(is_current=True, erased_at=None, is_withdrawn=False),
                name="one_current_log_per_set_and_side",
            ),
            models.CheckConstraint(
                condition=Q(erased_at__isnull=False)
                | Q(repetitions__isnull=False)
                | Q(seconds__isnull=False)
                | Q(metres__isnull=False),
                name="a_set_has_an_amount",
            ),
            models.CheckConstraint(
                condition=Q(load_entered=None, load_kg=None) | Q(load_entered__isnull=False, load_kg__isnull=False),
                name="logged_load_as_entered_and_in_kg",
            ),
        ]
