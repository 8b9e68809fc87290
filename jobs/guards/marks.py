"""Marks: what changes a table leaves, in its own transaction, a row that says about whom.

For work that has to be done again after a change: whoever does it takes the marks first and reads then. A model says
`left_by_changes_of = ("room.Model", ...)` and has one link, to whom the mark is about; each of those models has a link
to the same, or is it. The database writes the marks, so that no verb, bulk update or shell session can forget to.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.core.exceptions import ImproperlyConfigured
from django.db import models

EVENTS = ("INSERT", "UPDATE", "DELETE")


@dataclass(frozen=True)
class Mark:
    """After this event on a table, its `about` goes into a column of another table."""

    table: str
    event: str
    about: str
    into: str
    column: str


def marks() -> Iterator[Mark]:
    """Every mark that the models ask for."""
    for model in apps.get_models():
        for label in getattr(model, "left_by_changes_of", ()):
            changed = apps.get_model(label)
            link = _link(model)
            about = _about(changed, link.related_model)
            for event in EVENTS:
                yield Mark(changed._meta.db_table, event, about, model._meta.db_table, link.column)


def _link(model: type[models.Model]) -> Any:
    links = [field for field in model._meta.local_concrete_fields if isinstance(field, models.ForeignKey)]
    if len(links) != 1:
        raise ImproperlyConfigured(f"{model._meta.label} keeps marks, so it has one link: to whom they are about.")
    return links[0]


def _about(changed: type[models.Model], whom: type[models.Model]) -> str:
    if changed is whom:
        return str(changed._meta.pk.column)
    for field in changed._meta.local_concrete_fields:
        if isinstance(field, models.ForeignKey) and field.related_model is whom:
            return str(field.column)
    raise ImproperlyConfigured(f"{changed._meta.label} leaves marks about {whom._meta.label}, but has no link to it.")
