"""The items of a check-in as they were asked."""

from dataclasses import dataclass

from django import template
from django.utils.functional import Promise

from clients.library.check_ins import ITEMS
from clients.models import CheckIn

register = template.Library()


@dataclass(frozen=True)
class Told:
    """An item with its answer, and what stands at the ends of its scale."""

    name: str | Promise
    low: str | Promise
    high: str | Promise
    value: int | None


@register.simple_tag
def told_items(check_in: CheckIn) -> list[Told]:
    return [Told(item.name, item.low, item.high, getattr(check_in, item.code)) for item in ITEMS]
