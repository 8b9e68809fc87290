"""Restoring a backup into an empty installation, and proving that it is the same."""

from collections.abc import Callable
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor

from coaching.backup import contents, manifest, media, rows
from coaching.backup.contents import MADE_BY_MIGRATE, Model
from coaching.backup.errors import BackupRefused
from coaching.backup.manifest import Manifest
from coaching.backup.taking import ROWS
from jobs import guards
from jobs.clock import database_now
from submissions.domain.withdrawal import erase_clip
from submissions.models import Clip

CLIP = "submissions.clip"
Say = Callable[[str], None]


def check_backup(folder: Path, *, say: Say) -> Manifest:
    """Whether the folder is a whole backup that this code can restore. Refused when not."""
    said = manifest.read(folder)
    if unknown := contents.unknown_migrations(said.migrations):
        raise BackupRefused(
            f"The backup was made by a newer Purlin: this one does not know {'.'.join(unknown[-1])}. "
            "Restore with the version that made it, or a later one."
        )
    manifest.verify(folder, said, say=say)
    return said


def restore_backup(folder: Path, *, say: Say) -> Manifest:
    """Fill an empty database and storage from a backup, all or nothing, then bring it to this code's migrations.

    Without the database's guards while it loads: what is restored was published and replaced before. Everything is
    read back and compared before it counts.
    """
    said = check_backup(folder, say=say)
    Path(settings.VAR).mkdir(mode=0o700, parents=True, exist_ok=True)
    _refuse_unless_empty(said)
    media.refuse_unless_no_files()
    _migrate_to(said.migrations)
    files = [path for path, kept in said.files.items() if kept.rows is None]
    with media.put_back(folder, files), transaction.atomic():
        _load(folder, said, say=say)
    call_command("migrate", interactive=False, verbosity=0)
    _erase_clips(said)
    media.carry_received()
    return said


def _refuse_unless_empty(said: Manifest) -> None:
    present = set(connection.introspection.table_names())
    there = [model for model in apps.get_models(include_auto_created=True) if model._meta.db_table in present]
    for model in there:
        if contents.label(model) not in MADE_BY_MIGRATE and model._base_manager.exists():
            table = model._meta.db_table
            raise BackupRefused(f"The database is not empty ({table}). Restore into a new one: nothing is merged.")
    if newer := sorted(set(contents.applied_migrations()) - set(said.migrations)):
        raise BackupRefused(
            f"The database has a migration that the backup has not ({'.'.join(newer[-1])}). Restore into a new one."
        )


def _migrate_to(migrations: list[contents.Migration]) -> None:
    """Just these, not `migrate`: it also fills tables that the backup is about to fill."""
    missing = set(migrations) - set(contents.applied_migrations())
    executor = MigrationExecutor(connection)
    everything = executor.migration_plan(executor.loader.graph.leaf_nodes(), clean_start=True)
    executor.migrate(None, plan=[step for step in everything if (step[0].app_label, step[0].name) in missing])


def _load(folder: Path, said: Manifest, *, say: Say) -> None:
    models = {f"{ROWS}/{model._meta.db_table}.jsonl": model for model in contents.tables(said.migrations)}
    if models.keys() != said.tables().keys():
        raise BackupRefused(f"The backup has other tables: {sorted(models.keys() ^ said.tables().keys())}.")
    guards.remove()
    _empty(list(models.values()))
    for path, model in models.items():
        rows.load(model, folder / path)
    _reset_sequences(list(models.values()))
    connection.check_constraints()
    for path, model in models.items():
        if rows.digest_of(model, "default") != said.files[path].sha256:
            raise BackupRefused(f"{model._meta.db_table} was not restored as it is in the backup. Nothing was kept.")
    _forget_erased_files(said, list(models.values()))
    guards.install()
    say(f"{sum(kept.rows or 0 for kept in said.tables().values())} rows of {len(models)} tables are as in the backup.")


def _empty(models: list[Model]) -> None:
    """Of what migrations put there: the backup has its own."""
    with connection.cursor() as cursor:
        for model in models:
            cursor.execute(f"DELETE FROM {connection.ops.quote_name(model._meta.db_table)}")  # noqa: S608 -- ours


def _reset_sequences(models: list[Model]) -> None:
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), models):
            cursor.execute(statement)


def _erased(said: Manifest, model: str) -> list[str]:
    return [uuid for label, uuid in (one.split() for one in said.erased) if label == model]


def _forget_erased_files(said: Manifest, models: list[Model]) -> None:
    """Rows erased while the backup ran name no file any more. Their words are of the moment, to be erased again."""
    for model in models:
        if contents.label(model) != CLIP and (uuids := _erased(said, contents.label(model))):
            blank = dict.fromkeys(contents.file_columns(model), "")
            model._base_manager.filter(uuid__in=uuids).update(**blank)


def _erase_clips(said: Manifest) -> None:
    """Of clips the words go as well: their erasure is the one that comes by itself, with a withdrawn consent."""
    for clip in Clip.objects.filter(uuid__in=_erased(said, CLIP)):
        erase_clip(clip, at=database_now())
