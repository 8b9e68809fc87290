"""The body chart: beside the form it fills, or with marks to read."""

from collections.abc import Collection
from typing import Any

from django import template
from django.utils.translation import gettext as _

from clients.choices import Area, Side
from clients.library import body_chart as chart

register = template.Library()
Place = tuple[str, str]


@register.inclusion_tag("clients/_body_chart.html")
def body_chart(marks: Collection[Place] | None = None) -> dict[str, Any]:
    """Two pictures. With `marks`, pairs of area and side, they are only read; the words beside them say the same."""
    views = [
        (_("From the front, as in a mirror"), chart.front()),
        (_("From behind"), chart.back()),
    ]
    return {
        "is_read": marks is not None,
        "frame": "{} {} {} {}".format(*chart.FRAME),
        "views": [
            (title, [(region, name_of(region), _is_marked(region, marks or ())) for region in regions])
            for title, regions in views
        ],
        # Read by somebody else: no side of theirs.
        "words": [f"{Area(area).label}, {str(Side(side).label).lower()}" for area, side in marks or ()],
    }


def name_of(region: chart.Region) -> str:
    return str(region.area.label) if region.is_single else place_in_words(region.area, region.side)


def place_in_words(area: str, side: str) -> str:
    """The area with the side of the client's own: "Knee, your left"."""
    words = {
        Side.LEFT: _("%(area)s, your left"),
        Side.RIGHT: _("%(area)s, your right"),
        Side.MIDDLE: _("%(area)s, in the middle"),
        Side.BOTH: _("%(area)s, both sides"),
    }
    return words[Side(side)] % {"area": Area(area).label}


def _is_marked(region: chart.Region, marks: Collection[Place]) -> bool:
    sides = {side for area, side in marks if area == region.area}
    return bool(sides) and (region.is_single or region.side in sides or Side.BOTH in sides)
