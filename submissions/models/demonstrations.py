"""Short clips in which a practice shows a movement."""

from django.db import models
from django.db.models import Q

from clients.models import Client, Membership, PracticeRow, User
from programs.models import Movement
from submissions.choices import ClipState


class DemonstrationClipQuerySet(models.QuerySet["DemonstrationClip"]):
    def visible_to(self, user: User) -> "DemonstrationClipQuerySet":
        """For the practice's people and its clients, and nobody else."""
        teams = Membership.objects.active().of(user).values("practice")
        houses = Client.objects.own(user).values("practice")
        return self.filter(Q(practice__in=teams) | Q(practice__in=houses))

    def coached_by(self, user: User) -> "DemonstrationClipQuerySet":
        return self.filter(practice__in=Membership.objects.active().of(user).values("practice"))

    def of(self, movement: Movement) -> "DemonstrationClipQuerySet":
        """Also those of the shared movement that a practice's own version took the place of, and the other way."""
        return self.filter(movement__slug=movement.slug)

    def shown(self) -> "DemonstrationClipQuerySet":
        """What can be watched, the newest first: a new one takes the place of the old one once it is ready."""
        return self.filter(state=ClipState.READY, withdrawn_at=None).order_by("-received_at", "-pk")


class DemonstrationClip(PracticeRow):
    """A clip that shows a movement, in words as well. The next one is a row of its own, so each stays a version."""

    movement = models.ForeignKey(Movement, on_delete=models.PROTECT, related_name="+")
    # What is seen, for whoever cannot see it.
    words = models.CharField(max_length=300)
    state = models.CharField(max_length=10, choices=ClipState, default=ClipState.UPLOADING)
    # A submissions.domain.media reason, in words on the page.
    failure = models.CharField(max_length=40, blank=True)
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    size_bytes = models.BigIntegerField()
    received_at = models.DateTimeField()
    ready_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    erased_at = models.DateTimeField(null=True, blank=True)
    # Names in the storage, made by us. The original is kept only until the copy stands.
    original = models.CharField(max_length=200, blank=True)
    review_copy = models.CharField(max_length=200, blank=True)
    poster = models.CharField(max_length=200, blank=True)
    width = models.PositiveIntegerField(null=True, blank=True)
    height = models.PositiveIntegerField(null=True, blank=True)

    objects = DemonstrationClipQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["practice", "movement"])]
        constraints = [
            models.CheckConstraint(
                condition=~Q(state="failed") | ~Q(failure=""), name="a_failed_demonstration_says_why"
            ),
        ]
