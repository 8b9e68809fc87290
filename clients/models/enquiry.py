"""A stranger who asks to be coached. Not a client yet: a person, what they want, and how to reach them."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from clients.choices import EnquiryState
from clients.models.base import PracticeRow
from clients.models.people import Membership, User


class EnquiryQuerySet(models.QuerySet["Enquiry"]):
    def visible_to(self, user: User) -> "EnquiryQuerySet":
        """Enquiries of the practices this person works in."""
        return self.filter(practice__in=Membership.objects.of(user).values("practice"))


class Enquiry(PracticeRow):
    """What somebody wrote on the practice's public page, with the consent they gave there."""

    name = models.CharField(max_length=200)
    email = models.EmailField()
    # Another way to reach them, in their words.
    reach = models.CharField(max_length=200, blank=True)
    goal = models.TextField(max_length=2000)
    equipment = models.TextField(max_length=2000, blank=True)
    time_zone = models.CharField(max_length=64, default="UTC")
    consent_version = models.CharField(max_length=20)
    consent_text = models.TextField()
    sent_at = models.DateTimeField()
    # The browser's key for one filled form: sent twice it is stored once.
    sent_key = models.UUIDField()
    state = models.CharField(max_length=10, choices=EnquiryState, default=EnquiryState.OPEN)
    decided_by = models.ForeignKey("clients.User", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    decided_at = models.DateTimeField(null=True, blank=True)
    client = models.OneToOneField("clients.Client", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    erased_at = models.DateTimeField(null=True, blank=True)

    objects = EnquiryQuerySet.as_manager()
    fact_open_columns: ClassVar[tuple[str, ...]] = ("state", "decided_by_id", "decided_at", "client_id")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["practice", "sent_key"], name="enquiry_is_stored_once"),
            models.CheckConstraint(condition=Q(state__in=EnquiryState.values), name="enquiry_state_is_known"),
            models.CheckConstraint(
                condition=~Q(state="invited") | ~Q(client=None), name="invited_enquiry_names_its_client"
            ),
        ]
        indexes = [models.Index(fields=["practice", "state", "sent_at"])]


class EnquiryAnswer(PracticeRow):
    """What a coach wrote back; it went out by mail."""

    enquiry = models.ForeignKey(Enquiry, on_delete=models.PROTECT, related_name="answers")
    text = models.TextField(max_length=4000)
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    erased_at = models.DateTimeField(null=True, blank=True)

    fact_open_columns: ClassVar[tuple[str, ...]] = ()
