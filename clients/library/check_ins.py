"""The words of the weekly check-in: our own for the items of the published index, 1 (bad) to 5 (good)."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _


@dataclass(frozen=True)
class Item:
    """One thing that is asked, and what stands at the ends of its scale."""

    code: str
    name: str | Promise
    question: str | Promise
    low: str | Promise
    high: str | Promise


# In the order in which they are asked. The ends are those of methods.wellness.MCLEAN_ANCHORS.
ITEMS = (
    Item("sleep", _("Sleep"), _("How did you sleep?"), _("Hardly slept"), _("Slept deeply")),
    Item("fatigue", _("Energy"), _("How tired are you?"), _("Tired all the time"), _("Full of energy")),
    Item("stress", _("Stress"), _("How much strain is there?"), _("Under heavy strain"), _("At ease")),
    Item("soreness", _("Soreness"), _("How sore are your muscles?"), _("Sore all over"), _("Nothing is sore")),
    Item("mood", _("Mood"), _("How is your mood?"), _("In a bad mood"), _("In a very good mood")),
)
