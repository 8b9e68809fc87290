"""What waits for a coach, and the coach's answers."""

from django.db import models
from django.db.models import Q

from clients.models import ClientFact, ClientRow, PracticeRow
from clients.models.base import ClientRowQuerySet, FactQuerySet
from programs.models import MovementRevision
from submissions.choices import Lane, SubmissionKind, SubmissionState, Verdict
from submissions.models.clips import Clip


class SubmissionQuerySet(ClientRowQuerySet):
    def waiting(self) -> "SubmissionQuerySet":
        return self.filter(state=SubmissionState.WAITING)

    def in_queue_order(self) -> "SubmissionQuerySet":
        """Warning signs first, then the earliest promise, whatever the lane; no one starves."""
        first = models.Case(models.When(lane=Lane.RED_FLAG, then=0), default=1)
        return self.order_by(first, "due_at", "submitted_at", "pk")


class Submission(ClientRow):
    """Something a client sent and a coach owes an answer to, by a promised time."""

    kind = models.CharField(max_length=10, choices=SubmissionKind)
    clip = models.OneToOneField(Clip, null=True, blank=True, on_delete=models.PROTECT, related_name="submission")
    # As it was when it arrived; what stands now is the current version of the same week.
    check_in = models.OneToOneField(
        "clients.CheckIn", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    # What a question is about; a clip knows its own.
    movement = models.ForeignKey(MovementRevision, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    text = models.TextField(blank=True, max_length=4000)
    lane = models.PositiveSmallIntegerField(choices=Lane)
    lane_reason = models.CharField(max_length=200)
    submitted_at = models.DateTimeField()
    due_at = models.DateTimeField()
    state = models.CharField(max_length=10, choices=SubmissionState, default=SubmissionState.WAITING)
    answered_at = models.DateTimeField(null=True, blank=True)

    objects = SubmissionQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta:
        indexes = [models.Index(fields=["practice", "state", "due_at"])]
        constraints = [
            models.CheckConstraint(
                condition=~Q(kind="clip") | Q(clip__isnull=False), name="a_clip_submission_has_its_clip"
            ),
            models.CheckConstraint(
                condition=~Q(kind="check_in") | Q(check_in__isnull=False),
                name="a_check_in_submission_has_its_check_in",
            ),
            models.CheckConstraint(
                condition=~Q(state="answered") | Q(answered_at__isnull=False), name="answered_at_a_time"
            ),
        ]


class ReviewQuerySet(FactQuerySet):
    def with_words(self) -> "ReviewQuerySet":
        """Without those that only say that something was read."""
        return self.exclude(verdict="", good="", cue="", message="")


class Review(ClientFact):
    """A coach's answer to a submission: a verdict on the form, one cue, notes at moments. Sent, it stands.

    Without any of these it says that a check-in was read.
    """

    submission = models.ForeignKey(Submission, on_delete=models.PROTECT, related_name="reviews")
    reviewer = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    verdict = models.CharField(max_length=10, choices=Verdict, blank=True)
    good = models.CharField(max_length=500, blank=True)
    cue = models.CharField(max_length=300, blank=True)
    message = models.TextField(blank=True, max_length=4000)
    sent_at = models.DateTimeField()
    seen_at = models.DateTimeField(null=True, blank=True)

    fact_open_columns = (*ClientFact.fact_open_columns, "seen_at")
    fact_columns_set_once = ("seen_at",)

    objects = ReviewQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["submission"],
                condition=Q(is_current=True, erased_at=None),
                name="one_current_review_per_submission",
            ),
        ]

    @property
    def has_words(self) -> bool:
        return bool(self.verdict or self.good or self.cue or self.message)


class ReviewNote(PracticeRow):
    """A sentence at a moment of the clip. A drawing, when there is one, belongs to its note."""

    review = models.ForeignKey(Review, on_delete=models.PROTECT, related_name="notes")
    position = models.PositiveSmallIntegerField()
    frame = models.PositiveIntegerField()
    at_s = models.DecimalField(max_digits=8, decimal_places=3)
    text = models.CharField(max_length=1000)
    drawing = models.JSONField(null=True, blank=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    fact_open_columns = ()

    class Meta:
        ordering = ["position"]
        constraints = [models.UniqueConstraint(fields=["review", "position"], name="one_note_per_position")]
