"""The library: movements, their revisions, and the lines along which they get easier or harder."""

from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from clients.models import Client, Membership, Practice, Row, User
from programs.choices import LoadKind, Measure, Pattern, ShareBasis


class MovementQuerySet(models.QuerySet["Movement"]):
    def of(self, practice: Practice) -> "MovementQuerySet":
        """The shared library and the practice's own."""
        return self.filter(Q(practice=None) | Q(practice=practice))

    def offered_by(self, practice: Practice) -> "MovementQuerySet":
        """What a practice works with: not what it hid, and its own version in place of the shared one."""
        hidden = HiddenMovement.objects.filter(practice=practice).values("movement")
        own = Movement.objects.filter(practice=practice).exclude(current=None).values("slug")
        return self.of(practice).exclude(pk__in=hidden).exclude(practice=None, slug__in=own)

    def visible_to(self, user: User) -> "MovementQuerySet":
        """The shared library, and the movements of practices where this person coaches or is a client."""
        teams = Membership.objects.of(user).values("practice")
        houses = Client.objects.own(user).values("practice")
        return self.filter(Q(practice=None) | Q(practice__in=teams) | Q(practice__in=houses))


class Movement(Row):
    """A named movement; its revisions say what it needs and loads. Without a practice it is the shared library."""

    practice = models.ForeignKey(Practice, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    slug = models.SlugField(max_length=80)
    current = models.ForeignKey("MovementRevision", null=True, on_delete=models.PROTECT, related_name="+")

    objects = MovementQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["slug"], condition=Q(practice=None), name="library_slug_once"),
            models.UniqueConstraint(
                fields=["practice", "slug"], condition=~Q(practice=None), name="practice_slug_once"
            ),
        ]


class HiddenMovement(Row):
    """A movement that a practice does not want to be offered. What was planned or logged with it stays."""

    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="+")
    movement = models.ForeignKey(Movement, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["practice", "movement"], name="hidden_once")]


class MovementRevision(Row):
    """What was known about a movement when someone prescribed or logged it. A corrected share is a new revision."""

    movement = models.ForeignKey(Movement, on_delete=models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=120)
    pattern = models.CharField(max_length=12, choices=Pattern)
    measure = models.CharField(max_length=8, choices=Measure)
    one_sided = models.BooleanField(default=False)
    load_kind = models.CharField(max_length=12, choices=LoadKind)
    share = models.DecimalField(max_digits=5, decimal_places=4, null=True, blank=True)
    share_basis = models.CharField(max_length=10, choices=ShareBasis, blank=True)
    share_source = models.CharField(max_length=200, blank=True)
    # Any-of sets of clients.choices.ItemKind: [["bar"], ["rings"]] means a bar or rings.
    equipment = models.JSONField(default=list)
    # What a thing has to be like: {"bar": {"height_cm": 170}}, in the codes of clients.library.equipment.
    details = models.JSONField(default=dict, blank=True)
    grips = models.JSONField(default=list, blank=True)
    # Muscles and how much a set counts for each: {"lat": 1, "biceps": 0.5}.
    muscles = models.JSONField(default=dict)
    # Areas stressed, of clients.choices.Area.
    areas = models.JSONField(default=list)
    cautions = models.JSONField(default=list)
    # Intake answers that the cautions are about: ["special:pregnant"].
    caution_codes = models.JSONField(default=list, blank=True)
    cues = models.JSONField(default=list)
    set_up = models.TextField(blank=True)
    film_from = models.CharField(max_length=200, blank=True)
    # Straining by nature (all-out, head-down, jumping): never below a vigorous outcome.
    vigorous = models.BooleanField(default=False)
    # Only lowered, or lowered long: sore muscles follow the first sessions, so it starts small.
    lowering = models.BooleanField(default=False)

    fact_open_columns: ClassVar[tuple[str, ...]] = ()
    practice_path: ClassVar[str] = "movement__practice"

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["movement", "number"], name="one_revision_of_a_number"),
            models.CheckConstraint(
                condition=Q(share=None, share_basis="") | (Q(share__gt=0, share__lte=1) & ~Q(share_basis="")),
                name="a_share_says_where_it_comes_from",
            ),
        ]


class ProgressionLineQuerySet(models.QuerySet["ProgressionLine"]):
    def of(self, practice: Practice) -> "ProgressionLineQuerySet":
        """The shared ones and the practice's own."""
        return self.filter(Q(practice=None) | Q(practice=practice))

    def offered_by(self, practice: Practice | None) -> "ProgressionLineQuerySet":
        """What a practice works with: its own version in place of the shared line of the same slug."""
        if practice is None:
            return self.filter(practice=None)
        own = ProgressionLine.objects.filter(practice=practice).values("slug")
        return self.of(practice).exclude(practice=None, slug__in=own)


class ProgressionLine(Row):
    """A named, directed set of easier and harder steps."""

    practice = models.ForeignKey(Practice, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    slug = models.SlugField(max_length=80)
    name = models.CharField(max_length=120)
    # Counts what was saved, so that two people who edit one line hear of each other.
    version = models.PositiveIntegerField(default=0)

    objects = ProgressionLineQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["practice", "slug"], name="line_slug_once")]


class ProgressionEdgeQuerySet(models.QuerySet["ProgressionEdge"]):
    def offered_by(self, practice: Practice | None) -> "ProgressionEdgeQuerySet":
        return self.filter(line__in=ProgressionLine.objects.offered_by(practice))


class ProgressionEdge(Row):
    """One step of a line: from an easier movement to a harder one, with the dose to start the harder one at."""

    line = models.ForeignKey(ProgressionLine, on_delete=models.CASCADE, related_name="edges")
    easier = models.ForeignKey(Movement, on_delete=models.PROTECT, related_name="+")
    harder = models.ForeignKey(Movement, on_delete=models.PROTECT, related_name="+")
    entry_dose = models.JSONField(default=dict, blank=True)
    reason = models.CharField(max_length=300, blank=True)

    objects = ProgressionEdgeQuerySet.as_manager()
    practice_path: ClassVar[str] = "line__practice"

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["line", "easier", "harder"], name="edge_once"),
            models.CheckConstraint(condition=~Q(easier=F("harder")), name="edge_leads_somewhere"),
        ]
