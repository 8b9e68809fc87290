from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("programs", "0004_baseline"),
    ]

    operations = [
        migrations.AddField(
            model_name="traininglog",
            name="anything_hurt",
            field=models.BooleanField(blank=True, null=True),
        ),
    ]
