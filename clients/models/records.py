"""What happened around the data: who read it, what mail went out."""

from typing import ClassVar

from django.db import models

from clients.choices import ReadKind
from clients.models.base import ClientRow, PracticeRow


class AccessRecord(ClientRow):
    """Someone looked at health data or a clip. Written with the page, never changed."""

    reader = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=12, choices=ReadKind)
    subject_uuid = models.UUIDField(null=True, blank=True)
    at = models.DateTimeField()

    fact_open_columns: ClassVar[tuple[str, ...]] = ()

    class Meta:
        indexes = [models.Index(fields=["client", "-at"])]


class OutgoingMail(PracticeRow):
    """A letter to be sent, written in the transaction that caused it; a job sends it once."""

    to = models.EmailField()
    subject = models.CharField(max_length=200)
    body = models.TextField()
    sent_at = models.DateTimeField(null=True, blank=True)
