"""Clips in a bucket of an S3-compatible storage. Private: only our views hand out bytes, and no address exists."""

import datetime
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any, BinaryIO

import boto3
from boto3.exceptions import Boto3Error
from boto3.s3.transfer import TransferConfig
from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError
from django.utils.functional import cached_property
from storages.backends import s3
from storages.utils import clean_name

from submissions.domain.storage import Stored
from submissions.errors import StorageUnavailable

MIB = 1024 * 1024
# At most 4 x 16 MiB are on their way, and 16 MiB wait for a slow disk.
TRANSFER = TransferConfig(
    multipart_threshold=16 * MIB,
    multipart_chunksize=16 * MIB,
    max_concurrency=4,
    max_io_queue=64,
    io_chunksize=MIB // 4,
)


def client_config(*, has_endpoint: bool) -> Config:
    return Config(
        signature_version="s3v4",
        # Other servers than the original rarely have a host name for each bucket.
        s3={"addressing_style": "path" if has_endpoint else "auto"},
        connect_timeout=3,
        read_timeout=30,
        retries={"mode": "standard", "total_max_attempts": 3},
        # A web process has 16 threads; a file on its way takes four more.
        max_pool_connections=24,
        tcp_keepalive=True,
        # The newer checksums, sent by default, are refused by many servers.
        request_checksum_calculation="when_required",
        response_checksum_validation="when_required",
    )


class S3Storage(s3.S3Storage):
    is_shared_folder = False

    def __init__(self, **options: Any) -> None:
        config = client_config(has_endpoint=bool(options.get("endpoint_url")))
        private = {"default_acl": None, "querystring_auth": False, "file_overwrite": False}
        # What is opened whole, in tests or by future code, goes over the disk.
        bounded = {"client_config": config, "transfer_config": TRANSFER, "max_memory_size": MIB}
        super().__init__(**private, **bounded, **options)

    @cached_property
    def connection(self) -> Any:
        """One for the process: a client may be used by many threads, and takes 13 MB and 0.15 s to make."""
        session = boto3.Session(self.access_key, self.secret_key)
        return session.resource(
            "s3",
            region_name=self.region_name,
            endpoint_url=self.endpoint_url,
            use_ssl=self.use_ssl,
            verify=self.verify,
            config=self.client_config,
        )

    @property
    def client(self) -> Any:
        return self.connection.meta.client

    def url(self, name: str, *args: object, **kwargs: object) -> str:
        raise ValueError("A clip has no address of its own: our views decide who sees it.")

    def _open(self, name: str, mode: str = "rb") -> Any:
        """The library takes a missing storage for a missing file, so we ask first."""
        self.look_up(name)
        with self._answers(name):
            return super()._open(name, mode)

    def _save(self, name: str, content: Any) -> str:
        """Over the disk: the library would hold ten parts of it in memory."""
        with NamedTemporaryFile() as copy:
            for piece in content.chunks():
                copy.write(piece)
            copy.flush()
            self.put(Path(copy.name), name)
        return clean_name(name)

    def exists(self, name: str) -> bool:
        try:
            self.look_up(name)
        except FileNotFoundError:
            return False
        return True

    def put(self, made: Path, name: str) -> None:
        size = made.stat().st_size
        with self._answers(name):
            self.client.upload_file(str(made), self.bucket_name, self._key(name), Config=self.transfer_config)
        if self.look_up(name).size != size:
            raise StorageUnavailable

    def look_up(self, name: str) -> Stored:
        with self._answers(name):
            found = self.client.head_object(Bucket=self.bucket_name, Key=self._key(name))
        return Stored(name, found["ContentLength"], found["LastModified"])

    def open_part(self, name: str, start: int, stop: int) -> BinaryIO:
        # An empty part cannot be asked for; the empty file is then fetched whole.
        part = {"Range": f"bytes={start}-{stop - 1}"} if stop > start else {}
        with self._answers(name):
            return self.client.get_object(Bucket=self.bucket_name, Key=self._key(name), **part)["Body"]

    def fetch(self, name: str, target: Path) -> None:
        with self._answers(name):
            self.client.download_file(self.bucket_name, self._key(name), str(target), Config=self.transfer_config)

    def files_below(self, folder: str) -> Iterator[Stored]:
        root, within = self._key(""), self._key(f"{folder}/" if folder else "")
        with self._answers(folder):
            for page in self._pages("list_objects_v2", prefix=within):
                for found in page.get("Contents", []):
                    yield Stored(found["Key"].removeprefix(root), found["Size"], found["LastModified"])

    def delete(self, name: str) -> None:
        with suppress(FileNotFoundError), self._answers(name):
            self.client.delete_object(Bucket=self.bucket_name, Key=self._key(name))

    def clear_broken_off(self, *, before: datetime.datetime) -> None:
        with self._answers("uploads"):
            for page in self._pages("list_multipart_uploads", prefix=self._key("")):
                for begun in page.get("Uploads", []):
                    if begun["Initiated"] < before:
                        self.client.abort_multipart_upload(
                            Bucket=self.bucket_name, Key=begun["Key"], UploadId=begun["UploadId"]
                        )

    def why_unusable(self) -> str:
        """Asks for the list that the sweep will need."""
        where = f"The storage {self.bucket_name} at {self.endpoint_url or self.region_name}"
        try:
            self.client.list_objects_v2(Bucket=self.bucket_name, Prefix=self._key(""), MaxKeys=1)
        except ClientError as error:
            return (
                f"{where} refuses ({error.response['Error'].get('Code', '?')}): see PURLIN_S3_BUCKET, _KEY and _SECRET."
            )
        except (BotoCoreError, ValueError) as error:
            return f"{where} does not answer ({type(error).__name__}): see PURLIN_S3_ENDPOINT."
        return ""

    def _key(self, name: str) -> str:
        return self._normalize_name(clean_name(name))

    def _pages(self, question: str, *, prefix: str) -> Iterator[dict[str, Any]]:
        return self.client.get_paginator(question).paginate(Bucket=self.bucket_name, Prefix=prefix)

    @contextmanager
    def _answers(self, name: str) -> Iterator[None]:
        """Tell "it is not there" from "nobody can tell", so that no clip is ever given up for an outage."""
        try:
            yield
        except ClientError as error:
            if _status(error) == 404 and self._has_bucket():
                raise FileNotFoundError(name) from error
            raise StorageUnavailable from error
        except (BotoCoreError, Boto3Error) as error:
            raise StorageUnavailable from error

    def _has_bucket(self) -> bool:
        """A question about a file is answered by 404 for a missing bucket as well."""
        try:
            self.client.head_bucket(Bucket=self.bucket_name)
        except (ClientError, BotoCoreError):
            return False
        return True


def _status(error: ClientError) -> int:
    return error.response["ResponseMetadata"]["HTTPStatusCode"]
