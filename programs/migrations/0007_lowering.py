from django.db import migrations, models


def say_of_older_revisions(apps, schema_editor):
    """Until now the address of a movement told it; from here on every revision states it."""
    revisions = apps.get_model("programs", "MovementRevision").objects
    told = (
        models.Q(movement__slug__endswith="-negative")
        | models.Q(movement__slug__endswith="-eccentric")
        | models.Q(movement__slug__contains="-negative-")
    )
    keys = list(revisions.filter(told).values_list("pk", flat=True))
    revisions.filter(pk__in=keys).update(lowering=True)


class Migration(migrations.Migration):
    dependencies = [("programs", "0006_excuse")]

    operations = [
        migrations.AddField("movementrevision", "lowering", models.BooleanField(default=False)),
        migrations.RunPython(say_of_older_revisions, migrations.RunPython.noop),
    ]
