"""What a client can do now, told test by test; who asked for it; and the maxima that percentages go by."""

from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from clients.choices import MassUnit
from clients.models import ClientFact, FactQuerySet
from programs.choices import (
    BaselineEnd,
    BaselineSkip,
    BaselineState,
    BaselineStop,
    LoggedSide,
    MaxOfWhat,
    MaxSource,
    NormSex,
)
from programs.models.movements import MovementRevision


class TakenBackQuerySet(FactQuerySet):
    def counting(self) -> "TakenBackQuerySet":
        """The newest versions that nobody took back."""
        return self.current().filter(is_withdrawn=False)


class BaselineRequest(ClientFact):
    """A coach asks a client for a baseline. Answered by the first run that is finished after it."""

    words = models.CharField(max_length=500, blank=True)
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    is_withdrawn = models.BooleanField(default=False)

    objects = TakenBackQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["client"],
                condition=Q(is_current=True, erased_at=None, is_withdrawn=False),
                name="one_open_baseline_request",
            ),
        ]


class BaselineRun(ClientFact):
    """One going through the tests, on one day or some. Finished once; what it holds are its results."""

    started_on = models.DateField()
    time_zone = models.CharField(max_length=64)
    started_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True, blank=True)

    fact_open_columns: ClassVar[tuple[str, ...]] = (*ClientFact.fact_open_columns, "finished_at")
    fact_columns_set_once: ClassVar[tuple[str, ...]] = ("finished_at",)

    class Meta(ClientFact.Meta):
        indexes = [models.Index(fields=["client", "-started_on"])]
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["client"],
                condition=Q(is_current=True, erased_at=None, finished_at=None),
                name="one_baseline_under_way",
            ),
        ]


class BaselineTest(ClientFact):
    """One test of a run as the client told it: how much, how it ended and how it was set up; or why it was left out."""

    run = models.ForeignKey(BaselineRun, on_delete=models.PROTECT, related_name="+")
    # Of programs.library.battery, and the edition of its wording.
    test = models.CharField(max_length=40)
    edition = models.PositiveSmallIntegerField()
    on = models.DateField()
    time_zone = models.CharField(max_length=64)
    told_at = models.DateTimeField()
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    # Hash of what was sent, so that the same id with other content is a conflict and not a repeat.
    sent_sha256 = models.CharField(max_length=64)
    state = models.CharField(max_length=8, choices=BaselineState)
    skip_reason = models.CharField(max_length=10, choices=BaselineSkip, blank=True)
    # How it was to end, and what ended it.
    planned_end = models.CharField(max_length=8, choices=BaselineEnd, blank=True)
    ended_by = models.CharField(max_length=8, choices=BaselineEnd, blank=True)
    stopped_because = models.CharField(max_length=10, choices=BaselineStop, blank=True)
    # The way it was done where the test knows several: on toes or on knees.
    way = models.CharField(max_length=20, blank=True)
    side = models.CharField(max_length=6, choices=LoggedSide, default=LoggedSide.BOTH)
    repetitions = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MaxValueValidator(1000)])
    seconds = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MaxValueValidator(7200)])
    centimetres = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    rir = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    # Of the body from the vertical; of the seat.
    angle_deg = models.PositiveSmallIntegerField(null=True, blank=True)
    height_cm = models.PositiveSmallIntegerField(null=True, blank=True)
    hurt = models.BooleanField(default=False)
    note = models.CharField(max_length=1000, blank=True)

    class Meta(ClientFact.Meta):
        indexes = [models.Index(fields=["client", "test", "on"])]
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["run", "test", "side"],
                condition=Q(is_current=True, erased_at=None),
                name="one_result_per_test_and_side",
            ),
            models.CheckConstraint(
                condition=Q(erased_at__isnull=False)
                | Q(state="skipped", repetitions=None, seconds=None, centimetres=None)
                | Q(state="done", repetitions__isnull=False, seconds=None, centimetres=None)
                | Q(state="done", repetitions=None, seconds__isnull=False, centimetres=None)
                | Q(state="done", repetitions=None, seconds=None, centimetres__isnull=False),
                name="a_baseline_test_has_one_amount",
            ),
            models.CheckConstraint(
                condition=Q(erased_at__isnull=False) | ~Q(state="skipped") | ~Q(skip_reason=""),
                name="a_test_left_out_has_a_reason",
            ),
            models.CheckConstraint(
                condition=Q(erased_at__isnull=False) | ~Q(ended_by="stopped") | ~Q(stopped_because=""),
                name="a_test_stopped_early_says_why",
            ),
        ]


class NormDetail(ClientFact):
    """By which rows of published tables a client wants to be read. Optional, and used for nothing else."""

    sex = models.CharField(max_length=6, choices=NormSex, blank=True)
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["client"], condition=Q(is_current=True, erased_at=None), name="one_current_norm_detail"
            ),
        ]


class ReferenceMax(ClientFact):
    """What a client can lift once in one movement, set by a coach on a day: percentages of a plan are of this."""

    # The movement under its library name: a later revision of it is the same movement here.
    slug = models.SlugField(max_length=80)
    movement = models.ForeignKey(MovementRevision, on_delete=models.PROTECT, related_name="+")
    on = models.DateField()
    load_entered = models.DecimalField(max_digits=7, decimal_places=2)
    load_unit = models.CharField(max_length=2, choices=MassUnit)
    load_kg = models.DecimalField(max_digits=8, decimal_places=3, validators=[MinValueValidator(0)])
    # What was lifted or added, or everything that was moved, body mass included.
    of_what = models.CharField(max_length=8, choices=MaxOfWhat)
    source = models.CharField(max_length=10, choices=MaxSource)
    # Where it was estimated: the formula, and the set that it was estimated from.
    formula = models.CharField(max_length=20, blank=True)
    from_load_kg = models.DecimalField(max_digits=8, decimal_places=3, null=True, blank=True)
    from_repetitions = models.PositiveSmallIntegerField(null=True, blank=True)
    # The body mass and share that a system load rests on.
    body_mass_kg = models.DecimalField(max_digits=7, decimal_places=3, null=True, blank=True)
    note = models.CharField(max_length=500, blank=True)
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    is_withdrawn = models.BooleanField(default=False)

    objects = TakenBackQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["client", "slug"],
                condition=Q(is_current=True, erased_at=None, is_withdrawn=False),
                name="one_reference_max_per_movement",
            ),
            models.CheckConstraint(
                condition=Q(erased_at__isnull=False) | Q(load_kg__gt=0, load_kg__lte=1000),
                name="reference_max_is_plausible",
            ),
            models.CheckConstraint(
                condition=Q(erased_at__isnull=False)
                | Q(source="estimated", from_load_kg__isnull=False, from_repetitions__isnull=False) & ~Q(formula="")
                | ~Q(source="estimated") & Q(from_load_kg=None, from_repetitions=None, formula=""),
                name="an_estimate_says_from_what",
            ),
        ]
