"""A copy of everything that is kept about one client, for them: tables as JSON, clips and photos as they are."""

import datetime
import hashlib
import json
import tempfile
import uuid
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.apps import apps
from django.core.files import File
from django.core.files.storage import default_storage
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models, transaction
from django.utils.translation import gettext as _

import jobs
from clients.models import AccessRecord, Client, DataCopy, User
from coaching.errors import CopyUnderWay

FOLDER = "copies"
KEPT_DAYS = 7
# Reached through a row of the client's, without a column that names the client.
PARTS = {
    "submissions.ReviewNote": "review__client",
    "programs.BlockSession": "block__client",
    "programs.Section": "session__block__client",
    "programs.Group": "section__session__block__client",
    "programs.Prescription": "group__section__session__block__client",
}
# What only the house needs: hashes of links, marks of the machinery, and this table itself.
LEFT_OUT = {
    "coaching.UnseenChange",
    "clients.Invitation",
    "clients.GuardianRequest",
    "clients.DataCopy",
    "programs.CalendarFeed",
    "submissions.Upload",
}
HIDDEN = {"id", "practice", "client", "is_current", "text_sha256", "told_in"}
FILES = {"submissions.Clip": ("review_copy",), "clients.SetUpCheck": ("photo",), "clients.Clearance": ("document",)}


def ask_for_copy(client: Client, *, by: User, at: datetime.datetime) -> DataCopy:
    """Ask for a copy; a job makes it. Raises CopyUnderWay while one is being made."""
    with transaction.atomic():
        # Lock the client: the button may be pressed twice.
        Client.objects.select_for_update().get(pk=client.pk)
        if DataCopy.objects.of(client).filter(made_at=None).exists():
            raise CopyUnderWay
        copy = DataCopy.objects.create(practice_id=client.practice_id, client=client, asked_by=by, asked_at=at)
        jobs.request("coaching.make_data_copy", copy.pk, practice=client.practice_id)
    return copy


def make_copy(copy_id: int, *, at: datetime.datetime) -> None:
    """Write the file and keep its name. Running again makes nothing anew."""
    copy = DataCopy.objects.select_related("client__practice").get(pk=copy_id)
    if copy.made_at is not None:
        return
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "copy.zip")
        write_copy(copy.client, path, at=at)
        with path.open("rb") as file:
            name = default_storage.save(f"{FOLDER}/{uuid.uuid4().hex}.zip", File(file))
        sha256, size = _digest(path), path.stat().st_size
    try:
        with jobs.publishing():
            DataCopy.objects.filter(pk=copy.pk, made_at=None).update(
                made_at=at,
                file=name,
                size=size,
                sha256=sha256,
                expires_at=at + datetime.timedelta(days=KEPT_DAYS),
            )
    except jobs.LostLease:
        default_storage.delete(name)
        raise


def write_copy(client: Client, path: Path, *, at: datetime.datetime) -> None:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("READ-ME.txt", _words(client, at=at))
        for label, rows in tables(client):
            text = json.dumps(rows, cls=DjangoJSONEncoder, ensure_ascii=False, indent=1)
            archive.writestr(f"{label}.json", text)
        for name, inside in _files(client):
            # Films do not shrink; piece by piece, never whole in memory.
            with default_storage.open(name) as stored, archive.open(f"files/{inside}", "w", force_zip64=True) as target:
                for chunk in stored.chunks():
                    target.write(chunk)


def tables(client: Client) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """Every table with rows about the client, by name; links as the uuids of what they point to, people by name."""
    yield "clients.Client", [_row(client)]
    for model, way in models_about_clients():
        rows = [_row(row) for row in model._base_manager.filter(**{way: client}).order_by("pk")]
        if rows:
            yield model._meta.label, rows


def models_about_clients() -> list[tuple[type[models.Model], str]]:
    """Each model that says something about a client, with its way to them."""
    direct = [
        (model, "client")
        for model in apps.get_models()
        if any(field.name == "client" and field.related_model is Client for field in model._meta.concrete_fields)
    ]
    parts = [(apps.get_model(label), way) for label, way in PARTS.items()]
    return [(model, way) for model, way in [*direct, *parts] if model._meta.label not in LEFT_OUT]


def _row(row: models.Model) -> dict[str, Any]:
    return {field.name: _value(row, field) for field in row._meta.concrete_fields if field.name not in HIDDEN}


def _value(row: models.Model, field: Any) -> Any:
    if not field.is_relation:
        return getattr(row, field.attname)
    target = getattr(row, field.name)
    if isinstance(target, User):
        return target.display_name
    return str(getattr(target, "uuid", "")) or None


def _files(client: Client) -> Iterator[tuple[str, str]]:
    """Stored files of the client's that are still there, and what they are called in the copy."""
    for label, columns in FILES.items():
        for row in apps.get_model(label)._base_manager.filter(client=client):
            for column in columns:
                name = getattr(row, column)
                if name and default_storage.exists(name):
                    yield name, f"{row.uuid}{Path(name).suffix}"


def _words(client: Client, *, at: datetime.datetime) -> str:
    return _(
        "Everything that %(practice)s keeps about %(name)s, as of %(at)s.\n\n"
        "Each .json file is one table; a row's links name the uuid of the row they point to. Coaches' notes are in it: "
        "they are about you, so they are yours to read. Corrected rows keep the earlier version beside the new one.\n"
        "Films and photos are under files/, named after the uuid of their row.\n\n"
        "This is health data. Keep the file where nobody else reads it.\n"
    ) % {"practice": client.practice.name, "name": client.name, "at": at.isoformat(timespec="minutes")}


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def remove_old_copies(*, at: datetime.datetime) -> int:
    """Delete files that were kept a week. The row stays: that there was a copy is part of the record."""
    count = 0
    for copy in DataCopy.objects.filter(expires_at__lte=at).exclude(file=""):
        default_storage.delete(copy.file)
        count += DataCopy.objects.filter(pk=copy.pk, file=copy.file).update(file="")
    return count


def record_download(copy: DataCopy, *, reader: User, at: datetime.datetime) -> None:
    """An owner who takes a copy looks at everything; that is kept."""
    if copy.client.user_id != reader.pk:
        AccessRecord.objects.create(
            practice_id=copy.practice_id,
            client=copy.client,
            reader=reader,
            kind="export",
            subject_uuid=copy.uuid,
            at=at,
        )
