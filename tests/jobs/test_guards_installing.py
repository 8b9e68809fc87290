"""Guards come with every migrate, and what is missing shows."""

import pytest
from django.apps import apps as registry
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from django.db.models.signals import post_migrate

from jobs import apps, guards
from tests import factories


@pytest.mark.django_db
def test_every_guard_of_every_model_is_installed_after_migrate():
    assert guards.expected_triggers() <= guards.installed_triggers()
    assert len(guards.expected_triggers()) > 50


@pytest.mark.django_db
def test_names_fit_into_postgresql():
    assert max(len(name.encode()) for name in guards.expected_triggers()) <= 63


@pytest.mark.django_db
def test_removed_guard_shows_and_migrate_puts_it_back():
    name = sorted(guards.expected_triggers())[0]
    table = guards.installing._installed("default")[name]
    with connection.cursor() as cursor:
        cursor.execute(f'DROP TRIGGER "{name}"' + (f' ON "{table}"' if connection.vendor == "postgresql" else ""))
    missing = guards.expected_triggers() - guards.installed_triggers()
    call_command("migrate", verbosity=0)

    assert missing == {name}
    assert guards.expected_triggers() <= guards.installed_triggers()


@pytest.mark.django_db
def test_migration_that_rewrites_tables_runs_without_guards():
    apps._step_aside(using="default", plan=["a migration"])

    assert guards.installed_triggers() == set()
    guards.install()


@pytest.mark.django_db(transaction=True)
def test_suspended_guards_come_back_even_after_an_error():
    with pytest.raises(ZeroDivisionError), guards.suspended():
        raise ZeroDivisionError

    assert guards.expected_triggers() <= guards.installed_triggers()


@pytest.mark.django_db(transaction=True)
def test_flush_empties_tables_of_facts_and_leaves_the_guards():
    factories.ConsentFactory()
    call_command("flush", interactive=False, verbosity=0)

    assert not factories.ConsentEvent.objects.exists()
    assert guards.expected_triggers() <= guards.installed_triggers()


@pytest.mark.django_db(transaction=True)
def test_suspended_guards_come_back_after_rows_with_links_were_written():
    with guards.suspended():
        left = guards.installed_triggers()
        factories.ConsentFactory()

    assert left == set()
    assert guards.expected_triggers() <= guards.installed_triggers()


@pytest.mark.django_db(transaction=True)
def test_suspending_error_takes_back_what_was_written_without_guards():
    fact = factories.ConsentFactory()

    with pytest.raises(ZeroDivisionError), guards.suspended():
        raise_after(_rows(fact)._raw_delete("default"))

    assert _rows(fact).exists()


@pytest.fixture
def failing_after_tables_are_empty():
    rows_left = []

    def fail(**_):
        rows_left.append(factories.ConsentEvent.objects.count())
        raise ZeroDivisionError

    sender = registry.get_app_config("jobs")
    post_migrate.connect(fail, sender=sender)
    yield rows_left
    post_migrate.disconnect(fail, sender=sender)


@pytest.mark.django_db(transaction=True)
def test_flush_that_fails_half_way_keeps_rows_and_guards(failing_after_tables_are_empty):
    fact = factories.ConsentFactory()
    with pytest.raises(ZeroDivisionError):
        call_command("flush", interactive=False, verbosity=0)

    assert failing_after_tables_are_empty == [0]
    assert _rows(fact).exists()
    assert guards.expected_triggers() <= guards.installed_triggers()


@pytest.mark.django_db(transaction=True)
def test_while_tables_are_emptied_facts_cannot_be_rewritten():
    fact = factories.ConsentFactory()
    with guards.emptying(), pytest.raises(IntegrityError, match="guard: a fact never changes"), transaction.atomic():
        _rows(fact).update(text_version="another")


@pytest.mark.django_db(transaction=True)
def test_only_guards_against_deletion_step_aside_while_tables_are_emptied():
    all_of_them = guards.expected_triggers()
    with guards.emptying():
        missing = all_of_them - guards.installed_triggers()

    on_delete = {name for name in all_of_them if name.startswith(("guard_delete_", "guard_mark_delete_"))}
    # TRUNCATE fires no trigger of ours, so that none has to step aside.
    assert missing == (set() if connection.vendor == "postgresql" else on_delete)
    assert guards.installed_triggers() >= all_of_them


def raise_after(_done):
    raise ZeroDivisionError


def _rows(fact):
    return type(fact)._base_manager.filter(pk=fact.pk)
