"""Taking a backup while web and workers go on."""

import datetime
import shutil
import tempfile
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from django.core.files.storage import storages
from django.db import connection

from coaching.backup import contents, manifest, media, rows
from coaching.backup.contents import Model
from coaching.backup.errors import BackupRefused
from coaching.backup.manifest import Kept, Manifest
from coaching.backup.snapshot import snapshot
from submissions.domain.files import fsync_folder

ROWS = "rows"


def take_backup(folder: Path, *, now: Callable[[], datetime.datetime]) -> Manifest:
    """Write a backup to a folder that is not there yet. It gets its name when it is whole, and not before.

    The manifest may name rows whose files are lost: they are kept, and whoever runs this has to be told.
    """
    if folder.exists() or folder.is_symlink():
        raise BackupRefused(f"{folder} is there already. A backup never overwrites another.")
    if not folder.parent.is_dir():
        raise BackupRefused(f"The folder {folder.parent} is not there.")
    partial = Path(tempfile.mkdtemp(prefix=f".{folder.name}.partial-", dir=folder.parent))
    try:
        taken = _fill(partial, now)
        manifest.write(taken, partial)
        _fsync_folders(partial)
        partial.rename(folder)
        fsync_folder(folder.parent)
    except BaseException:
        shutil.rmtree(partial, ignore_errors=True)
        raise
    return taken


def _fill(folder: Path, now: Callable[[], datetime.datetime]) -> Manifest:
    migrations = contents.applied_migrations()
    models = {contents.label(model): model for model in contents.tables(migrations)}
    _refuse_without_tables(models)
    taken = Manifest(now().isoformat(), _source(), migrations, contents.LEFT_OUT)
    copies = media.Copies(folder)
    # Before the moment: a worker that is ready with one removes it.
    copies.add(media.received(models, "default"))
    with snapshot(folder) as moment:
        named = media.received(models, moment)
        copies.add(named)
        for model in models.values():
            path = f"{ROWS}/{model._meta.db_table}.jsonl"
            taken.files[path] = _kept_rows(folder / path, model, moment)
        named += media.stored(models, moment)
        copies.add(named)
    _leave_out_what_went(taken, copies, models, set(named))
    taken.finished_at = now().isoformat()
    return taken


def _refuse_without_tables(models: dict[str, Model]) -> None:
    present = set(connection.introspection.table_names())
    if not models or any(model._meta.db_table not in present for model in models.values()):
        raise BackupRefused("This database is no installation of Purlin: tables are missing.")


def _source() -> dict[str, str]:
    return {"database": connection.vendor, "storage": type(storages["default"]).__name__}


def _kept_rows(path: Path, model: Model, moment: str) -> Kept:
    count = -1  # the first line names the columns

    def counted(lines: Iterable[bytes]) -> Iterator[bytes]:
        nonlocal count
        for line in lines:
            count += 1
            yield line

    kept = manifest.keep(path, counted(rows.lines(model, moment)))
    kept.rows = count
    return kept


def _leave_out_what_went(
    taken: Manifest, copies: media.Copies, models: dict[str, Model], named: set[media.NamedFile]
) -> None:
    """An original that was prepared before the moment is not needed; what was erased meanwhile is not kept."""
    copies.drop(lambda file: file not in named)
    still_there = media.standing(models)
    erased = {file.owner for file in [*copies.kept, *copies.missing]} - still_there
    copies.drop(lambda file: file.owner in erased)
    taken.files |= {file.path: kept for file, kept in copies.kept.items()}
    taken.erased = sorted(map(str, erased))
    taken.lost = sorted({str(file.owner) for file in copies.missing})


def _fsync_folders(root: Path) -> None:
    for folder in [root, *(path for path in root.rglob("*") if path.is_dir())]:
        fsync_folder(folder)
