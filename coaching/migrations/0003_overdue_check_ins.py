from django.db import migrations, models


def compute_everything_again(apps, schema_editor):
    """A new reason among the old ones moves their ranks, and no mark tells of it."""
    apps.get_model("coaching", "DeskState").objects.all().delete()


class Migration(migrations.Migration):
    dependencies = [
        ("coaching", "0002_marks_and_desk_order"),
    ]

    operations = [
        migrations.AlterField(
            model_name="attentionitem",
            name="kind",
            field=models.CharField(
                choices=[
                    ("red_flag", "Warning sign"),
                    ("pain", "Pain"),
                    ("clearance", "Waiting for clearance"),
                    ("decline", "Getting weaker"),
                    ("stall", "Stalled"),
                    ("not_recording", "Sessions not recorded"),
                    ("check_in", "Check-in overdue"),
                    ("block_ending", "Block ends soon"),
                    ("needs_block", "Ready, without a block"),
                ],
                max_length=20,
            ),
        ),
        migrations.RunPython(compute_everything_again, migrations.RunPython.noop),
    ]
