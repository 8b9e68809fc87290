"""Once a week a client says how they are."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from clients.models.base import ClientFact
from methods.wellness import MCLEAN_ITEMS

ONE_TO_FIVE = [MinValueValidator(1), MaxValueValidator(5)]
NRS = [MinValueValidator(0), MaxValueValidator(10)]
ITEMS_IN_RANGE = Q()
for _item in MCLEAN_ITEMS:
    ITEMS_IN_RANGE &= Q(**{_item: None}) | Q(**{f"{_item}__gte": 1, f"{_item}__lte": 5})


class CheckIn(ClientFact):
    """How somebody is in one week: the items of a published index (methods.wellness, McLean), and what else they say.

    Every item may be left out; then there is no sum. Body mass, told with it, is a BodyMass of that day.
    """

    # The Monday of the week whose check-in day it was asked for; told late it stays of that week.
    week = models.DateField()
    due_on = models.DateField()
    told_on = models.DateField()
    time_zone = models.CharField(max_length=64)
    told_at = models.DateTimeField()
    # 1 (bad) to 5 (good), all in the same direction.
    fatigue = models.PositiveSmallIntegerField(null=True, blank=True, validators=ONE_TO_FIVE)
    sleep = models.PositiveSmallIntegerField(null=True, blank=True, validators=ONE_TO_FIVE)
    soreness = models.PositiveSmallIntegerField(null=True, blank=True, validators=ONE_TO_FIVE)
    stress = models.PositiveSmallIntegerField(null=True, blank=True, validators=ONE_TO_FIVE)
    mood = models.PositiveSmallIntegerField(null=True, blank=True, validators=ONE_TO_FIVE)
    # That the coming week's training will be done, 0 to 10.
    confidence = models.PositiveSmallIntegerField(null=True, blank=True, validators=NRS)
    activity = models.CharField(max_length=500, blank=True)
    note = models.TextField(max_length=2000, blank=True)
    question = models.TextField(max_length=2000, blank=True)

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["client", "week"],
                condition=Q(is_current=True, erased_at=None),
                name="one_current_check_in_per_week",
            ),
            models.CheckConstraint(condition=ITEMS_IN_RANGE, name="check_in_items_are_1_to_5"),
            models.CheckConstraint(
                condition=Q(confidence=None) | Q(confidence__lte=10), name="check_in_confidence_is_0_to_10"
            ),
            models.CheckConstraint(
                condition=Q(week__lte=F("due_on"), due_on__lte=F("told_on")), name="check_in_is_told_when_due"
            ),
        ]
