"""Facts never change and what was published is frozen: asked of the database, for every model that says so."""

import datetime
import uuid
from decimal import Decimal
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, models, transaction

from jobs import guards
from programs.choices import BlockState
from tests import factories as f
from tests.registry import factory_of, in_the_same_practice, same_row_again

pytestmark = pytest.mark.django_db

FACTS = [model for model in apps.get_models() if hasattr(model, "fact_open_columns")]
PARTS = [model for model in apps.get_models() if hasattr(model, "frozen_when_published")]
PUBLISHED = [model for model in apps.get_models() if hasattr(model, "frozen_fields_once_published")]


def _columns(models_: list[type[models.Model]], *, closed: bool = True) -> list[Any]:
    return [
        pytest.param(model, field.name, id=f"{model._meta.label}.{field.name}")
        for model in models_
        for field in model._meta.local_concrete_fields
        if not field.primary_key and (_is_open(model, field) is not closed)
    ]


def _is_open(model: type[models.Model], field: models.Field) -> bool:
    named = getattr(model, "fact_open_columns", ())
    # Erasure is the one change that a fact has coming.
    return field.name in {*named, "erased_at"} or field.column in named


def _changed(row: models.Model, field: models.Field) -> Any:
    """Another value that the column could hold."""
    now = getattr(row, field.attname)
    match field.get_internal_type():
        case "ForeignKey" | "OneToOneField":
            return in_the_same_practice(field.related_model, _practice_of(row)).pk
        case "UUIDField":
            return uuid.uuid4()
        case "BooleanField":
            return not now
        case "JSONField":
            return {"another": "value"}
        case "TimeField":
            return datetime.time(4, 5)
        case "DateField":
            return datetime.date(2031, 1, 1)
        case "DateTimeField":
            return datetime.datetime(2031, 1, 1, tzinfo=datetime.UTC)
        case "DecimalField":
            return Decimal(str(now or 0)) + 1
        case "CharField" | "TextField" | "EmailField" | "SlugField":
            return "z" if now != "z" else "y"
        case kind:
            assert kind.endswith("IntegerField"), kind
            return (now or 0) + 1


def _practice_of(row: models.Model) -> models.Model:
    return getattr(row, "practice", None) or f.PracticeFactory()


def _refused(words: str, act) -> None:
    with pytest.raises(IntegrityError, match=f"guard: {words}"), transaction.atomic():
        act()


def _rows(row: models.Model) -> models.QuerySet:
    return type(row)._base_manager.filter(pk=row.pk)


def _delete(row: models.Model) -> None:
    """By one statement, past whatever the ORM would collect first."""
    _rows(row)._raw_delete(row._state.db)


# Facts


@pytest.mark.parametrize(("model", "name"), _columns(FACTS))
def test_fact_never_changes(model, name):
    row = factory_of(model)()
    field = model._meta.get_field(name)
    value = _changed(row, field)

    words = "a row never leaves its practice" if name == "practice" else rf"a fact never changes \(.*\.{field.column}\)"
    _refused(words, lambda: _rows(row).update(**{field.attname: value}))


@pytest.mark.parametrize("model", FACTS, ids=lambda model: model._meta.label)
def test_fact_is_never_deleted(model):
    row = factory_of(model)()

    _refused("a fact is never deleted", lambda: _delete(row))


def test_open_columns_of_facts_are_few():
    """What may change in a fact is decided, not drifted into: whoever opens a column comes by here."""
    opened = {
        model._meta.label: sorted(name.removesuffix("_id") for name in model.fact_open_columns)
        for model in FACTS
        if tuple(model.fact_open_columns) not in {(), ("is_current",)}
    }

    assert opened == {
        "clients.Enquiry": ["client", "decided_at", "decided_by", "state"],
        "clients.RedFlagReport": ["lifted_by", "seen_at", "seen_by"],
        "programs.BaselineRun": ["finished_at", "is_current"],
        "programs.SetLog": [
            "body_mass_kg",
            "body_mass_on",
            "hard_set",
            "hold_kg_s",
            "is_current",
            "share",
            "share_basis",
            "system_load_kg",
            "system_load_unknown",
            "volume_load_kg",
        ],
        "submissions.Review": ["is_current", "seen_at"],
    }


def test_columns_that_are_set_once_are_as_decided():
    once = {
        model._meta.label: sorted(name.removesuffix("_id") for name in model.fact_columns_set_once)
        for model in FACTS
        if hasattr(model, "fact_columns_set_once")
    }

    assert once == {
        "clients.RedFlagReport": ["lifted_by", "seen_at", "seen_by"],
        "programs.BaselineRun": ["finished_at"],
        "submissions.Review": ["seen_at"],
    }


# What was published


def _published(model: type[models.Model]) -> models.Model:
    """A part of a block, published after it was written."""
    row = factory_of(model)()
    owner = row
    for name in model.frozen_when_published.split("__")[:-1]:
        owner = getattr(owner, name)
    f.publish(owner)
    return row


@pytest.mark.parametrize(("model", "name"), _columns(PARTS))
def test_part_of_a_published_block_does_not_change(model, name):
    row = _published(model)
    field = model._meta.get_field(name)
    value = _changed(row, field)

    words = "a row never leaves its practice" if name == "practice" else "what was published is frozen"
    _refused(words, lambda: _rows(row).update(**{field.attname: value}))


@pytest.mark.parametrize("model", PARTS, ids=lambda model: model._meta.label)
def test_nothing_is_added_to_a_published_block(model):
    row = _published(model)

    _refused("what was published is frozen", lambda: same_row_again(row).save(force_insert=True))


@pytest.mark.parametrize("model", PARTS, ids=lambda model: model._meta.label)
def test_nothing_is_taken_from_a_published_block(model):
    row = _published(model)

    _refused("what was published is frozen", lambda: _delete(row))


@pytest.mark.parametrize("model", PARTS, ids=lambda model: model._meta.label)
def test_part_of_a_draft_changes_and_goes(model):
    row = factory_of(model)()

    _rows(row).update(position=7)
    row.delete()

    assert not _rows(row).exists()


@pytest.mark.parametrize(
    ("model", "name"),
    [(model, name.removesuffix("_id")) for model in PUBLISHED for name in model.frozen_fields_once_published],
)
def test_frozen_column_of_what_was_published_does_not_change(model, name):
    row = f.publish(factory_of(model)())
    field = model._meta.get_field(name)
    value = _changed(row, field)

    _refused(rf"what was published is frozen \(.*\.{field.column}\)", lambda: _rows(row).update(**{name: value}))


@pytest.mark.parametrize("model", PUBLISHED, ids=lambda model: model._meta.label)
def test_what_was_published_is_neither_deleted_nor_a_draft_again(model):
    row = f.publish(factory_of(model)())

    _refused("what was published is never deleted", lambda: _delete(row))
    _refused("what was published is no draft again", lambda: _rows(row).update(state=BlockState.DRAFT))


def test_walk_finds_facts_and_parts():
    assert len(FACTS) > 15
    assert {model._meta.model_name for model in PARTS} >= {"blocksession", "section", "group", "prescription"}
    assert [model._meta.model_name for model in PUBLISHED] == ["block"]
    assert guards.expected_triggers() <= guards.installed_triggers()
