"""The details of a thing in words, in the client's units."""

from django import template

from clients.domain.things import details_in_words
from clients.models import Client, EquipmentItem

register = template.Library()


@register.simple_tag
def details_of(item: EquipmentItem, client: Client) -> str:
    return details_in_words(item.kind, item.attributes, mass_unit=client.mass_unit, length_unit=client.length_unit)
