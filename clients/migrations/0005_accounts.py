"""Accounts by the library: whoever has a sign-in keeps it, with the address that an invitation has proven."""

from django.core.management import call_command
from django.db import migrations, models

CACHE_TABLE = "purlin_cache"


def give_addresses(apps, schema_editor):
    User, EmailAddress = apps.get_model("clients", "User"), apps.get_model("account", "EmailAddress")
    without = User.objects.filter(emailaddress=None).values_list("pk", "email")
    addresses = [
        EmailAddress(user_id=pk, email=email.lower(), primary=True, verified=True) for pk, email in without.iterator()
    ]
    EmailAddress.objects.bulk_create(addresses, batch_size=500)


def make_cache_table(apps, schema_editor):
    call_command("createcachetable", CACHE_TABLE, database=schema_editor.connection.alias, verbosity=0)


def drop_cache_table(apps, schema_editor):
    schema_editor.execute(f"DROP TABLE IF EXISTS {CACHE_TABLE}")


class Migration(migrations.Migration):
    dependencies = [
        ("account", "0009_emailaddress_unique_primary_email"),
        ("clients", "0004_more_to_hang_from"),
    ]

    operations = [
        migrations.AddField(
            model_name="user",
            name="sessions_ended_at",
            field=models.DateTimeField(blank=True, editable=False, null=True),
        ),
        migrations.RunPython(give_addresses, migrations.RunPython.noop),
        migrations.RunPython(make_cache_table, drop_cache_table),
    ]
