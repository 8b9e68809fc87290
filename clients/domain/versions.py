"""Facts are versions: a correction never overwrites."""

from typing import TypeVar

from django.db import transaction

from clients.errors import ReplacedMeanwhile
from clients.models import ClientFact

F = TypeVar("F", bound=ClientFact)


def supersede(current: F | None, version: F) -> F:
    """Store a version of a fact; `current`, if there is one, steps aside first.

    Raises ReplacedMeanwhile when somebody else replaced `current` in between. The caller's unique constraints refuse
    a second first version.
    """
    with transaction.atomic():
        if current is not None:
            aside = type(current)._default_manager.filter(pk=current.pk, is_current=True).update(is_current=False)
            if not aside:
                raise ReplacedMeanwhile
            version.replaces = current
        version.save(force_insert=True)
    return version


def newest(fact: F) -> F:
    """The version of a fact that stands now."""
    while not fact.is_current:
        fact = fact.replaced_by  # type: ignore[attr-defined]  # the reverse of OneToOneField in an abstract class
    return fact
