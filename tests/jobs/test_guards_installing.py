"""Guards come with every migrate, and what is missing shows."""

import pytest
from django.core.management import call_command
from django.db import connection

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
