import django.db.models.deletion
from django.db import migrations, models


def compute_everything_again(apps, schema_editor):
    """The new column follows from decisions, and no mark tells what was written before there were marks."""
    apps.get_model("coaching", "DeskState").objects.all().delete()


class Migration(migrations.Migration):
    dependencies = [
        ("coaching", "0001_initial"),
    ]

    operations = [
        migrations.CreateModel(
            name="UnseenChange",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "client",
                    models.ForeignKey(
                        db_constraint=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="clients.client",
                    ),
                ),
            ],
        ),
        migrations.AlterModelOptions(
            name="attentionitem",
            options={"ordering": ["rank", "since", "uuid"]},
        ),
        migrations.AddField(
            model_name="attentionitem",
            name="put_away_until",
            field=models.DateField(blank=True, null=True),
        ),
        migrations.AddIndex(
            model_name="attentionitem",
            index=models.Index(fields=["practice", "rank", "since", "uuid"], name="attention_in_desk_order"),
        ),
        migrations.RunPython(compute_everything_again, migrations.RunPython.noop),
    ]
