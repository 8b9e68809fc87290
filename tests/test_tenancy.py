"""No link crosses practices, and no row changes its practice: asked of the database, for every link of every model.

The models come from the registry. A new one needs a factory, and is then covered.
"""

import pytest
from django.apps import apps
from django.db import IntegrityError, models, transaction

from clients.models import Practice
from tests.registry import factory_of, same_row_again

pytestmark = pytest.mark.django_db


def _way_to_practice(model: type[models.Model], seen: frozenset[type[models.Model]] = frozenset()) -> list[str]:
    """From a row to its practice: its own column, or the first link that must be there and leads to one."""
    links = [field for field in model._meta.concrete_fields if isinstance(field, models.ForeignKey)]
    own = [field for field in links if field.related_model is Practice]
    if own:
        return [own[0].name]
    for field in links:
        if not field.null and field.related_model not in seen | {model}:
            further = _way_to_practice(field.related_model, seen | {model})
            if further:
                return [field.name, *further]
    return []


OURS = [
    model
    for model in apps.get_models()
    if model._meta.app_label in {"clients", "programs", "submissions", "coaching"} and _way_to_practice(model)
]
LINKS = [
    pytest.param(model, field.name, id=f"{model._meta.label}.{field.name}")
    for model in OURS
    for field in model._meta.concrete_fields
    if isinstance(field, models.ForeignKey)
    and field.related_model is not Practice
    and _way_to_practice(field.related_model)
    # The link that says whose the row is.
    and _way_to_practice(model)[0] != field.name
]
WITH_A_PRACTICE = [model for model in OURS if len(_way_to_practice(model)) == 1]


def _refused(words: str, act) -> None:
    with pytest.raises(IntegrityError, match=words), transaction.atomic():
        act()


def _elsewhere(field: models.ForeignKey) -> models.Model:
    """A row that the field could point to, in a practice of its own."""
    return factory_of(field.related_model)(**_in_new_practice(field.related_model))


def _in_new_practice(model: type[models.Model]) -> dict[str, object]:
    """For the rows that may be of the shared library: there the practice has to be said."""
    way = _way_to_practice(model)
    holder = model
    for name in way[:-1]:
        holder = holder._meta.get_field(name).related_model
    return {"__".join(way): factory_of(Practice)()} if holder._meta.get_field(way[-1]).null else {}


@pytest.mark.parametrize(("model", "name"), LINKS)
def test_row_is_not_linked_to_another_practice_later(model, name):
    field = model._meta.get_field(name)
    row = factory_of(model)(**_in_new_practice(model))
    foreign = _elsewhere(field)

    rows = model._base_manager.filter(pk=row.pk)

    _refused(rf"guard: linked to another practice \({model._meta.db_table}\.{field.column}\)",
             lambda: rows.update(**{name: foreign}))  # fmt: skip


@pytest.mark.parametrize(("model", "name"), LINKS)
def test_new_row_is_not_linked_to_another_practice(model, name):
    field = model._meta.get_field(name)
    row = same_row_again(factory_of(model)(**_in_new_practice(model)))
    setattr(row, name, _elsewhere(field))

    _refused(rf"guard: linked to another practice \({model._meta.db_table}\.{field.column}\)",
             lambda: row.save(force_insert=True))  # fmt: skip


@pytest.mark.parametrize("model", WITH_A_PRACTICE, ids=lambda model: model._meta.label)
def test_row_never_leaves_its_practice(model):
    row = factory_of(model)(**_in_new_practice(model))
    rows = model._base_manager.filter(pk=row.pk)

    _refused("guard: a row never leaves its practice", lambda: rows.update(practice=factory_of(Practice)()))


def test_walk_reaches_all_rooms():
    assert {model._meta.app_label for model in OURS} == {"clients", "programs", "submissions", "coaching"}
    assert len(LINKS) > 50
