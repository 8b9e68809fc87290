"""What a practice writes once: blocks to begin from, and single sessions for anyone to follow."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from clients.models import Membership, PracticeRow, User


class BlockTemplateQuerySet(models.QuerySet["BlockTemplate"]):
    def shared_with(self, user: User) -> "BlockTemplateQuerySet":
        """Everybody who coaches in a practice has its templates."""
        return self.filter(practice__in=Membership.objects.of(user).values("practice"))

    def in_use(self) -> "BlockTemplateQuerySet":
        return self.filter(archived_at=None)


class BlockTemplate(PracticeRow):
    """A block without a client. What it holds is a block file (programs.domain.exchange), read anew for each client."""

    title = models.CharField(max_length=120)
    about = models.CharField(max_length=500, blank=True)
    weeks = models.PositiveSmallIntegerField(validators=[MinValueValidator(1), MaxValueValidator(16)])
    document = models.JSONField()
    written_by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField()
    # Out of the list; blocks that came from it keep pointing here.
    archived_at = models.DateTimeField(null=True, blank=True)

    objects = BlockTemplateQuerySet.as_manager()

    class Meta:
        ordering = ["title", "pk"]


class PublicSession(PracticeRow):
    """A session that anyone may follow at an address of its own, without signing in. It names no client.

    What it holds is a block file with one session; movements are resolved for each visitor from what they tick.
    """

    title = models.CharField(max_length=120)
    about = models.CharField(max_length=500, blank=True)
    document = models.JSONField()
    # The practice's own movements in it, each as the revision that was read: slug to the revision's uuid.
    own_revisions = models.JSONField(default=dict, blank=True)
    written_by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    published_at = models.DateTimeField()
    # Nobody can open it any more.
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-published_at", "pk"]
