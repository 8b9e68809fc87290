"""Around a client: goals, a guardian, set-up checks, what coaches keep in mind, and copies of their data."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from clients.choices import GuardianAnswer, NoteKind
from clients.models.base import ClientFact, ClientRow


class Goal(ClientFact):
    """What a client wants to reach, in their words, and by when."""

    words = models.CharField(max_length=500)
    # A number to reach, where there is one: 10 repetitions, 60 seconds, 100 kg.
    target = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)
    unit = models.CharField(max_length=20, blank=True)
    by_on = models.DateField(null=True, blank=True)
    reached_on = models.DateField(null=True, blank=True)
    said_at = models.DateTimeField()
    said_by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")


class GuardianRequest(ClientRow):
    """A letter to the guardian of someone under the age limit. Its link answers, and takes back."""

    name = models.CharField(max_length=200)
    email = models.EmailField()
    relation = models.CharField(max_length=100)
    token_sha256 = models.CharField(max_length=64, unique=True)
    sent_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    answered_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)


class GuardianDecision(ClientFact):
    """A guardian agreed, refused, or took their consent back, with the text that was shown. The newest counts."""

    request = models.ForeignKey(GuardianRequest, on_delete=models.PROTECT, related_name="+")
    answer = models.CharField(max_length=10, choices=GuardianAnswer)
    name = models.CharField(max_length=200)
    email = models.EmailField()
    phone = models.CharField(max_length=50, blank=True)
    relation = models.CharField(max_length=100)
    text_version = models.CharField(max_length=20)
    text = models.TextField()
    at = models.DateTimeField()


class SetUpCheck(ClientFact):
    """The client tested that a thing bears what it has to bear: what was tested, when, and a photo if they like."""

    item = models.ForeignKey("clients.EquipmentItem", on_delete=models.PROTECT, related_name="checks")
    checked_on = models.DateField()
    # Codes of clients.library.equipment: what was tested.
    tested = models.JSONField(default=list)
    # A storage name below MEDIA_ROOT, made by us.
    photo = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()


class Note(ClientFact):
    """A coach's dated note, or a call. The client does not see it on pages; an access request hands it out."""

    kind = models.CharField(max_length=10, choices=NoteKind, default=NoteKind.NOTE)
    on = models.DateField()
    text = models.TextField(max_length=5000)
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta(ClientFact.Meta):
        indexes = [models.Index(fields=["client", "-on"])]


class PinnedLine(ClientFact):
    """One of three lines that coaches see wherever the client's plan, clips and progress are."""

    place = models.PositiveSmallIntegerField(validators=[MinValueValidator(1), MaxValueValidator(3)])
    # Empty: the line was taken down.
    text = models.CharField(max_length=120, blank=True)
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["client", "place"],
                condition=Q(is_current=True, erased_at=None),
                name="one_current_line_per_place",
            ),
            models.CheckConstraint(condition=Q(place__gte=1, place__lte=3), name="three_pinned_lines"),
        ]


class DataCopy(ClientRow):
    """A copy of everything about a client, asked for by them or an owner. A job makes the file, kept for a week."""

    asked_by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField()
    made_at = models.DateTimeField(null=True, blank=True)
    # A storage name below MEDIA_ROOT, made by us; empty again when it was removed.
    file = models.CharField(max_length=200, blank=True)
    size = models.PositiveBigIntegerField(null=True, blank=True)
    sha256 = models.CharField(max_length=64, blank=True)
    expires_at = models.DateTimeField(null=True, blank=True)
