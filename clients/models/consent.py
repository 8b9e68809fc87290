from django.db import models

from clients.choices import ConsentAction, ConsentKind
from clients.models.base import ClientFact


class ConsentEvent(ClientFact):
    """A consent given or withdrawn, with the very text that was on the screen. The newest of a kind counts."""

    kind = models.CharField(max_length=10, choices=ConsentKind)
    action = models.CharField(max_length=10, choices=ConsentAction)
    text_version = models.CharField(max_length=20)
    text = models.TextField()
    at = models.DateTimeField()
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")

    class Meta(ClientFact.Meta):
        indexes = [models.Index(fields=["client", "kind", "-at"])]
