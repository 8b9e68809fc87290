"""What belongs in a backup: every table but those named here, as of the migrations the database has."""

from collections.abc import Iterable
from typing import Any

from django.apps import apps
from django.db import connections, models
from django.db.migrations.loader import MigrationLoader

from coaching.backup.errors import BackupRefused
from jobs.choices import JobState
from submissions.choices import ClipState

Migration = tuple[str, str]
Model = type[models.Model]

LEFT_OUT = {
    "sessions.session": "a live sign-in: whoever has the backup would be signed in as anybody",
    "usersessions.usersession": "what a person reads about their live sign-ins",
    "clients.signinlink": "a way to sign in, good for a moment",
    "jobs.heartbeat": "a sign of life of a process that is gone",
}
# Of half an upload only its sender has the rest: the phone is told so, and begins it again.
ROWS_LEFT_OUT: dict[str, dict[str, Any]] = {
    "submissions.clip": {"state": ClipState.UPLOADING},
    "submissions.upload": {"finished_at": None},
    "submissions.demonstrationclip": {"state": ClipState.UPLOADING},
}
# Storage names in rows: the files that belong to them.
FILE_COLUMNS = {
    "submissions.clip": ("original", "review_copy", "poster"),
    "submissions.demonstrationclip": ("original", "review_copy", "poster"),
    "clients.setupcheck": ("photo",),
    "clients.clearance": ("document",),
}
# Rows that `migrate` puts into a new database by itself.
MADE_BY_MIGRATE = {"contenttypes.contenttype", "auth.permission", "sites.site"}


def applied_migrations(using: str = "default") -> list[Migration]:
    """What the database has of the apps that are installed. Refused when this code does not know all of it."""
    installed = {config.label for config in apps.get_app_configs()}
    applied = sorted(key for key in MigrationLoader(connections[using]).applied_migrations if key[0] in installed)
    if unknown := unknown_migrations(applied):
        raise BackupRefused(
            f"The database has a migration that this Purlin does not know ({'.'.join(unknown[-1])}). "
            "Use the newer version that made it."
        )
    return applied


def unknown_migrations(migrations: Iterable[Migration]) -> list[Migration]:
    return sorted(set(migrations) - MigrationLoader(None).disk_migrations.keys())


def tables(migrations: list[Migration]) -> list[Model]:
    """The models as they were at these migrations, by table: today's may have other columns."""
    loader = MigrationLoader(None)
    is_today = set(migrations) == loader.disk_migrations.keys()
    registry = apps if is_today else loader.project_state(migrations).apps
    kept = [model for model in registry.get_models(include_auto_created=True) if _is_kept(model)]
    return sorted(kept, key=lambda model: model._meta.db_table)


def label(model: Model) -> str:
    return model._meta.label_lower


def file_columns(model: Model) -> list[str]:
    """The columns with names of files that the table has; it had fewer once."""
    there = {field.name for field in model._meta.local_concrete_fields}
    return [column for column in FILE_COLUMNS.get(label(model), ()) if column in there]


def rows_of(model: Model, using: str) -> models.QuerySet:
    rows = model._base_manager.using(using).order_by("pk")
    left_out = ROWS_LEFT_OUT.get(label(model))
    return rows.exclude(**left_out) if left_out else rows


def at_rest(model: Model, row: dict[str, Any]) -> dict[str, Any]:
    """A row as it is kept: without what only the running processes of its time could go on with."""
    match label(model):
        case "jobs.job":
            return _waiting_again(row) | {"hinted_at": None}
        case "clients.datacopy":
            # Its file can be made again at any time.
            return row | {"file": ""}
    return row


def _waiting_again(row: dict[str, Any]) -> dict[str, Any]:
    """The worker of a job that runs will not be there. The broken try does not count."""
    if row["state"] != JobState.RUNNING:
        return row
    return row | {"state": JobState.QUEUED, "owner": None, "lease_until": None, "attempts": row["attempts"] - 1}


def _is_kept(model: Model) -> bool:
    return model._meta.managed and not model._meta.proxy and label(model) not in LEFT_OUT
