"""Facts about the body: mass (only if the client likes), areas to protect, pain."""

import datetime
from typing import cast

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from clients.choices import Area, MassUnit, NextMorning, Side, SinceWhen
from clients.models.base import ClientFact, FactQuerySet


class BodyMassQuerySet(FactQuerySet):
    def counting(self) -> "BodyMassQuerySet":
        """The newest versions that were not taken back."""
        return self.current().filter(is_withdrawn=False)

    def for_day(self, day: datetime.date) -> "BodyMass | None":
        """The latest on or before the day, else the first after it."""
        before = self.counting().filter(on__lte=day).order_by("-on", "-pk").first()
        after = self.counting().filter(on__gt=day).order_by("on", "pk").first()
        return cast("BodyMass | None", before or after)


class BodyMass(ClientFact):
    """A dated body mass, as entered and in kg. One that was taken back is kept, and counts nowhere."""

    on = models.DateField()
    entered = models.DecimalField(max_digits=6, decimal_places=2)
    unit = models.CharField(max_length=2, choices=MassUnit)
    mass_kg = models.DecimalField(max_digits=7, decimal_places=3)
    is_withdrawn = models.BooleanField(default=False)

    objects = BodyMassQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(mass_kg__gte=20, mass_kg__lte=400) | ~Q(erased_at=None),
                name="body_mass_is_plausible",
            ),
        ]


class ProtectedArea(ClientFact):
    """An area to protect, with side and why. A barred area is never loaded; others are shown and warned about."""

    area = models.CharField(max_length=20, choices=Area)
    side = models.CharField(max_length=10, choices=Side)
    why = models.CharField(max_length=500, blank=True)
    barred = models.BooleanField(default=False)
    from_on = models.DateField()
    until_on = models.DateField(null=True, blank=True)


NRS = [MinValueValidator(0), MaxValueValidator(10)]


class PainReportQuerySet(FactQuerySet):
    def pains(self) -> "PainReportQuerySet":
        """The newest versions that tell of pain; usual muscle soreness is none."""
        return self.current().filter(is_soreness=False)

    def soreness(self) -> "PainReportQuerySet":
        return self.current().filter(is_soreness=True)


class PainReport(ClientFact):
    """Pain in one area on one day, 0 to 10, and what the published table answered (methods.pain).

    It is kept from the first answer on: whoever stops half-way has told where it hurts, and what is missing holds
    every progression of that area until it is told.
    """

    on = models.DateField()
    area = models.CharField(max_length=20, choices=Area)
    side = models.CharField(max_length=10, choices=Side)
    since = models.CharField(max_length=10, choices=SinceWhen, blank=True)
    # Both open warning signs of their own; None is untold, and counts as yes until those were asked.
    after_blow = models.BooleanField(null=True, blank=True)
    pin_point = models.BooleanField(null=True, blank=True)
    during = models.PositiveSmallIntegerField(null=True, blank=True, validators=NRS)
    after = models.PositiveSmallIntegerField(null=True, blank=True, validators=NRS)
    next_morning = models.CharField(max_length=10, choices=NextMorning, blank=True)
    # Called the usual muscle soreness by the client, and whether it is by the rule on what follows.
    said_soreness = models.BooleanField(null=True, blank=True)
    is_soreness = models.BooleanField(default=False)
    soreness_level = models.PositiveSmallIntegerField(null=True, blank=True, validators=NRS)
    in_joint = models.BooleanField(null=True, blank=True)
    sharp = models.BooleanField(null=True, blank=True)
    # At most so long after the training that explains it.
    soreness_hours = models.PositiveSmallIntegerField(null=True, blank=True)
    # The set, session or form it was told from; told again with the same id it is stored once.
    told_in = models.UUIDField(null=True, blank=True)
    movement_slug = models.CharField(max_length=80, blank=True)
    note = models.CharField(max_length=1000, blank=True)
    reported_at = models.DateTimeField()
    # True once the warning signs were asked and none was ticked; None while nobody has asked.
    flags_asked = models.BooleanField(null=True, blank=True)
    action = models.CharField(max_length=40)
    # None for soreness: the table was not asked.
    action_row = models.PositiveSmallIntegerField(null=True)
    # The table sends the client to a professional.
    refer = models.BooleanField(default=False)

    objects = PainReportQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.CheckConstraint(
                condition=(Q(during=None) | Q(during__lte=10)) & (Q(after=None) | Q(after__lte=10)),
                name="pain_is_0_to_10",
            ),
            models.CheckConstraint(
                condition=Q(is_soreness=False) | Q(said_soreness=True, during=None) | ~Q(erased_at=None),
                name="soreness_is_said_and_no_pain",
            ),
        ]
        indexes = [models.Index(fields=["client", "-on"])]

    @property
    def owes_morning(self) -> bool:
        """Something hurt, during or after (untold is not nothing), and nobody has said how the morning was."""
        hurt = self.during != 0 or bool(self.after)
        return not self.is_soreness and not self.next_morning and hurt
