from django.db import models
from django.db.models import Q

from clients.models.base import ClientFact, ClientRow


class Intake(ClientRow):
    """One run through the questionnaire. Saved step by step, finished once; a later one asks again."""

    started_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["client"], condition=Q(finished_at=None), name="one_open_intake")
        ]


class IntakeAnswer(ClientFact):
    """What someone answered to one question. A changed answer is a new version."""

    intake = models.ForeignKey(Intake, on_delete=models.PROTECT, related_name="answers")
    question = models.CharField(max_length=60)
    value = models.JSONField(null=True)
    answered_at = models.DateTimeField()
    answered_by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["intake", "question"],
                condition=Q(is_current=True, erased_at=None),
                name="one_current_answer_per_question",
            ),
        ]
