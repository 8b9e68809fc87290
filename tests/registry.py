"""For the tests that walk all models: their factories, and copies of rows."""

import copy
import inspect
import uuid

import factory
from django.db import models

from tests import factories


def factory_of(model: type[models.Model]) -> type[factory.django.DjangoModelFactory]:
    found = [
        made
        for _name, made in inspect.getmembers(factories, inspect.isclass)
        if issubclass(made, factory.django.DjangoModelFactory) and made._meta.model is model
    ]
    assert found, f"{model._meta.label} needs a factory in tests/factories.py, so that its guards can be tested."
    return found[0]


def same_row_again(row: models.Model) -> models.Model:
    """A copy that is not saved yet. Where a value may be there once only, the test's refusal comes first."""
    again = copy.copy(row)
    again._state = copy.copy(row._state)
    again._state.fields_cache = dict(row._state.fields_cache)
    again.pk, again._state.adding = None, True
    again.uuid = uuid.uuid4()
    return again


def in_the_same_practice(model: type[models.Model], practice: models.Model) -> models.Model:
    """A new row of the model that may be linked to from that practice."""
    made = factory_of(model)
    return made(**{way: practice for way in [_way_to_practice(made)] if way})


def _way_to_practice(made: type[factory.django.DjangoModelFactory]) -> str:
    """The factory's keyword for the practice: practice, client__practice, session__block__client__practice."""
    declared = made._meta.base_declarations
    if isinstance(declared.get("practice"), factory.SubFactory):
        return "practice"
    for name, value in declared.items():
        if isinstance(value, factory.SubFactory) and name not in {"coach", "movement"}:
            further = _way_to_practice(value.get_factory())
            if further:
                return f"{name}__{further}"
    return ""
