"""Clips and their resumable uploads."""

from django.db import models
from django.db.models import F, Q

from clients.models import ClientRow
from programs.models import MovementRevision, ScheduledSession
from submissions.choices import CameraSide, ClipState


class Clip(ClientRow):
    """A filmed set, with the client's question. The original is kept only until the review copy stands."""

    scheduled = models.ForeignKey(ScheduledSession, null=True, on_delete=models.PROTECT, related_name="+")
    movement = models.ForeignKey(MovementRevision, on_delete=models.PROTECT, related_name="+")
    # Of the prescription that was filmed.
    lineage = models.UUIDField(null=True, blank=True)
    training_day = models.DateField()
    camera_side = models.CharField(max_length=6, choices=CameraSide)
    question = models.CharField(max_length=1000, blank=True)
    state = models.CharField(max_length=10, choices=ClipState, default=ClipState.UPLOADING)
    # A submissions.domain.media reason, in words on the page.
    failure = models.CharField(max_length=40, blank=True)
    size_bytes = models.BigIntegerField()
    received_at = models.DateTimeField(null=True, blank=True)
    ready_at = models.DateTimeField(null=True, blank=True)
    # Names in the storage, made by us; never a user's file name. Where web and workers share a folder, the original
    # has none: it stays in the upload folder.
    original = models.CharField(max_length=200, blank=True)
    review_copy = models.CharField(max_length=200, blank=True)
    poster = models.CharField(max_length=200, blank=True)
    duration_s = models.DecimalField(max_digits=8, decimal_places=3, null=True, blank=True)
    width = models.PositiveIntegerField(null=True, blank=True)
    height = models.PositiveIntegerField(null=True, blank=True)
    # Presentation times of every frame of the review copy, in 1/90000 s.
    frame_times = models.JSONField(null=True, blank=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(state="ready") | (~Q(review_copy="") & Q(frame_times__isnull=False)),
                name="a_ready_clip_can_be_played",
            ),
            models.CheckConstraint(condition=~Q(state="failed") | ~Q(failure=""), name="a_failed_clip_says_why"),
        ]


class Upload(ClientRow):
    """A resumable upload by the open tus 1.0 protocol. The offset moves by compare-and-set."""

    clip = models.OneToOneField(Clip, on_delete=models.PROTECT, related_name="upload")
    length = models.BigIntegerField()
    offset = models.BigIntegerField(default=0)
    expires_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(offset__gte=0, offset__lte=F("length")), name="offset_within_length")
        ]
