import uuid

import django.db.models.deletion
import django.utils.timezone
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("clients", "0010_pain_refers"),
        ("programs", "0007_lowering"),
    ]

    operations = [
        migrations.AddField(
            model_name="scheduledsession",
            name="changes",
            field=models.PositiveIntegerField(default=0),
        ),
        migrations.AddField(
            model_name="scheduledsession",
            name="changed_at",
            field=models.DateTimeField(auto_now=True, default=django.utils.timezone.now),
            preserve_default=False,
        ),
        migrations.CreateModel(
            name="CalendarFeed",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("uuid", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                ("token_sha256", models.CharField(max_length=64, unique=True)),
                ("starts_at", models.TimeField(blank=True, null=True)),
                ("time_zone", models.CharField(max_length=64)),
                ("made_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("read_at", models.DateTimeField(blank=True, null=True)),
                (
                    "client",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="clients.client"
                    ),
                ),
                (
                    "practice",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="clients.practice"
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("revoked_at", None)), fields=("client",), name="one_calendar_feed_a_client"
                    )
                ],
            },
        ),
    ]
