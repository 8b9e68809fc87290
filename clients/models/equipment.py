from django.db import models
from django.db.models import Q

from clients.choices import ItemKind
from clients.models.base import ClientFact, ClientRow, ClientRowQuerySet


class Place(ClientRow):
    """Where a client trains: home, garage, park. Equipment belongs to a place."""

    name = models.CharField(max_length=100)
    is_default = models.BooleanField(default=False)
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["client"], condition=Q(is_default=True, closed_at=None), name="one_default_place"
            )
        ]


class EquipmentItemQuerySet(ClientRowQuerySet):
    def present(self) -> "EquipmentItemQuerySet":
        return self.filter(removed_at=None, place__closed_at=None)


class EquipmentItem(ClientRow):
    """One thing at a place. What bears weight counts only after the client's set-up check."""

    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="items")
    kind = models.CharField(max_length=20, choices=ItemKind)
    # By kind: {"masses_kg": [..]}, {"height_cm": ..}, {"help_bottom_kg": .., "help_top_kg": ..}.
    attributes = models.JSONField(default=dict, blank=True)
    set_up_checked_on = models.DateField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = EquipmentItemQuerySet.as_manager()  # type: ignore[misc]  # the stubs see a narrower manager as a clash

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["place", "kind"], condition=Q(removed_at=None), name="one_item_of_a_kind_per_place"
            )
        ]


class ChairPermission(ClientFact):
    """Whether sturdy chairs may carry a dip or a row at a place: one coach's own judgement, with its reason.

    Without one they may not: chairs tip. Taking it back is the next version.
    """

    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    allowed = models.BooleanField()
    why = models.CharField(max_length=500)
    # The client's day.
    on = models.DateField()
    by = models.ForeignKey("clients.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta(ClientFact.Meta):
        constraints = [
            *ClientFact.Meta.constraints,
            models.UniqueConstraint(
                fields=["place"],
                condition=Q(is_current=True, erased_at=None),
                name="one_current_chair_permission_per_place",
            ),
            models.CheckConstraint(condition=~Q(why="") | ~Q(erased_at=None), name="chairs_have_a_reason"),
        ]
