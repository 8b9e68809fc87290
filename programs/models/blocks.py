"""What should happen: block -> session -> section -> group -> prescription."""

import datetime
import uuid
from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from clients.choices import Ceiling, MassUnit
from clients.models import ClientRow, PracticeRow
from programs.choices import BlockState, GroupKind, RepScheme, SectionKind, SetKind
from programs.models.movements import MovementRevision


class Block(ClientRow):
    """Some weeks of training for one client. Published, it is frozen; a change is the next revision of its lineage."""

    lineage = models.UUIDField(default=uuid.uuid4, editable=False)
    revision = models.PositiveSmallIntegerField(default=1)
    previous = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    title = models.CharField(max_length=120)
    state = models.CharField(max_length=10, choices=BlockState, default=BlockState.DRAFT)
    starts_on = models.DateField()
    weeks = models.PositiveSmallIntegerField(validators=[MinValueValidator(1), MaxValueValidator(16)])
    # What the client reads: what changes in this block, and why.
    message = models.TextField(blank=True, max_length=4000)
    # Goes up with every saved edit of a draft; two people at once are told (programs.errors.EditedMeanwhile).
    version = models.PositiveIntegerField(default=0)
    written_by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    published_at = models.DateTimeField(null=True, blank=True)
    published_by = models.ForeignKey("clients.User", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    # The outcome it was published under: no block starts without one.
    screening = models.ForeignKey(
        "clients.Screening", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    ceiling = models.CharField(max_length=10, choices=Ceiling, default=Ceiling.NONE)
    # Why the coach stresses an area that the client protects. Advice only: what is barred is never loaded.
    protected_because = models.TextField(blank=True, max_length=500)
    # The week with less of everything, by which the coach stepped the weeks.
    deload_week = models.PositiveSmallIntegerField(null=True, blank=True)
    template = models.ForeignKey(
        "programs.BlockTemplate", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    # What a template became for this client, each entry with its reason (programs.domain.placing). The coach has read
    # it before anything is published.
    placed = models.JSONField(default=list, blank=True)

    frozen_fields_once_published: ClassVar[tuple[str, ...]] = (
        "lineage",
        "revision",
        "previous_id",
        "title",
        "starts_on",
        "weeks",
        "message",
        "published_at",
        "published_by_id",
        "screening_id",
        "ceiling",
        "protected_because",
        "deload_week",
        "template_id",
        "placed",
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["lineage", "revision"], name="one_block_revision_of_a_number"),
            models.UniqueConstraint(
                fields=["lineage"], condition=Q(state="published"), name="one_published_revision_per_lineage"
            ),
            models.CheckConstraint(
                condition=Q(state="draft")
                | (Q(screening__isnull=False, published_at__isnull=False) & ~Q(ceiling=Ceiling.NONE)),
                name="no_block_starts_without_an_outcome",
            ),
        ]

    @property
    def ends_on(self) -> datetime.date:
        return self.starts_on + datetime.timedelta(weeks=self.weeks, days=-1)

    @property
    def is_draft(self) -> bool:
        return self.state == BlockState.DRAFT


class BlockSession(PracticeRow):
    """A session of one week of a block. The same session in other weeks and revisions keeps its lineage."""

    block = models.ForeignKey(Block, on_delete=models.CASCADE, related_name="sessions")
    lineage = models.UUIDField(default=uuid.uuid4, editable=False)
    week = models.PositiveSmallIntegerField()
    weekday = models.PositiveSmallIntegerField(validators=[MaxValueValidator(6)])
    position = models.PositiveSmallIntegerField(default=0)
    name = models.CharField(max_length=120)

    frozen_when_published: ClassVar[str] = "block__state"

    class Meta:
        ordering = ["week", "weekday", "position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["block", "week", "lineage"], name="a_session_once_a_week"),
            models.CheckConstraint(condition=Q(week__gte=1, weekday__lte=6), name="session_has_a_day"),
        ]


class Section(PracticeRow):
    session = models.ForeignKey(BlockSession, on_delete=models.CASCADE, related_name="sections")
    kind = models.CharField(max_length=10, choices=SectionKind)
    position = models.PositiveSmallIntegerField(default=0)

    frozen_when_published: ClassVar[str] = "session__block__state"

    class Meta:
        ordering = ["position", "pk"]


class Group(PracticeRow):
    """Prescriptions that are done together: one alone, a pair in alternation, several in turn, or by the clock."""

    section = models.ForeignKey(Section, on_delete=models.CASCADE, related_name="groups")
    kind = models.CharField(max_length=10, choices=GroupKind, default=GroupKind.SINGLE)
    position = models.PositiveSmallIntegerField(default=0)
    # How long rounds go on.
    minutes = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MaxValueValidator(120)])
    # How often a set begins in "every minute": 60 s, or another time.
    interval_s = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MaxValueValidator(1200)])

    frozen_when_published: ClassVar[str] = "section__session__block__state"

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=(Q(kind=GroupKind.ROUNDS, minutes__gte=1) | (~Q(kind=GroupKind.ROUNDS) & Q(minutes=None))),
                name="rounds_have_a_time",
            ),
            models.CheckConstraint(
                condition=(
                    Q(kind=GroupKind.EVERY_MINUTE, interval_s__gte=10)
                    | (~Q(kind=GroupKind.EVERY_MINUTE) & Q(interval_s=None))
                ),
                name="every_minute_has_an_interval",
            ),
        ]


class Prescription(PracticeRow):
    """One movement's dose. Copies and later revisions keep the lineage, on which everything about it joins."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="prescriptions")
    lineage = models.UUIDField(default=uuid.uuid4, editable=False)
    position = models.PositiveSmallIntegerField(default=0)
    movement = models.ForeignKey(MovementRevision, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=10, choices=SetKind, default=SetKind.WORK)
    sets = models.PositiveSmallIntegerField(validators=[MinValueValidator(1), MaxValueValidator(20)])
    # In the movement's measure: reps, seconds or metres; low = high where there is no range.
    amount_low = models.PositiveSmallIntegerField(validators=[MinValueValidator(1)])
    amount_high = models.PositiveSmallIntegerField(validators=[MaxValueValidator(3600)])
    scheme = models.CharField(max_length=6, choices=RepScheme, default=RepScheme.RANGE)
    per_side = models.BooleanField(default=False)
    rest_s = models.PositiveSmallIntegerField(default=90, validators=[MaxValueValidator(1200)])
    # Eccentric-bottom-concentric-top in seconds, X for as fast as possible: "3-1-X-0".
    tempo = models.CharField(max_length=12, blank=True)
    target_rir = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    target_rpe = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    load_entered = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    load_unit = models.CharField(max_length=2, choices=MassUnit, blank=True)
    load_kg = models.DecimalField(max_digits=8, decimal_places=3, null=True, blank=True)
    # Of the client's reference max. The load in kg is worked out when the block is published, and stays.
    percent_of_max = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    reference_max = models.ForeignKey(
        "programs.ReferenceMax", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    assistance_kg = models.DecimalField(max_digits=8, decimal_places=3, null=True, blank=True)
    # One for all sets, or several that take turns: "pronated,neutral".
    grip = models.CharField(max_length=60, blank=True)
    # Repetitions of each part of a cluster set, and the rest between the parts.
    cluster_reps = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MinValueValidator(1)])
    rest_within_s = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MaxValueValidator(120)])
    cue = models.CharField(max_length=300, blank=True)
    # "And a minute of easy walking", "or the same from the other side": in the coach's words.
    and_or = models.CharField(max_length=200, blank=True)
    # What the client may take instead without asking: the easier one below so many, the harder one from so many on.
    easier = models.ForeignKey(MovementRevision, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    easier_below = models.PositiveSmallIntegerField(null=True, blank=True)
    harder = models.ForeignKey(MovementRevision, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    harder_from = models.PositiveSmallIntegerField(null=True, blank=True)
    # What changes from week to week when the weeks are stepped (programs.domain.stepping).
    step_sets = models.SmallIntegerField(default=0)
    step_amount = models.SmallIntegerField(default=0)
    step_rir = models.DecimalField(max_digits=3, decimal_places=1, default=0)
    step_load = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    # What the client reads beside it when it differs from the last block.
    change_reason = models.CharField(max_length=500, blank=True)

    frozen_when_published: ClassVar[str] = "group__section__session__block__state"

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(amount_low__lte=F("amount_high")), name="range_runs_upward"),
            models.CheckConstraint(condition=Q(amount_low__gte=1, sets__gte=1, sets__lte=20), name="dose_is_something"),
            models.CheckConstraint(condition=Q(target_rir=None) | Q(target_rpe=None), name="effort_by_rir_or_by_rpe"),
            models.CheckConstraint(
                condition=Q(load_entered=None, load_kg=None) | Q(load_entered__isnull=False, load_kg__isnull=False),
                name="planned_load_as_entered_and_in_kg",
            ),
            models.CheckConstraint(
                condition=Q(percent_of_max=None, reference_max=None) | Q(percent_of_max__gt=0, percent_of_max__lte=100),
                name="percent_of_a_max_is_1_to_100",
            ),
            models.CheckConstraint(
                condition=(
                    Q(kind=SetKind.CLUSTER, cluster_reps__gte=1, rest_within_s__gte=0)
                    | (~Q(kind=SetKind.CLUSTER) & Q(cluster_reps=None, rest_within_s=None))
                ),
                name="a_cluster_has_parts",
            ),
            models.CheckConstraint(
                condition=Q(easier=None, easier_below=None) | Q(easier__isnull=False, easier_below__gte=1),
                name="an_easier_option_has_its_limit",
            ),
            models.CheckConstraint(
                condition=Q(harder=None, harder_from=None) | Q(harder__isnull=False, harder_from__gte=1),
                name="a_harder_option_has_its_limit",
            ),
        ]
