"""The rules that the database keeps, on models of the test's own, on whichever database the suite runs."""

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.db import IntegrityError, connection, models, transaction
from django.test.utils import isolate_apps

from jobs import guards
from jobs.guards.installing import install, triggers_of
from jobs.guards.rules import checks


@pytest.fixture(scope="module")
def house(django_db_setup, django_db_blocker):
    """Small tables with guards: a practice, its people, their facts, and a plan with parts."""
    with isolate_apps("jobs"), django_db_blocker.unblock():
        made = _models()
        with connection.schema_editor() as editor:
            for model in made:
                editor.create_model(model)
        install(only=made)
        yield {model.__name__: model for model in made}
        guards.remove()
        with connection.schema_editor() as editor:
            for model in reversed(made):
                editor.delete_model(model)
        guards.install()


def _models() -> list[type[models.Model]]:
    class Practice(models.Model):
        class Meta:
            app_label = "jobs"

    class Person(models.Model):
        practice = models.ForeignKey(Practice, models.CASCADE)

        class Meta:
            app_label = "jobs"

    class Book(models.Model):
        """Of a practice, or of the shared library."""

        practice = models.ForeignKey(Practice, models.CASCADE, null=True)

        class Meta:
            app_label = "jobs"

    class Page(models.Model):
        book = models.ForeignKey(Book, models.CASCADE)
        practice_path = "book__practice"

        class Meta:
            app_label = "jobs"

    class Fact(models.Model):
        practice = models.ForeignKey(Practice, models.CASCADE)
        person = models.ForeignKey(Person, models.CASCADE)
        page = models.ForeignKey(Page, models.CASCADE, null=True)
        on = models.DateField(null=True)
        words = models.CharField(max_length=20)
        number = models.DecimalField(max_digits=5, decimal_places=2)
        more = models.JSONField(default=dict)
        yes = models.BooleanField(default=True)
        seen = models.IntegerField(null=True)
        is_current = models.BooleanField(default=True)
        erased_at = models.DateTimeField(null=True)
        fact_open_columns = ("seen", "is_current")

        class Meta:
            app_label = "jobs"

    class Plan(models.Model):
        state = models.CharField(max_length=10, default="draft")
        title = models.CharField(max_length=20)
        private = models.CharField(max_length=20)
        frozen_fields_once_published = ("title",)

        class Meta:
            app_label = "jobs"

    class Part(models.Model):
        plan = models.ForeignKey(Plan, models.CASCADE)
        frozen_when_published = "plan__state"

        class Meta:
            app_label = "jobs"

    class Crumb(models.Model):
        part = models.ForeignKey(Part, models.CASCADE)
        size = models.IntegerField(default=1)
        frozen_when_published = "part__plan__state"

        class Meta:
            app_label = "jobs"

    return [Practice, Person, Book, Page, Fact, Plan, Part, Crumb]


@pytest.fixture
def here(house, db):
    """A practice with a person, a shared and an own page, and a fact."""
    practice = house["Practice"].objects.create()
    person = house["Person"].objects.create(practice=practice)
    book = house["Book"].objects.create(practice=practice)
    page = house["Page"].objects.create(book=book)
    fact = house["Fact"].objects.create(practice=practice, person=person, words="knee", number=3, on="2026-03-04")
    return {"practice": practice, "person": person, "book": book, "page": page, "fact": fact}


@pytest.fixture
def elsewhere(house, db):
    practice = house["Practice"].objects.create()
    person = house["Person"].objects.create(practice=practice)
    book = house["Book"].objects.create(practice=practice)
    return {"practice": practice, "person": person, "page": house["Page"].objects.create(book=book)}


def refused(words: str, act) -> None:
    with pytest.raises(IntegrityError, match=f"guard: {words}"), transaction.atomic():
        act()


# One practice, for good


def test_row_never_leaves_its_practice(house, here, elsewhere):
    people = house["Person"].objects.filter(pk=here["person"].pk)

    refused("a row never leaves its practice", lambda: people.update(practice=elsewhere["practice"]))


def test_library_row_never_becomes_a_practices(house, here):
    book = house["Book"].objects.create(practice=None)

    refused("a row never leaves its practice", lambda: _save(book, practice=here["practice"]))


def test_new_row_cannot_link_to_another_practice(house, here, elsewhere):
    refused(
        r"linked to another practice \(jobs_fact.person_id\)",
        lambda: house["Fact"].objects.create(
            practice=here["practice"], person=elsewhere["person"], words="x", number=1
        ),
    )


def test_row_cannot_be_linked_to_another_practice_later(house, here, elsewhere):
    with_plan = house["Page"].objects.create(book=house["Book"].objects.create(practice=here["practice"]))
    facts = house["Fact"].objects.filter(pk=here["fact"].pk)

    assert with_plan.pk
    refused("linked to another practice", lambda: facts.update(person=elsewhere["person"]))


def test_link_to_another_practice_through_a_row_without_one_is_refused(house, here, elsewhere):
    refused(r"linked to another practice \(jobs_fact.page_id\)", lambda: _fact(house, here, page=elsewhere["page"]))


def test_link_within_the_practice_through_a_row_without_one_is_fine(house, here):
    assert _fact(house, here, page=here["page"]).pk


def test_link_to_the_shared_library_is_fine(house, here):
    shared = house["Page"].objects.create(book=house["Book"].objects.create(practice=None))

    assert _fact(house, here, page=shared).pk


# Facts


def test_fact_is_never_deleted(house, here):
    refused("a fact is never deleted", house["Fact"].objects.filter(pk=here["fact"].pk).delete)


@pytest.mark.parametrize(
    ("column", "value"),
    [("words", "hip"), ("number", 4), ("on", None), ("more", {"a": 1}), ("yes", False), ("on", "2026-03-05")],
)
def test_fact_never_changes(house, here, column, value):
    refused(rf"a fact never changes \(jobs_fact.{column}\)", lambda: _save(here["fact"], **{column: value}))


def test_open_column_of_a_fact_changes(house, here):
    _save(here["fact"], seen=1)

    assert house["Fact"].objects.get(pk=here["fact"].pk).seen == 1


def test_fact_saved_unchanged_is_fine(house, here):
    fact = house["Fact"].objects.get(pk=here["fact"].pk)

    fact.save()


def test_replaced_version_stays_replaced(house, here):
    _save(here["fact"], is_current=False)

    refused("a replaced version stays replaced", lambda: _save(here["fact"], is_current=True))


BLANK = {"words": "", "number": 0, "more": {}, "yes": False, "on": None, "seen": None}


def test_erasure_blanks_a_fact(house, here, at):
    _save(here["fact"], erased_at=at, **BLANK)

    assert house["Fact"].objects.values(*BLANK).get(pk=here["fact"].pk) == BLANK


@pytest.mark.parametrize("change", [{"words": "hip"}, {"number": 4}, {"on": "2026-03-05"}, {"more": {"a": 1}}])
def test_erasure_writes_nothing_new(house, here, at, change):
    refused("a fact never changes", lambda: _save(here["fact"], erased_at=at, **change))


def test_erasure_does_not_unlink_a_fact_from_its_person(house, here, at):
    another = house["Person"].objects.create(practice=here["practice"])

    refused("a fact never changes", lambda: _save(here["fact"], erased_at=at, person=another))


@pytest.mark.parametrize("change", [{"erased_at": None}, {"words": ""}])
def test_erased_fact_does_not_change(house, here, at, change):
    _save(here["fact"], erased_at=at)

    refused("a fact never changes", lambda: _save(here["fact"], **change))


# What was published


@pytest.fixture
def plan(house, db):
    plan = house["Plan"].objects.create(title="Winter", private="x")
    crumb = house["Crumb"].objects.create(part=house["Part"].objects.create(plan=plan))
    return {"plan": plan, "part": crumb.part, "crumb": crumb}


@pytest.fixture
def published(plan):
    _save(plan["plan"], state="published")
    return plan


def test_draft_and_its_parts_change_and_go(house, plan):
    _save(plan["plan"], title="Spring")
    _save(plan["crumb"], size=2)
    plan["plan"].delete()

    assert not house["Crumb"].objects.exists()


def test_part_of_what_was_published_does_not_change(published):
    refused("what was published is frozen", lambda: _save(published["crumb"], size=2))


def test_part_of_what_was_published_is_not_deleted(published):
    refused("what was published is frozen", published["crumb"].delete)


def test_part_is_not_added_to_what_was_published(house, published):
    refused("what was published is frozen", lambda: house["Crumb"].objects.create(part=published["part"]))


def test_part_does_not_move_into_what_was_published(house, published):
    other = house["Part"].objects.create(plan=house["Plan"].objects.create(title="Other", private="x"))
    crumb = house["Crumb"].objects.create(part=other)

    refused("what was published is frozen", lambda: _save(crumb, part=published["part"]))


def test_part_does_not_move_out_of_what_was_published(house, published):
    other = house["Part"].objects.create(plan=house["Plan"].objects.create(title="Other", private="x"))

    refused("what was published is frozen", lambda: _save(published["crumb"], part=other))


def test_published_columns_are_frozen_and_others_are_not(published):
    _save(published["plan"], private="y")

    refused(r"what was published is frozen \(jobs_plan.title\)", lambda: _save(published["plan"], title="Spring"))


def test_published_is_no_draft_again(published):
    refused("what was published is no draft again", lambda: _save(published["plan"], state="draft"))


def test_published_is_never_deleted(house, published):
    rows = house["Plan"].objects.filter(pk=published["plan"].pk)

    refused("what was published is never deleted", lambda: rows._raw_delete(rows.db))


# Declarations


@isolate_apps("jobs")
@pytest.mark.parametrize(
    "declared",
    [
        {"fact_open_columns": ("sene",)},
        {"frozen_fields_once_published": ("titel",)},
        {"frozen_when_published": "plan__state"},
    ],
)
def test_declaration_of_what_is_not_there_is_refused(declared):
    class Mistaken(models.Model):
        class Meta:
            app_label = "jobs"

    for name, value in declared.items():
        setattr(Mistaken, name, value)
    with pytest.raises(ImproperlyConfigured):
        checks(Mistaken, guards.installing.DIALECTS["sqlite"])


@isolate_apps("jobs")
def test_changed_rule_has_another_name():
    class Thing(models.Model):
        a = models.IntegerField()
        b = models.IntegerField()
        fact_open_columns = ("a",)

        class Meta:
            app_label = "jobs"

    def names() -> set[str]:
        return {trigger.name for trigger in triggers_of(Thing, guards.installing.DIALECTS["sqlite"])}

    before = names()
    Thing.fact_open_columns = ()
    assert len(before - names()) == 1


def _save(row: models.Model, **values: object) -> None:
    for name, value in values.items():
        setattr(row, name, value)
    row.save(update_fields=list(values))


def _fact(house, here, **values) -> models.Model:
    return house["Fact"].objects.create(practice=here["practice"], person=here["person"], words="x", number=1, **values)
